//! Results as JSON.

use super::*;
use crate::result::{ProblemsResult, check_result, estimate_result};
use needleful::{Length, check_kit, estimate};
use serde_json::{Value, json, to_value};

const BLEND: &str = r#"
needleful = 1
title = "two"
fabric = { kind = "block-weave", count_per_inch = 14, count_down_per_inch = 15 }
thread_lines = [{ line = "L", strands = 6, put_up = { kind = "skein", length_m = 8.0 } }]
shades = [{ shade = "S", name = "sea", line = "L" }, { shade = "T", line = "L" }]
needles = [
  { needle = "s", thread = [{ shade = "S", strands = 2 }] },
  { needle = "st", thread = [{ shade = "S", strands = 1 }, { shade = "T", strands = 1 }] },
]
beads = [{ bead = "b", name = "drop", size_mm = 1.8, packet_pieces = 3 }]
legend = [
  { symbol = "a", needle = "s", stitch = "cross" },
  { symbol = "h", needle = "st", stitch = "half-cross" },
  { symbol = "d", needle = "st", stitch = "bead", bead = "b" },
]
[[layers]]
name = "one"
over = 1
rows = ["aahh", "dddd"]
[[layers]]
name = "two"
over = 2
at_threads = [0, 2]
rows = ["aa"]
[kit]
thread = [{ shade = "S", put_ups = 1 }]
beads = [{ bead = "b", packets = 1 }]
"#;

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

/// The seven figures that add up to what is cut.
const SPENT: [&str; 7] = [
    "front_needle_m",
    "back_needle_m",
    "passages_needle_m",
    "carries_needle_m",
    "tails_needle_m",
    "orts_needle_m",
    "kept_needle_m",
];

fn adds_up(value: &Value) {
    let sum: f64 = SPENT.iter().map(|key| number(value, key)).sum();
    assert!((sum - number(value, "cut_needle_m")).abs() < 1e-9, "{value}");
}

#[test]
fn an_estimate() {
    let project = read_with(BLEND, &[]).unwrap();
    let used = estimate(&project.design).unwrap();
    let result = to_value(estimate_result(&project.design, &used).unwrap()).unwrap();
    assert_eq!((&result["needleful"], &result["title"]), (&json!(1), &json!("two")));
    let fabric = json!({ "kind": "block-weave", "count_across_per_inch": 14.0, "count_down_per_inch": 15.0 });
    assert_eq!(result["fabric"], fabric);

    let needles = result["needles"].as_array().unwrap();
    assert_eq!((&needles[0]["blend"], &needles[1]["blend"]), (&json!(false), &json!(true)));
    assert_eq!(needles[1]["thread"], json!([{ "shade": "S", "strands": 1 }, { "shade": "T", "strands": 1 }]));
    assert_eq!(needles[0]["stitches"], 4);
    assert_eq!(needles[0]["legs"], 8);
    assert_eq!(needles[0]["needleful_mm"], 450.0);
    let words: Vec<_> =
        needles[1]["rows"].as_array().unwrap().iter().map(|row| (&row["layer"], &row["stitch"])).collect();
    assert_eq!(words, [(&json!("one"), &json!("half-cross")), (&json!("one"), &json!("bead"))]);

    for key in ["needles", "layers", "stitch_kinds"] {
        let parts = result[key].as_array().unwrap();
        parts.iter().for_each(adds_up);
        for figure in SPENT.iter().chain(&["cut_needle_m", "stitches"]) {
            let sum: f64 = parts.iter().map(|part| number(part, figure)).sum();
            assert!((sum - number(&result["total"], figure)).abs() < 1e-9, "{key} {figure}");
        }
    }
    adds_up(&result["total"]);
    let kinds: Vec<_> =
        result["stitch_kinds"].as_array().unwrap().iter().map(|kind| &kind["stitch"]).collect();
    assert_eq!(kinds, ["cross", "half-cross", "bead"]);
    assert_eq!((&result["layers"][1]["layer"], &result["layers"][1]["over"]), (&json!("two"), &json!(2)));

    let shade = &result["shades"][0];
    assert_eq!(
        (&shade["name"], &shade["line"], &shade["needles"]),
        (&json!("sea"), &json!("L"), &json!(["s", "st"]))
    );
    assert_eq!(
        (&shade["put_up"], &shade["put_up_skein_m"], &shade["put_ups"]),
        (&json!("skein"), &json!(8.0), &json!(1))
    );
    assert!((number(shade, "need_skein_m") - number(shade, "need_strand_m") / 6.0).abs() < 1e-12);
    assert!(number(shade, "need_strand_m") > number(shade, "cut_strand_m"));
    let bead = json!({ "bead": "b", "name": "drop", "pieces": 4, "packet_pieces": 3, "packets": 2 });
    assert_eq!(result["beads"], json!([bead]));
}

#[test]
fn a_check() {
    let project = read_with(BLEND, &[]).unwrap();
    let check = check_kit(&project.design, &project.kit.unwrap()).unwrap();
    let result = to_value(check_result(&project.design, &check).unwrap()).unwrap();
    assert_eq!(result["title"], "two");
    let kit = &result["kit"];
    assert_eq!(kit["short"], true);
    assert_eq!(
        (&kit["shades"][0]["verdict"], &kit["shades"][0]["supplied_skein_m"]),
        (&json!("enough"), &json!(8.0))
    );
    assert_eq!(
        (&kit["shades"][1]["verdict"], &kit["shades"][1]["spare_skein_m"]),
        (&json!("short"), &json!(0.0))
    );
    assert!(number(&kit["shades"][1], "short_skein_m") > 0.0);
    let bead = json!({ "bead": "b", "verdict": "short", "supplied_pieces": 3, "need_pieces": 4 });
    assert_eq!(kit["beads"], json!([bead]));
}

#[test]
fn sums_that_are_too_large() {
    let design = read_with(BLEND, &[]).unwrap().design;
    let mut used = estimate(&design).unwrap();
    for needle in &mut used.needles {
        needle.rows[0].spent.front = Length::from_pm(i64::MAX / 2 + 1);
    }
    let found = estimate_result(&design, &used).unwrap_err();
    assert!(found.list().iter().all(|problem| problem.code == Code::SumTooLarge), "{found}");
    assert!(found.to_string().contains("9,200 km"), "{found}");
}

#[test]
fn a_cut_longer_than_its_put_up() {
    let toml = BLEND.replace("length_m = 8.0", "length_m = 0.4");
    let design = read_with(&toml, &[]).unwrap().design;
    let found = estimate_result(&design, &estimate(&design).unwrap()).unwrap_err();
    assert_eq!(found.total(), 2);
    assert_eq!(found.list()[0].code, Code::HabitsDisagree);
}

#[test]
fn problems() {
    let found = read_with(&changed("title", "titel"), &[]).unwrap_err();
    let result = to_value(ProblemsResult::from(&found)).unwrap();
    assert_eq!(result["total"], 1);
    let problem = &result["problems"][0];
    assert_eq!((&problem["code"], &problem["place"]), (&json!(204), &json!("p.toml, line 3, column 1")));
    assert_eq!(problem["what"], "unknown field 'titel'");
    assert!(problem["mend"].as_str().unwrap().starts_with("use one of"));
}
