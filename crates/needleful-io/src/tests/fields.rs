//! What single fields can have wrong.

use super::*;
use crate::project::from_wire;
use needleful::Length;
use needleful::habits::{Habits, Start, TopLeg};
use needleful::limits;
use needleful::stitch::Corner;
use needleful::supply::{Form, Kit};
use needleful::thread::{Fibre, Winding};
use needleful::units::Share;

const KIT: &str = "layers = [";

fn with_kit(kit: &str) -> String {
    changed(KIT, &format!("kit = {{ {kit} }}\n{KIT}"))
}

#[test]
fn defaults_are_those_of_the_page() {
    let design = read_with(SMALL, &[]).unwrap().design;
    assert_eq!(design.habits, Habits::default());
    assert_eq!(design.top_leg, TopLeg::LeansLeft);
    let line = &design.lines[0];
    assert_eq!((line.density.tex(), line.fibre, line.packing), (40.0, Fibre::Cotton, 0.6));
    assert_eq!(design.layers[0].at, (0, 0));
    assert_eq!(design.layers[0].grid, [1, 1, 0, 0, 1, 0]);
    assert!(read_with(SMALL, &[]).unwrap().kit.is_none());
}

#[test]
fn counts_and_measures_of_the_fabric() {
    let fabric = |fields: &str| {
        let toml = changed("count_per_inch = 28", fields);
        read_with(&toml, &[]).unwrap().design.fabric
    };
    let both = fabric("count_per_inch = 28, count_down_per_10_cm = 100, thickness_mm = 0.4, hole_mm = 0.3");
    assert!((both.down.inch() - 25.4).abs() < 1e-12);
    assert_eq!((both.across.inch(), both.thickness_mm(), both.hole_mm()), (28.0, 0.4, 0.3));
    assert_eq!(fabric("count_per_10_cm = 50").down.inch(), 12.7);
    assert!(fabric("count_per_inch = 28, planar = true").planar);

    let wrong = Code::WrongShape;
    let count = "count_per_inch = 28";
    refused(
        &format!(", {count}"),
        "",
        wrong,
        &["fabric", "none of count_per_inch, count_per_10_cm", "give one"],
    );
    refused(
        count,
        "count_per_inch = 28, count_per_10_cm = 110",
        wrong,
        &["count_per_inch and count_per_10_cm are given together", "give only one"],
    );
    refused(
        count,
        "count_per_inch = 28, count_down_per_inch = 9, count_down_per_10_cm = 110",
        wrong,
        &["count_down"],
    );
    let out = Code::OutOfRange;
    refused(count, "count_per_inch = 0", out, &["fabric count", "0 per inch", "from 1 to 200"]);
    refused(count, "count_per_inch = nan", out, &["NaN", "from 1 to 200"]);
    refused(count, "count_per_inch = 28, thickness_mm = -1", out, &["thickness", "-1 mm", "from 0 to 10"]);
    refused(count, "count_per_inch = 28, hole_mm = inf", out, &["hole", "inf mm", "from 0 to 10"]);
}

#[test]
fn habits_of_design_line_and_needle() {
    let toml =
        SMALL.replace("strands = 6,", "strands = 6, metallic = true, habits = { waste_percent = 7.5 },");
    let toml =
        toml.replace("needle = \"n\", thread", "needle = \"n\", habits = { open_carry_mm = 9 }, thread");
    let toml =
        format!("{toml}habits = {{ needleful_mm = 500, start = \"loop\", top_leg = \"leans-right\" }}");
    let design = read_with(&toml, &[]).unwrap().design;
    assert_eq!(design.top_leg, TopLeg::LeansRight);
    assert_eq!((design.habits.needleful, design.habits.start), (Length::from_mm(500.0), Start::Loop));
    let habits = design.needle_habits(&design.needles[0]);
    assert_eq!(habits.needleful, Length::from_mm(350.0)); // metallic, over the design's
    assert_eq!(habits.waste, Share::from_millionths(75_000)); // the line's own, over metallic
    assert_eq!(habits.open_carry, Length::from_mm(9.0));

    let own = "strands = 6, habits = { top_leg = \"leans-left\" },";
    refused("strands = 6,", own, Code::WrongShape, &["thread line 'L', habits", "whole design", "[habits]"]);
    let own = "needle = \"n\", habits = { top_leg = \"leans-left\" }, thread";
    refused("needle = \"n\", thread", own, Code::WrongShape, &["needle 'n', habits", "whole design"]);
    for (bad, words) in [
        ("needleful_mm = nan", "needleful_mm: NaN mm"),
        ("start_tail_mm = 1e300", "start_tail_mm: 1000"),
        ("waste_percent = nan", "waste_percent: NaN %"),
        ("waste_percent = -1", "waste_percent: -1 %"),
    ] {
        let words = format!("thread line 'L', habits, {words}");
        let own = format!("strands = 6, habits = {{ {bad} }},");
        refused("strands = 6,", &own, Code::OutOfRange, &[&words, "give a value from"]);
    }
    refused(
        "needleful = 1",
        "needleful = 1\nhabits = { open_carry_mm = nan }",
        Code::OutOfRange,
        &["habits, open_carry_mm"],
    );
}

#[test]
fn thread_lines_and_their_put_ups() {
    let line = |fields: &str| {
        let toml = changed("strands = 6,", &format!("strands = 6, {fields},"));
        read_with(&toml, &[]).unwrap().design.lines[0].clone()
    };
    assert!((line("ne = 25").density.tex() - 23.62165).abs() < 1e-5);
    assert_eq!(line("nm = 50").density.tex(), 20.0);
    assert_eq!(line("denier = 90").density.tex(), 10.0);
    assert_eq!(line("fibre = \"silk\"").fibre, Fibre::Silk);
    assert_eq!(line("density_g_per_cm3 = 2.0").fibre, Fibre::Density(2.0));
    assert_eq!(line("strand_width_mm = 0.24").strand_mm(), 0.24);

    let skein = "put_up = { kind = \"skein\", length_m = 8.0 }";
    let cone = changed(skein, "tex = 50, put_up = { kind = \"cone\", mass_g = 30 }");
    let put_up = read_with(&cone, &[]).unwrap().design.lines[0].put_up;
    assert_eq!((put_up.winding, put_up.length), (Winding::Cone, Length::from_mm(100_000.0)));

    let wrong = Code::WrongShape;
    refused(
        "strands = 6,",
        "strands = 6, tex = 40, ne = 25,",
        wrong,
        &["thread line 'L'", "tex and ne", "only one of tex, ne"],
    );
    refused(
        "strands = 6,",
        "strands = 6, fibre = \"wool\", density_g_per_cm3 = 1.3,",
        wrong,
        &["fibre and density"],
    );
    refused(
        "length_m = 8.0",
        "mass_g = 8.0",
        wrong,
        &["thread line 'L', put_up", "a skein is sold by its length", "give length_m"],
    );
    refused(", length_m = 8.0", "", wrong, &["give length_m"]);
    refused("\"skein\"", "\"cone\"", wrong, &["a cone is sold by its mass", "give mass_g"]);
    refused(
        skein,
        "put_up = { kind = \"cone\", mass_g = 30 }",
        wrong,
        &["linear density", "give the thread line tex"],
    );

    let out = Code::OutOfRange;
    refused(
        "strands = 6,",
        "strands = 6, ne = 0,",
        out,
        &["thread line 'L', linear density", "inf tex", "from 0.1"],
    );
    refused(
        "length_m = 8.0",
        "length_m = nan",
        out,
        &["thread line 'L', put-up length", "NaN m", "from 0.01"],
    );
    refused("strands = 6,", "strands = 6, packing = nan,", out, &["thread line 'L', packing", "NaN"]);
    refused("size_mm = 1.8", "size_mm = 0", out, &["bead 'b', bead size", "0 mm", "from 0.1"]);
    refused("packet_pieces = 120", "packet_pieces = 0", out, &["bead 'b': a packet of 0 pieces"]);
}

#[test]
fn names_that_refer_to_nothing_are_all_told() {
    let toml = SMALL
        .replace("line = \"L\" }]", "line = \"K\" }]")
        .replace("shade = \"S\", strands", "shade = \"T\", strands")
        .replace("needle = \"n\", stitch = \"cross\"", "needle = \"m\", stitch = \"crss\", bead = \"c\"");
    let toml = toml.replace(KIT, &format!("kit = {{ thread = [{{ shade = \"U\", put_ups = 1 }}], beads = [{{ bead = \"d\", pieces = 1 }}] }}\n{KIT}"));
    let found = read_with(&toml, &[]).unwrap_err();
    let text = found.to_string();
    assert_eq!(found.total(), 7, "{text}");
    assert!(found.list().iter().all(|problem| problem.code == Code::UnknownName), "{text}");
    for words in [
        "shade 'S': there is no thread line 'K'; define the thread line, or name another [106]",
        "needle 'n': there is no shade 'T'",
        "symbol 'a': there is no needle 'm'",
        "symbol 'a': there is no bead 'c'",
        "symbol 'a': there is no stitch 'crss'; use one of cross, half-cross",
        "kit, shade 'U': there is no shade 'U'",
        "kit, bead 'd': there is no bead 'd'",
    ] {
        assert!(text.contains(words), "'{words}' is not in: {text}");
    }
}

#[test]
fn a_name_given_twice_is_the_core_s_to_tell() {
    let twice = "shades = [{ shade = \"S\", line = \"L\" }, ";
    refused("shades = [", twice, Code::Duplicate, &["shade 'S'", "given twice"]);
    let twice = "legend = [{ symbol = \"a\", needle = \"n\", stitch = \"petite\" }, ";
    refused("legend = [", twice, Code::Duplicate, &["symbol 'a'"]);
}

#[test]
fn what_a_stitch_does_not_have() {
    let entry = |fields: &str| format!("needle = \"n\", {fields}");
    let (from, wrong) = ("needle = \"n\", stitch = \"cross\"", Code::WrongStitch);
    let petite = changed(from, &entry("stitch = \"petite\", corner = \"upper-left\""));
    assert_eq!(read_with(&petite, &[]).unwrap().design.legend[0].corner, Corner::UpperLeft);
    refused(
        from,
        &entry("stitch = \"cross\", corner = \"lower-left\""),
        wrong,
        &["symbol 'a'", "corner", "full cross", "petite"],
    );
    refused(from, &entry("stitch = \"cross\", wraps = 3"), wrong, &["wraps", "french-knot"]);
    refused(from, &entry("stitch = \"cross\", tight = false"), wrong, &["tight", "french-knot"]);
    refused(
        from,
        &entry("stitch = \"cross\", bead = \"b\""),
        wrong,
        &["symbol 'a'", "a bead on a full cross"],
    );
    let knot =
        "legend = [{ symbol = \"o\", needle = \"n\", stitch = \"french-knot\", wraps = 3, tight = true }, ";
    let knot = &read_with(&changed("legend = [", knot), &[]).unwrap().design.legend[0];
    assert_eq!((knot.wraps, knot.tight), (3, true));
}

#[test]
fn symbols_that_mean_an_empty_cell() {
    for bad in [".", " ", " b", "b "] {
        let more = format!("legend = [{{ symbol = \"{bad}\", needle = \"n\", stitch = \"cross\" }}, ");
        refused("legend = [", &more, Code::OutOfRange, &["empty cells", "another symbol"]);
    }
}

#[test]
fn pixels_of_the_legend() {
    let more = |a: &str, b: &str| {
        format!(
            "legend = [{{ symbol = \"b\", needle = \"n\", stitch = \"petite\", {a} }}, \
             {{ symbol = \"c\", needle = \"n\", stitch = \"quarter\", {b} }}, "
        )
    };
    let same = more("pixel = \"#C8a040\"", "pixel = \"#c8A040\"");
    refused("legend = [", &same, Code::Duplicate, &["symbol 'c'", "its pixel is that of symbol 'b' too"]);
    let same = more("pixel_index = 3", "pixel_index = 3");
    refused("legend = [", &same, Code::Duplicate, &["symbol 'c'", "its pixel_index is that of symbol 'b'"]);
    for bad in ["c8a040", "#c8a04", "#c8a0401", "#c8a04g", "#+8a040", "#c8a0ä", ""] {
        let pixel = more(&format!("pixel = \"{bad}\""), "pixel_index = 255");
        refused("legend = [", &pixel, Code::WrongShape, &["symbol 'b', pixel", "is no colour", "#rrggbb"]);
    }
}

#[test]
fn charts_of_a_layer() {
    let (rows, choice) = ("rows = [\"aa.\", \".a \"]", Code::ChartChoice);
    refused(
        &format!(", {rows}"),
        "",
        choice,
        &["layer 'ground'", "neither a chart nor a size", "size = [columns, rows]"],
    );
    refused(
        rows,
        &format!("{rows}, csv = \"a.csv\""),
        choice,
        &["rows and csv", "only one of rows, csv, png, size"],
    );
    refused(rows, &format!("{rows}, size = [3, 2]"), choice, &["rows and size"]);
    refused(rows, &format!("{rows}, png_empty = 3"), choice, &["png_empty is given without png"]);
    let sized = changed(rows, "size = [3, 2], at_threads = [4, 6]");
    let design = read_with(&sized, &[]).unwrap().design;
    let layer = &design.layers[0];
    assert_eq!((layer.columns, layer.rows, layer.grid.len(), layer.at), (3, 2, 0, (4, 6)));
}

/// More legend, and a list of the layer.
fn drawn(list: &str) -> String {
    let more = "legend = [{ symbol = \"q\", needle = \"n\", stitch = \"quarter\" }, \
                { symbol = \"-\", needle = \"n\", stitch = \"backstitch\" }, \
                { symbol = \"o\", needle = \"n\", stitch = \"french-knot\" }, ";
    changed("legend = [", more).replace("rows = [", &format!("{list}, rows = ["))
}

#[test]
fn stitches_lines_and_knots() {
    let list = "stitches = [{ symbol = \"q\", cells = [[3, 1], [1, 2]] }], \
                lines = [{ symbol = \"-\", points = [[0, 0], [3, 1.5]], long = true }], \
                knots = [{ symbol = \"o\", holes = [[0.5, 2]] }]";
    let design = read_with(&drawn(list), &[]).unwrap().design;
    let layer = &design.layers[0];
    let cells: Vec<_> =
        layer.singles.iter().map(|single| (single.column, single.row, single.entry)).collect();
    assert_eq!(cells, [(2, 0, 0), (0, 1, 0)]);
    assert_eq!((layer.lines[0].points.as_slice(), layer.lines[0].long), ([(0, 0), (6, 3)].as_slice(), true));
    assert_eq!((layer.knots[0].at, layer.knots[0].entry), ((1, 4), 2));
}

#[test]
fn places_that_are_none() {
    let one = |list: &str, code: Code, words: &[&str]| {
        says(&read_with(&drawn(list), &[]).unwrap_err(), code, words);
    };
    let cell = |cell: &str| format!("stitches = [{{ symbol = \"q\", cells = [{cell}] }}]");
    one(&cell("[0, 1]"), Code::OffFabric, &["layer 'ground', cell [0, 1]", "from 1"]);
    one(&cell("[4, 1]"), Code::OffFabric, &["layer 'ground', column 4, row 1"]);
    one(&cell("[4294967295, 1]"), Code::OffFabric, &["column 4294967295"]);
    let knot = |hole: &str| format!("knots = [{{ symbol = \"o\", holes = [{hole}] }}]");
    one(&knot("[0.25, 1]"), Code::OffGrid, &["layer 'ground', hole [0.25, 1]", "whole cells or halves"]);
    one(&knot("[nan, 1]"), Code::OffGrid, &["hole [NaN, 1]"]);
    one(&knot("[0, inf]"), Code::OffGrid, &["hole [0, inf]"]);
    one(&knot("[0, 1e300]"), Code::OffFabric, &["outside of any layer", "32767"]);
    one(&knot("[0, -0.5]"), Code::OffFabric, &["hole [0, -0.5]"]);
    one(&knot("[0, 2.5]"), Code::OffFabric, &["hole [0, 2.5]", "3 by 2 cells"]);
    let line = "lines = [{ symbol = \"-\", points = [[0, 0], [0.1, 0], [1, 0]] }]";
    one(line, Code::OffGrid, &["hole [0.1, 0]"]);
    for list in ["stitches = [{ symbol = \"x\", cells = [] }]", "lines = [{ symbol = \"x\", points = [] }]"] {
        one(list, Code::UnknownSymbol, &["layer 'ground', ", "symbol 'x' is missing from the legend"]);
    }
    one("knots = [{ symbol = \"x\", holes = [[0, 0]] }]", Code::UnknownSymbol, &["layer 'ground', knots"]);
}

#[test]
fn kits() {
    let kit = |fields: &str| read_with(&with_kit(fields), &[]).unwrap().kit.unwrap();
    let empty = kit("");
    assert_eq!((empty.tight_below, empty.count_other_lots), (Kit::TIGHT_BELOW, true));
    assert_eq!((empty.thread.len(), empty.beads), (0, vec![0]));
    let full = kit("tight_below = 1.25, count_other_lots = false, \
         thread = [{ shade = \"S\", put_ups = 2 }, { shade = \"S\", metres = 12.5, other_lot = true }, \
         { shade = \"S\", lengths = { count = 6, length_m = 1.0, strands = 3 } }], \
         beads = [{ bead = \"b\", packets = 2 }, { bead = \"b\", packets = 1, pieces = 5 }]");
    assert_eq!((full.tight_below, full.count_other_lots), (Share::from_millionths(1_250_000), false));
    assert_eq!(full.thread[0].form, Form::PutUps(2));
    assert_eq!(
        (full.thread[1].form, full.thread[1].other_lot),
        (Form::Metres(Length::from_mm(12_500.0)), true)
    );
    let lengths = Form::Lengths { count: 6, length: Length::from_mm(1000.0), strands: 3 };
    assert_eq!(full.thread[2].form, lengths);
    assert_eq!(full.beads, [365]);

    let one = |fields: &str, code: Code, words: &[&str]| {
        says(&read_with(&with_kit(fields), &[]).unwrap_err(), code, words);
    };
    let wrong = Code::WrongShape;
    one("thread = [{ shade = \"S\" }]", wrong, &["kit, shade 'S'", "none of put_ups, lengths, metres"]);
    one("thread = [{ shade = \"S\", put_ups = 1, metres = 2 }]", wrong, &["put_ups and metres", "only one"]);
    one("beads = [{ bead = \"b\" }]", wrong, &["kit, bead 'b'", "neither packets nor pieces"]);
    let out = Code::OutOfRange;
    one("tight_below = nan", out, &["kit, tight_below", "NaN", "from 0 to 100"]);
    one("thread = [{ shade = \"S\", metres = nan }]", out, &["kit, shade 'S', metres", "NaN"]);
    one("beads = [{ bead = \"b\", pieces = 1000001 }]", out, &["1000001 pieces", "at most 1000000"]);
}

#[test]
fn lists_at_their_limits() {
    let wire = |legend: usize, layers: usize| {
        let mut wire = crate::parse::parse("p.toml", FileKind::Toml, SMALL).unwrap();
        let (entry, layer) = (wire.legend[0].clone(), wire.layers[0].clone());
        let named = |i: usize| crate::wire::LegendEntry { symbol: format!("s{i}"), ..entry.clone() };
        wire.legend = (1..legend).map(named).chain([entry.clone()]).collect();
        let named = |i: usize| crate::wire::Layer {
            name: i.to_string(),
            at_threads: [8 * i as u32, 0],
            ..layer.clone()
        };
        wire.layers = (0..layers).map(named).collect();
        from_wire(&wire, &|_| unreachable!())
    };
    let most = wire(limits::LEGEND, limits::LAYERS).unwrap();
    assert_eq!(most.design.layers[255].grid, [65535, 65535, 0, 0, 65535, 0]);
    let found = wire(limits::LEGEND + 1, 1).unwrap_err();
    says(&found, Code::TooLarge, &["legend", "65536 entries", "at most 65535"]);
    says(
        &wire(1, limits::LAYERS + 1).unwrap_err(),
        Code::TooLarge,
        &["layers", "257 entries", "at most 256"],
    );
}

#[test]
fn long_names_do_not_flood_messages() {
    let long = "x".repeat(1_000_000);
    let toml = changed("rows = [", &format!("rows = [\"{}\", ", "y".repeat(1000)))
        .replace("\"ground\"", &format!("\"{long}\""));
    let found = read_with(&toml, &[]).unwrap_err();
    assert!(found.total() > 1000 && found.to_string().len() < 100_000);
    let found = read_with(&changed("over = 2", &format!("over = 2, {long} = 1")), &[]).unwrap_err();
    assert!(found.to_string().len() < 2_000);
}
