//! From what the core computes to results. Lengths are summed as integers, then told in metres.

use super::{
    BeadResult, BeadVerdict, CheckResult, EstimateResult, FabricResult, KindResult, KitResult, LayerResult,
    NeedleResult, RowResult, ShadeResult, ShadeVerdict, ThreadingResult, TotalResult, VERSION,
};
use needleful::consumption::{NeedleRow, NeedleUse, ShadeUse};
use needleful::needle::Needle;
use needleful::spend::Spent;
use needleful::stitch::KINDS;
use needleful::supply::{Purchase, purchase};
use needleful::thread::Shade;
use needleful::{Code, Design, Estimate, KitCheck, Length, Place, Problem, Problems};

/// What a design takes, as a result. `estimate` is that of the same design.
///
/// # Errors
/// [`Code::SumTooLarge`] where needles together exceed what can be counted, and
/// [`Code::HabitsDisagree`] where a cut is longer than its put-up.
pub fn estimate_result<'a>(design: &'a Design, estimate: &Estimate) -> Result<EstimateResult<'a>, Problems> {
    let mut found = Problems::new();
    let layers = design.layers.iter().enumerate().filter_map(|(index, layer)| {
        let sum = Sum::of(rows(estimate).filter(|row| row.layer == index));
        let Sum { stitches, spent, cut } = found.note(sum)?;
        let spent = (&spent).into();
        Some(LayerResult {
            layer: &layer.name,
            over: layer.over,
            stitches,
            spent,
            cut_needle_m: cut.metres(),
        })
    });
    let layers = layers.collect();
    let stitch_kinds = KINDS.iter().filter_map(|kind| {
        let sum = Sum::of(rows(estimate).filter(|row| row.kind.name == kind.name));
        let Sum { stitches, spent, cut } = found.note(sum)?;
        let spent = (&spent).into();
        let kind = KindResult { stitch: kind.name, stitches, spent, cut_needle_m: cut.metres() };
        (stitches > 0).then_some(kind)
    });
    let stitch_kinds = stitch_kinds.collect();
    let total = found.note(total(estimate));
    let shades = design.shades.iter().zip(&estimate.shades).enumerate();
    let shades = shades.filter_map(|(index, (shade, used))| {
        let purchase = found.note(purchase(design, index, used))?;
        Some(shade_result(design, shade, used, &purchase))
    });
    let shades = shades.collect();
    let Some(total) = total.filter(|_| found.total() == 0) else { return Err(found) };
    let needles = design.needles.iter().zip(&estimate.needles);
    let beads = design.beads.iter().zip(&estimate.beads).map(|(bead, &pieces)| BeadResult {
        bead: &bead.code,
        name: &bead.name,
        pieces,
        packet_pieces: bead.packet,
        packets: pieces.div_ceil(u64::from(bead.packet)),
    });
    Ok(EstimateResult {
        needleful: VERSION,
        title: &design.title,
        fabric: FabricResult {
            kind: design.fabric.kind.into(),
            count_across_per_inch: design.fabric.across.inch(),
            count_down_per_inch: design.fabric.down.inch(),
        },
        needles: needles.map(|(needle, used)| needle_result(design, needle, used)).collect(),
        layers,
        stitch_kinds,
        total,
        shades,
        beads: beads.collect(),
    })
}

/// What a design takes with its kit, and the verdict on the kit, as a result.
///
/// # Errors
/// As [`estimate_result`].
pub fn check_result<'a>(design: &'a Design, check: &KitCheck) -> Result<CheckResult<'a>, Problems> {
    let estimate = estimate_result(design, &check.estimate)?;
    let shades = design.shades.iter().zip(&check.shades).map(|(shade, check)| ShadeVerdict {
        shade: &shade.code,
        verdict: check.verdict.word(),
        supplied_skein_m: check.supplied.metres(),
        short_skein_m: check.short.metres(),
        spare_skein_m: check.spare.metres(),
    });
    let beads = design.beads.iter().zip(&check.beads).zip(&check.estimate.beads);
    let beads = beads.map(|((bead, check), &need)| BeadVerdict {
        bead: &bead.code,
        verdict: check.verdict.word(),
        supplied_pieces: check.supplied,
        need_pieces: need,
    });
    let kit = KitResult { short: check.is_short(), shades: shades.collect(), beads: beads.collect() };
    Ok(CheckResult { estimate, kit })
}

fn rows(estimate: &Estimate) -> impl Iterator<Item = &NeedleRow> {
    estimate.needles.iter().flat_map(|needle| &needle.rows)
}

/// A sum over rows of several needles.
#[derive(Default)]
struct Sum {
    stitches: u64,
    spent: Spent,
    cut: Length,
}

impl Sum {
    fn of<'a>(mut rows: impl Iterator<Item = &'a NeedleRow>) -> Result<Sum, Problem> {
        rows.try_fold(Sum::default(), Sum::plus).ok_or_else(|| {
            Problem::new(
                Code::SumTooLarge,
                Place::Design,
                "it takes more than 9,200 km of thread in the needle",
                "work a smaller design, or shorter tails and needlefuls",
            )
        })
    }

    fn plus(self, row: &NeedleRow) -> Option<Sum> {
        let (a, b) = (&self.spent, &row.spent);
        Some(Sum {
            stitches: self.stitches + row.stitches,
            // Every part is within the whole; a needle's own parts have been added up before.
            cut: self.cut.plus(b.total())?,
            spent: Spent {
                front: a.front.plus(b.front)?,
                back: a.back.plus(b.back)?,
                passages: a.passages.plus(b.passages)?,
                carries: a.carries.plus(b.carries)?,
                tails: a.tails.plus(b.tails)?,
                orts: a.orts.plus(b.orts)?,
                kept: a.kept.plus(b.kept)?,
            },
        })
    }
}

fn total(estimate: &Estimate) -> Result<TotalResult, Problem> {
    let Sum { stitches, spent, cut } = Sum::of(rows(estimate))?;
    let count = |of: fn(&NeedleUse) -> u64| estimate.needles.iter().map(of).sum();
    Ok(TotalResult {
        stitches,
        legs: count(|used| used.legs),
        needlefuls: count(|used| used.needlefuls),
        new_starts: count(|used| used.new_starts),
        carries: count(|used| used.carries),
        spent: (&spent).into(),
        cut_needle_m: cut.metres(),
    })
}

fn needle_result<'a>(design: &'a Design, needle: &'a Needle, used: &NeedleUse) -> NeedleResult<'a> {
    let thread = needle.threads.iter().map(|threading| ThreadingResult {
        shade: design.shades.get(threading.shade).map_or("", |shade| &shade.code),
        strands: threading.strands,
    });
    let rows = used.rows.iter().map(|row| RowResult {
        layer: design.layers.get(row.layer).map_or("", |layer| &layer.name),
        stitch: row.kind.name,
        stitches: row.stitches,
        spent: (&row.spent).into(),
    });
    NeedleResult {
        needle: &needle.name,
        thread: thread.collect(),
        blend: needle.is_blend(),
        stitches: used.stitches,
        legs: used.legs,
        needleful_mm: used.needleful.mm(),
        loop_start: used.loop_start,
        needlefuls: used.needlefuls,
        new_starts: used.new_starts,
        carries: used.carries,
        floor_needle_m: used.floor.metres(),
        habit_needle_m: used.habit.metres(),
        cut_needle_m: used.cut().metres(),
        spent: (&used.spent()).into(),
        rows: rows.collect(),
    }
}

fn shade_result<'a>(
    design: &'a Design,
    shade: &'a Shade,
    used: &ShadeUse,
    purchase: &Purchase,
) -> ShadeResult<'a> {
    let line = &design.lines[shade.line];
    let needles = used.needles.iter().filter_map(|&needle| Some(design.needles.get(needle)?.name.as_str()));
    let need = used.need_strand().metres();
    ShadeResult {
        shade: &shade.code,
        name: &shade.name,
        line: &line.name,
        needles: needles.collect(),
        cut_strand_m: used.strand.metres(),
        spent: (&used.spent).into(),
        need_strand_m: need,
        need_skein_m: need / f64::from(line.strands),
        whole_cuts_skein_m: used.whole_cuts(line.strands).metres(),
        put_up: line.put_up.winding.words().0,
        put_up_skein_m: line.put_up.length.metres(),
        put_ups: purchase.put_ups,
        remains_skein_m: purchase.remains.metres(),
    }
}
