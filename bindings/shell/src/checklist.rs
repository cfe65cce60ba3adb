//! The kit against what its design takes: a verdict for every shade.

use crate::materials::{closing, in_needles, opening};
use crate::page::{WIDTH, grouped, heading, metres, table, verdict_style};
use needleful::Design;
use needleful_io::result::{CheckResult, ShadeVerdict};

/// The whole page.
pub(crate) fn page(design: &Design, result: &CheckResult, needles: bool) -> String {
    let mut page = opening(design, &result.estimate);
    page += &heading("The kit's thread");
    page += &shades(design, result);
    page += &beads(result);
    page += &heading("Verdict");
    page += &verdict(result);
    page += &closing(&result.estimate, needles);
    page
}

fn shades(design: &Design, result: &CheckResult) -> String {
    let columns = [
        ("shade", false, 10),
        ("", false, 20),
        ("needles", true, 10),
        ("takes, m", true, 9),
        ("supplied, m", true, 11),
        ("", false, 8),
    ];
    let rows = result.estimate.shades.iter().zip(&result.kit.shades).map(|(shade, verdict)| {
        let cells = vec![
            shade.shade.to_owned(),
            shade.name.to_owned(),
            in_needles(design, shade),
            metres(shade.whole_cuts_skein_m),
            metres(verdict.supplied_skein_m),
            verdict.verdict.to_owned(),
        ];
        (verdict_style(verdict.verdict), cells)
    });
    table(&columns, &rows.collect::<Vec<_>>())
}

fn beads(result: &CheckResult) -> String {
    if result.kit.beads.is_empty() {
        return String::new();
    }
    let columns =
        [("bead", false, 12), ("", false, 22), ("takes", true, 10), ("supplied", true, 10), ("", false, 8)];
    let rows = result.estimate.beads.iter().zip(&result.kit.beads).map(|(bead, verdict)| {
        let cells = vec![
            bead.bead.to_owned(),
            bead.name.to_owned(),
            grouped(verdict.need_pieces),
            grouped(verdict.supplied_pieces),
            verdict.verdict.to_owned(),
        ];
        (verdict_style(verdict.verdict), cells)
    });
    heading("The kit's beads") + &table(&columns, &rows.collect::<Vec<_>>())
}

/// The shades and beads of each verdict that asks for something to be done, with by how much.
fn verdict(result: &CheckResult) -> String {
    let of = |word: &str, what: &str, amount: &dyn Fn(&ShadeVerdict) -> f64| {
        let shades = result.kit.shades.iter().filter(|shade| shade.verdict == word);
        // No break between a number and its unit.
        let shades = shades.map(|shade| format!("{} {}\u{a0}m", shade.shade, metres(amount(shade))));
        let beads = result.kit.beads.iter().filter(|bead| bead.verdict == word);
        let beads = beads.map(|bead| {
            format!("{} {}\u{a0}pieces", bead.bead, bead.need_pieces.abs_diff(bead.supplied_pieces))
        });
        let all: Vec<String> = shades.chain(beads).collect();
        let text = if all.is_empty() { "none".into() } else { format!("{what}: {}", all.join(", ")) };
        let first = format!(" {word:<7} ");
        let options = textwrap::Options::new(WIDTH).initial_indent(&first).subsequent_indent("         ");
        let style = verdict_style(word);
        format!("{style}{}{style:#}\n", textwrap::fill(&text, options))
    };
    let enough = result.kit.shades.iter().filter(|shade| shade.verdict == "enough").count();
    of("short", "missing", &|shade| shade.short_skein_m)
        + &of("tight", "to spare", &|shade| shade.spare_skein_m)
        + &of("over", "to spare", &|shade| shade.spare_skein_m)
        + &format!(" enough  {enough} of {} shades\n", result.kit.shades.len())
}
