//! Reading a project: from a file, or from bytes, to a checked design and its kit.

use crate::grid::Room;
use crate::layers::layer;
use crate::names::Names;
use crate::text::problem;
use crate::{file, kit, legend, material, parse, text, wire};
use needleful::habits::Habits;
use needleful::supply::Kit;
use needleful::{Code, Design, Parts, Problems, limits};
use std::path::Path;

pub use crate::file::FileKind;
pub use crate::layers::Beside;

/// A design and, if there is one, its supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Project {
    /// The design, checked.
    pub design: Design,
    /// What is supplied; judged by [`needleful::check_kit`].
    pub kit: Option<Kit>,
}

/// Reads a project file and the charts beside it.
///
/// # Errors
/// As [`read`]; [`Code::FileKind`] for an ending that is not `.toml` or `.json`.
pub fn read_path(path: &Path) -> Result<Project, Problems> {
    let name = path.display().to_string();
    let kind = FileKind::of(&name)?;
    let bytes = file::read(path)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    read(&name, kind, &bytes, &|chart| file::read(&folder.join(chart)))
}

/// Reads a project from the bytes of its file.
///
/// `name` is the file's name in messages. `beside` hands out the bytes of a chart by its name,
/// which stays beside the project file: it is neither absolute nor does it contain `..`.
///
/// # Errors
/// What keeps the file from being read at all: [`Code::FileTooLarge`], [`Code::NotUtf8`],
/// [`Code::Syntax`], [`Code::Version`], [`Code::WrongShape`]. Then all problems that the fields and
/// charts have for themselves; only when there are none, those of [`Design::new`].
pub fn read(name: &str, kind: FileKind, bytes: &[u8], beside: &Beside<'_>) -> Result<Project, Problems> {
    file::check_size(name, bytes.len() as u64)?;
    let text = text::utf8(name, bytes)?;
    from_wire(&parse::parse(name, kind, text)?, beside)
}

/// Checks the fields of a project file and fetches its charts.
///
/// # Errors
/// As [`read`], less what concerns the file as text.
pub fn from_wire(wire: &wire::ProjectFile, beside: &Beside<'_>) -> Result<Project, Problems> {
    check_counts(wire).or(())?;
    let mut found = Problems::new();
    let line_names = Names::new("thread line", wire.thread_lines.iter().map(|line| line.line.as_str()));
    let shade_names = Names::new("shade", wire.shades.iter().map(|shade| shade.shade.as_str()));
    let needle_names = Names::new("needle", wire.needles.iter().map(|needle| needle.needle.as_str()));
    let bead_names = Names::new("bead", wire.beads.iter().map(|bead| bead.bead.as_str()));

    let fabric = material::fabric(&wire.fabric, &mut found);
    let habits = material::habits(wire.habits.as_ref(), "habits", &mut found);
    let lines = wire.thread_lines.iter().filter_map(|line| material::thread_line(line, &mut found)).collect();
    let shades = wire.shades.iter().filter_map(|shade| found.note(material::shade(shade, &line_names)));
    let shades = shades.collect();
    let needles =
        wire.needles.iter().map(|needle| material::needle(needle, &shade_names, &mut found)).collect();
    let beads: Vec<_> = wire.beads.iter().map(|bead| found.note(material::bead(bead))).collect();
    let entries = wire.legend.iter();
    let entries = entries.filter_map(|entry| legend::entry(entry, &needle_names, &bead_names, &mut found));
    let entries = entries.collect();
    let kit = wire.kit.as_ref().map(|kit| kit::kit(kit, &shade_names, &bead_names, &beads, &mut found));

    let symbols = legend::symbols(&wire.legend, &mut found);
    let mut room = Room::all();
    let layers = wire.layers.iter().filter_map(|wire| layer(wire, &symbols, &mut room, beside, &mut found));
    let layers = layers.collect();

    // A part that is left out has left a problem; without one, indexes hold.
    let Some(fabric) = fabric.filter(|_| found.total() == 0) else { return Err(found) };
    let top_leg = wire.habits.as_ref().and_then(|habits| habits.top_leg);
    let design = Design::new(Parts {
        title: wire.title.clone(),
        fabric,
        habits: Habits::default().with(&habits),
        top_leg: top_leg.map(Into::into).unwrap_or_default(),
        lines,
        shades,
        needles,
        beads: beads.into_iter().flatten().collect(),
        legend: entries,
        layers,
    })?;
    Ok(Project { design, kit })
}

/// What must hold before charts are fetched: entries are numbered, and every layer may be a file.
fn check_counts(wire: &wire::ProjectFile) -> Problems {
    let mut found = Problems::new();
    let counts =
        [("legend", wire.legend.len(), limits::LEGEND), ("layers", wire.layers.len(), limits::LAYERS)];
    for (list, count, most) in counts {
        if count > most {
            let what = format!("it has {count} entries");
            found.push(problem(Code::TooLarge, list, what, format!("give at most {most}")));
        }
    }
    found
}
