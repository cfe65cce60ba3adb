//! The check of a design: all problems, each with its place.

use super::{Parts, cells};
use crate::error::{Code, Place, Problem, Problems};
use crate::limits;
use crate::units::within;
use std::collections::HashSet;

/// Finds every problem of a design.
pub(super) fn check(parts: &Parts) -> Problems {
    let mut found = Problems::new();
    check_sizes(parts, &mut found);
    if found.total() > 0 {
        return found; // what follows may walk the whole design
    }
    check_names(parts, &mut found);
    check_thread(parts, &mut found);
    check_legend(parts, &mut found);
    if found.total() > 0 {
        return found; // what follows looks entries up
    }
    for layer in &parts.layers {
        cells::check_layer(parts, layer, &mut found);
    }
    cells::check_layers_apart(parts, &mut found);
    found
}

fn too_large(what: String, most: u64) -> Problem {
    Problem::new(Code::TooLarge, Place::Design, what, format!("give at most {most}"))
}

fn check_sizes(parts: &Parts, found: &mut Problems) {
    let counts = [
        ("shades", parts.shades.len(), limits::NAMES),
        ("thread lines", parts.lines.len(), limits::NAMES),
        ("needles", parts.needles.len(), limits::NAMES),
        ("beads", parts.beads.len(), limits::NAMES),
        ("legend entries", parts.legend.len(), limits::LEGEND),
        ("layers", parts.layers.len(), limits::LAYERS),
    ];
    for (name, count, most) in counts {
        if count > most {
            found.push(too_large(format!("{count} {name}"), most as u64));
        }
    }
    let (mut cell_count, mut single_count, mut right, mut bottom) = (0_u64, 0_usize, 0_u64, 0_u64);
    for layer in &parts.layers {
        let place = || Place::Part(format!("layer '{}'", layer.name));
        for (name, side) in [("columns", layer.columns), ("rows", layer.rows)] {
            if side == 0 || side > limits::SIDE {
                let mend = format!("give 1 to {}", limits::SIDE);
                found.push(Problem::new(Code::TooLarge, place(), format!("{side} {name}"), mend));
            }
        }
        if layer.over == 0 || layer.over > limits::OVER {
            let mend = format!("give 1 to {}", limits::OVER);
            let what = format!("a cell over {} threads", layer.over);
            found.push(Problem::new(Code::OutOfRange, place(), what, mend));
        }
        let cells = u64::from(layer.columns) * u64::from(layer.rows);
        if !layer.grid.is_empty() && layer.grid.len() as u64 != cells {
            found.push(Problem::new(
                Code::RaggedRows,
                place(),
                format!("{} cells in {} rows of {}", layer.grid.len(), layer.rows, layer.columns),
                "give every row the same number of cells",
            ));
        }
        // Saturating: nothing is within limits yet.
        cell_count = cell_count.saturating_add(cells);
        single_count += layer.singles.len() + layer.knots.len();
        single_count += layer.lines.iter().map(|line| line.points.len()).sum::<usize>();
        let reach = |at: u32, cells: u32| u64::from(at) + u64::from(cells) * u64::from(layer.over);
        right = right.max(reach(layer.at.0, layer.columns));
        bottom = bottom.max(reach(layer.at.1, layer.rows));
    }
    if cell_count > limits::CELLS {
        found.push(too_large(format!("{cell_count} cells"), limits::CELLS));
    }
    if single_count > limits::SINGLES {
        found.push(too_large(format!("{single_count} single stitches"), limits::SINGLES as u64));
    }
    if right.saturating_mul(bottom) > limits::FABRIC_AREA || right.max(bottom) > limits::FABRIC_SIDE {
        let what = format!("a fabric of {right} by {bottom} threads");
        let mend = format!(
            "give at most {} threads along a side and {} square threads",
            limits::FABRIC_SIDE,
            limits::FABRIC_AREA
        );
        found.push(Problem::new(Code::TooLarge, Place::Design, what, mend));
    }
}

/// Names that must be there, be short, and stand once.
fn check_names(parts: &Parts, found: &mut Problems) {
    fn unique<'a>(kind: &str, names: impl Iterator<Item = &'a str>, found: &mut Problems) {
        let mut seen = HashSet::new();
        for name in names {
            let place = || Place::Part(format!("{kind} '{name}'"));
            if name.is_empty() || name.chars().count() > limits::NAME_CHARS {
                let mend = format!("give a name of 1 to {} characters", limits::NAME_CHARS);
                found.push(Problem::new(Code::OutOfRange, place(), "the name is empty or too long", mend));
            } else if !seen.insert(name) {
                found.push(Problem::new(Code::Duplicate, place(), "given twice", "rename or remove one"));
            }
        }
    }
    unique("thread line", parts.lines.iter().map(|l| l.name.as_str()), found);
    unique("shade", parts.shades.iter().map(|s| s.code.as_str()), found);
    unique("needle", parts.needles.iter().map(|n| n.name.as_str()), found);
    unique("bead", parts.beads.iter().map(|b| b.code.as_str()), found);
    unique("symbol", parts.legend.iter().map(|e| e.symbol.as_str()), found);
    unique("layer", parts.layers.iter().map(|l| l.name.as_str()), found);
}

fn unknown(place: String, what: String) -> Problem {
    Problem::new(Code::UnknownName, Place::Part(place), what, "name one that is defined")
}

fn check_thread(parts: &Parts, found: &mut Problems) {
    found.note(parts.habits.check("the design"));
    for line in &parts.lines {
        if let Err(problem) = line.check() {
            let place = Place::Part(format!("thread line '{}', {}", line.name, problem.place));
            found.push(Problem { place, ..problem });
        }
    }
    for shade in parts.shades.iter().filter(|shade| shade.line >= parts.lines.len()) {
        found.push(unknown(format!("shade '{}'", shade.code), "its thread line is not defined".into()));
    }
    for needle in &parts.needles {
        let place = format!("needle '{}'", needle.name);
        if needle.threads.is_empty() || needle.threads.len() > limits::BLEND {
            let what = format!("{} shades", needle.threads.len());
            let mend = format!("give 1 to {} shades with their strands", limits::BLEND);
            found.push(Problem::new(Code::EmptyNeedle, Place::Part(place), what, mend));
            continue;
        }
        let mut seen = HashSet::new();
        let mut sound = true;
        for thread in &needle.threads {
            let Some(shade) = parts.shades.get(thread.shade) else {
                found.push(unknown(place.clone(), "it holds a shade that is not defined".into()));
                sound = false;
                continue;
            };
            sound &= shade.line < parts.lines.len();
            let place = Place::Part(format!("needle '{}', shade '{}'", needle.name, shade.code));
            if thread.strands == 0 {
                found.push(Problem::new(Code::EmptyNeedle, place, "0 strands", "give 1 or more"));
            } else if thread.strands > limits::STRANDS {
                let what = format!("{} strands", thread.strands);
                found.push(Problem::new(
                    Code::OutOfRange,
                    place,
                    what,
                    format!("give at most {}", limits::STRANDS),
                ));
            } else if !seen.insert(thread.shade) {
                let mend = "give it once, with all its strands";
                found.push(Problem::new(Code::Duplicate, place, "the shade is given twice", mend));
            }
        }
        if sound {
            found.note(parts.needle_habits(needle).check(&place));
        }
    }
}

fn check_legend(parts: &Parts, found: &mut Problems) {
    for entry in &parts.legend {
        let place = format!("symbol '{}'", entry.symbol);
        if entry.needle >= parts.needles.len() {
            found.push(unknown(place.clone(), "its needle is not defined".into()));
        }
        match entry.bead {
            Some(bead) if bead >= parts.beads.len() => {
                found.push(unknown(place.clone(), "its bead is not defined".into()));
            }
            None if entry.kind.bead => {
                found.push(unknown(place.clone(), format!("a {} without its bead", entry.kind.print)));
            }
            Some(_) if !entry.kind.bead => found.push(Problem::new(
                Code::WrongStitch,
                Place::Part(place.clone()),
                format!("a bead on a {}", entry.kind.print),
                "leave the bead out, or make the stitch a bead",
            )),
            _ => {}
        }
        if let Err(problem) = within("wraps", "", f64::from(entry.wraps), 1.0, 20.0) {
            found.push(Problem { place: Place::Part(place), ..problem });
        }
    }
}
