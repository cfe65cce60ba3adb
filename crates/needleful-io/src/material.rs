//! Fabric, habits, thread, needles and beads, from their fields to the core's values.

use crate::names::{Names, at_most_one, exactly_one};
use crate::text::{self, owner, problem};
use crate::wire;
use needleful::fabric::Fabric;
use needleful::habits::HabitChanges;
use needleful::needle::{Needle, Threading};
use needleful::thread::{Bead, Fibre, PutUp, Shade, ThreadLine, Winding};
use needleful::units::{Count, LinearDensity, Share, within};
use needleful::{Code, Length, Problem, Problems};

/// Lengths beyond this, in millimetres, are refused before they are counted in picometres.
const MOST_MM: f64 = 1e9;

/// A length in millimetres that can be counted; its limits are the core's to judge.
///
/// # Errors
/// [`Code::OutOfRange`].
pub(crate) fn length(field: &str, mm: f64) -> Result<Length, Problem> {
    within(field, "mm", mm, -MOST_MM, MOST_MM).map(Length::from_mm)
}

/// The ground cloth.
pub(crate) fn fabric(wire: &wire::Fabric, found: &mut Problems) -> Option<Fabric> {
    let per_inch = |count: Option<f64>| count.map(Count::per_inch);
    let per_10_cm = |count: Option<f64>| count.map(Count::per_10_cm);
    let across = exactly_one(
        Code::WrongShape,
        "fabric",
        [
            ("count_per_inch", per_inch(wire.count_per_inch)),
            ("count_per_10_cm", per_10_cm(wire.count_per_10_cm)),
        ],
    );
    let down = at_most_one(
        Code::WrongShape,
        "fabric",
        [
            ("count_down_per_inch", per_inch(wire.count_down_per_inch)),
            ("count_down_per_10_cm", per_10_cm(wire.count_down_per_10_cm)),
        ],
    );
    let across = found.note(across.and_then(|count| count));
    let down = found.note(down.and_then(Option::transpose));
    let across = across?;
    let mut fabric = Fabric::new(wire.kind.into(), across, down?.unwrap_or(across)).with_planar(wire.planar);
    if let Some(mm) = wire.thickness_mm {
        fabric = found.note(fabric.with_thickness_mm(mm)).unwrap_or(fabric);
    }
    if let Some(mm) = wire.hole_mm {
        fabric = found.note(fabric.with_hole_mm(mm)).unwrap_or(fabric);
    }
    Some(fabric)
}

/// Habits, where there are any; every problem names `whose` they are.
pub(crate) fn habits(wire: Option<&wire::Habits>, whose: &str, found: &mut Problems) -> HabitChanges {
    let Some(wire) = wire else { return HabitChanges::default() };
    let mut millimetres = |field: &str, mm: Option<f64>| {
        let length = length(field, mm?).map_err(|problem| text::of(whose, problem));
        found.note(length)
    };
    let mut changes = HabitChanges {
        needleful: millimetres("needleful_mm", wire.needleful_mm),
        start_tail: millimetres("start_tail_mm", wire.start_tail_mm),
        finish_tail: millimetres("finish_tail_mm", wire.finish_tail_mm),
        unstitchable_end: millimetres("unstitchable_end_mm", wire.unstitchable_end_mm),
        keep_leftover: millimetres("keep_leftover_mm", wire.keep_leftover_mm),
        open_carry: millimetres("open_carry_mm", wire.open_carry_mm),
        covered_carry: millimetres("covered_carry_mm", wire.covered_carry_mm),
        knot_needle: millimetres("knot_needle_mm", wire.knot_needle_mm),
        start: wire.start.map(Into::into),
        waste: None,
    };
    if let Some(percent) = wire.waste_percent {
        let share = within("waste_percent", "%", percent, 0.0, 10_000.0)
            .and_then(|percent| Share::new("waste_percent", percent / 100.0));
        changes.waste = found.note(share.map_err(|problem| text::of(whose, problem)));
    }
    changes
}

/// Habits of a thread line or a needle.
fn own_habits(wire: Option<&wire::Habits>, owner: &str, found: &mut Problems) -> HabitChanges {
    let whose = format!("{owner}, habits");
    if wire.is_some_and(|habits| habits.top_leg.is_some()) {
        let what = "top_leg holds for the whole design";
        found.push(problem(Code::WrongShape, &whose, what, "set it in [habits] and leave it out here"));
    }
    habits(wire, &whose, found)
}

/// A product of thread.
pub(crate) fn thread_line(wire: &wire::ThreadLine, found: &mut Problems) -> Option<ThreadLine> {
    let owner = owner("thread line", &wire.line);
    let habits = own_habits(wire.habits.as_ref(), &owner, found);
    let habits = if wire.metallic { HabitChanges::metallic().then(&habits) } else { habits };
    let given = at_most_one(
        Code::WrongShape,
        &owner,
        [
            ("tex", wire.tex.map(LinearDensity::from_tex)),
            ("ne", wire.ne.map(LinearDensity::from_ne)),
            ("nm", wire.nm.map(LinearDensity::from_nm)),
            ("denier", wire.denier.map(LinearDensity::from_denier)),
        ],
    );
    let given = found.note(given.and_then(Option::transpose).map_err(|problem| text::of(&owner, problem)));
    let fibre = at_most_one(
        Code::WrongShape,
        &owner,
        [
            ("fibre", wire.fibre.map(Fibre::from)),
            ("density_g_per_cm3", wire.density_g_per_cm3.map(Fibre::Density)),
        ],
    );
    let fibre = found.note(fibre);
    let put_up = put_up(&wire.put_up, given.flatten(), wire.strands);
    let put_up = found.note(put_up.map_err(|problem| text::of(&owner, problem)));
    let default = || LinearDensity::from_tex(ThreadLine::DEFAULT_TEX);
    let density = found.note(given?.map_or_else(default, Ok));
    Some(ThreadLine {
        name: wire.line.clone(),
        strands: wire.strands,
        density: density?,
        fibre: fibre?.unwrap_or(Fibre::Cotton),
        packing: wire.packing.unwrap_or(ThreadLine::DEFAULT_PACKING),
        measured_width_mm: wire.strand_width_mm,
        put_up: put_up?,
        habits,
    })
}

fn put_up(wire: &wire::PutUp, density: Option<LinearDensity>, strands: u32) -> Result<PutUp, Problem> {
    let winding = Winding::from(wire.kind);
    let wrong = |what: &str, mend: &str| Err(problem(Code::WrongShape, "put_up", what, mend));
    match (winding, wire.length_m, wire.mass_g) {
        (Winding::Cone, None, Some(grams)) => match density {
            Some(density) => PutUp::cone(grams, density, strands),
            None => wrong(
                "the length of a cone follows from its linear density, which is not given",
                "give the thread line tex, ne, nm or denier",
            ),
        },
        (Winding::Cone, _, _) => wrong("a cone is sold by its mass alone", "give mass_g and no length_m"),
        (_, Some(metres), None) => PutUp::of_metres(winding, metres),
        _ => {
            let what = format!("a {} is sold by its length alone", winding.words().0);
            wrong(&what, "give length_m and no mass_g")
        }
    }
}

/// A shade of a thread line.
pub(crate) fn shade(wire: &wire::Shade, lines: &Names<'_>) -> Result<Shade, Problem> {
    let line = lines.find(&wire.line, &owner("shade", &wire.shade))?;
    Ok(Shade { code: wire.shade.clone(), name: wire.name.clone(), line })
}

/// A needle with its shades.
pub(crate) fn needle(wire: &wire::Needle, shades: &Names<'_>, found: &mut Problems) -> Needle {
    let owner = owner("needle", &wire.needle);
    let threads = wire.thread.iter().filter_map(|threading| {
        let shade = found.note(shades.find(&threading.shade, &owner))?;
        Some(Threading { shade, strands: threading.strands })
    });
    let threads = threads.collect();
    Needle { name: wire.needle.clone(), threads, habits: own_habits(wire.habits.as_ref(), &owner, found) }
}

/// A bead.
pub(crate) fn bead(wire: &wire::Bead) -> Result<Bead, Problem> {
    Bead::new(wire.bead.clone(), wire.name.clone(), wire.size_mm, wire.packet_pieces)
        .map_err(|problem| text::of(&owner("bead", &wire.bead), problem))
}
