//! The materials list: what every shade takes and what to buy.

use crate::page::{bar, grouped, heading, metres, several, table};
use anstyle::Style;
use needleful::Design;
use needleful_io::result::{EstimateResult, ShadeResult, SpentResult};

/// The whole page.
pub(crate) fn page(design: &Design, result: &EstimateResult, needles: bool) -> String {
    let mut page = opening(design, result);
    page += &heading("Thread to lay in");
    page += &shades(design, result);
    page += &beads(result);
    page += &closing(result, needles);
    page
}

/// What the design is.
pub(crate) fn opening(design: &Design, result: &EstimateResult) -> String {
    let style = Style::new().bold();
    let (across, down) = (design.fabric.across.inch(), design.fabric.down.inch());
    let count = if across == down { format!("{across}") } else { format!("{across} by {down}") };
    let mut text = format!("{style}{}{style:#}\n", result.title);
    text += &format!(
        "{} on {count} per inch; {} with {}\n",
        several(result.total.stitches, "stitch", "stitches"),
        several(result.total.needlefuls, "needleful", "needlefuls"),
        several(result.needles.len() as u64, "needle", "needles"),
    );
    for layer in &result.layers {
        let frame = design.layers.iter().find(|l| l.name == layer.layer);
        let (columns, rows) = frame.map_or((0, 0), |l| (l.columns, l.rows));
        text += &format!("  {}: {columns} by {rows} cells over {}\n", layer.layer, layer.over);
    }
    text
}

fn shades(design: &Design, result: &EstimateResult) -> String {
    let columns = [
        ("shade", false, 10),
        ("", false, 20),
        ("needles", true, 10),
        ("takes, m", true, 9),
        ("to buy", true, 13),
        ("remains, m", true, 10),
    ];
    let row = |(index, shade): (usize, &ShadeResult)| {
        let cells = vec![
            shade.shade.to_owned(),
            shade.name.to_owned(),
            in_needles(design, shade),
            metres(shade.whole_cuts_skein_m),
            to_buy(design, index, shade),
            metres(shade.remains_skein_m),
        ];
        (Style::new(), cells)
    };
    table(&columns, &result.shades.iter().enumerate().map(row).collect::<Vec<_>>())
}

/// How many needles hold a shade, and how many of them are blends.
pub(crate) fn in_needles(design: &Design, shade: &ShadeResult) -> String {
    let is_blend =
        |name: &&&str| design.needles.iter().any(|needle| needle.name == ***name && needle.is_blend());
    match shade.needles.iter().filter(is_blend).count() {
        0 => shade.needles.len().to_string(),
        blends => format!("{}, {blends} bl.", shade.needles.len()),
    }
}

fn to_buy(design: &Design, index: usize, shade: &ShadeResult) -> String {
    let (one, many) = design.lines[design.shades[index].line].put_up.winding.words();
    several(shade.put_ups, one, many)
}

fn beads(result: &EstimateResult) -> String {
    if result.beads.is_empty() {
        return String::new();
    }
    let columns = [("bead", false, 12), ("", false, 22), ("pieces", true, 10), ("to buy", true, 14)];
    let rows = result.beads.iter().map(|bead| {
        let cells = vec![
            bead.bead.to_owned(),
            bead.name.to_owned(),
            grouped(bead.pieces),
            several(bead.packets, "packet", "packets"),
        ];
        (Style::new(), cells)
    });
    heading("Beads") + &table(&columns, &rows.collect::<Vec<_>>())
}

/// Where the thread goes, the needles if wanted, and what the figures are.
pub(crate) fn closing(result: &EstimateResult, needles: bool) -> String {
    let mut text = heading("Where the thread goes");
    text += &where_it_goes(&result.total.spent, result.total.cut_needle_m);
    if needles {
        text += &heading("Needle by needle, metres of thread in the needle");
        text += &by_needle(result);
    }
    text += "\nTakes: whole cuts, all strands together as sold, with unpicking and waste. The\n\
             shades of a blend (bl.) are cut together and run down together. An estimate, for\n\
             planning: hands differ, and shades vary by dye lot; buy a project's thread from\n\
             one lot.\n";
    text
}

fn where_it_goes(spent: &SpentResult, cut: f64) -> String {
    let parts = [
        ("on the front", spent.front_needle_m),
        ("behind the stitches", spent.back_needle_m),
        ("through the fabric", spent.passages_needle_m),
        ("carried behind", spent.carries_needle_m),
        ("tails", spent.tails_needle_m),
        ("orts", spent.orts_needle_m),
        ("leftovers kept", spent.kept_needle_m),
    ];
    let line = |(name, metres): (&str, f64)| {
        let share = if cut > 0.0 { metres / cut } else { 0.0 };
        format!(" {name:<20} {metres:>9.2} m {:>3.0} %  {}", share * 100.0, bar(share)).trim_end().to_owned()
            + "\n"
    };
    let all = format!(" {:<20} {cut:>9.2} m, as long as it lies in the needle\n", "all thread cut");
    parts.into_iter().map(line).collect::<String>() + &all
}

fn by_needle(result: &EstimateResult) -> String {
    let columns = [
        ("needle", false, 10),
        ("thread", false, 19),
        ("stitches", true, 8),
        ("needlefuls", true, 10),
        ("least possible", true, 14),
        ("as you stitch", true, 13),
    ];
    let row = |needle: &needleful_io::result::NeedleResult| {
        let threads = needle.thread.iter().map(|t| format!("{} {}", t.strands, t.shade));
        let cells = vec![
            needle.needle.to_owned(),
            threads.collect::<Vec<_>>().join(" + "),
            grouped(needle.stitches),
            grouped(needle.needlefuls),
            metres(needle.floor_needle_m),
            metres(needle.habit_needle_m),
        ];
        (Style::new(), cells)
    };
    table(&columns, &result.needles.iter().map(row).collect::<Vec<_>>())
}
