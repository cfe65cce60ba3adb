//! The command as a person meets it: exit codes, pages, problems.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use needleful_tests::{demo, needleful};
use std::process::{Output, Stdio};

fn run(words: &[&str]) -> Output {
    needleful().args(words).arg(demo()).output().unwrap()
}

fn page(output: &Output) -> String {
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn the_demo_is_checked_in_eighty_columns_without_colour() {
    for words in [&["check"] as &[&str], &["check", "--needles"], &["estimate"], &["estimate", "--needles"]] {
        let output = run(words);
        assert_eq!(output.status.code(), Some(0));
        let page = page(&output);
        for line in page.lines() {
            assert!(line.chars().count() <= 80, "{line}");
            assert!(!line.contains('\x1b'), "colour where there is no terminal: {line}");
        }
    }
    let page = page(&run(&["check", "--needles"]));
    for words in ["short", "tight", "enough", "over", "least possible", "as you stitch", "orts"] {
        assert!(page.contains(words), "{words} is not on the page");
    }
}

#[test]
fn a_short_kit_fails_only_when_asked() {
    assert_eq!(run(&["check"]).status.code(), Some(0));
    assert_eq!(run(&["check", "--fail-if-short"]).status.code(), Some(1));
    assert_eq!(run(&["validate"]).status.code(), Some(0));
}

/// Code 301: the words of the command are wrong.
#[test]
fn wrong_words_are_usage() {
    for words in [&["stitch"] as &[&str], &["estimate", "--jsno"], &[]] {
        let output = needleful().args(words).output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        assert!(output.stdout.is_empty());
        assert!(String::from_utf8_lossy(&output.stderr).contains("Usage"));
    }
}

/// Code 302: the result has nowhere to go.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output =
        needleful().arg("estimate").arg(demo()).stdout(full).stderr(Stdio::piped()).output().unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&output.stderr).contains("[302]"));
}

#[test]
fn a_problem_names_file_place_and_mend() {
    let output = needleful().args(["estimate", "no-such-file.toml"]).output().unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert!(output.stdout.is_empty());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.starts_with("no-such-file.toml: ") && said.contains("[201]"), "{said}");
}

#[test]
fn the_demo_json_has_units_and_floor_below_habit() {
    let output = run(&["check", "--json"]);
    let told: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    for needle in told["needles"].as_array().unwrap() {
        let figure = |key: &str| needle[key].as_f64().unwrap();
        assert!(figure("floor_needle_m") <= figure("habit_needle_m"), "{}", needle["needle"]);
        let parts = ["front", "back", "passages", "carries", "tails", "orts", "kept"];
        let sum: f64 = parts.iter().map(|part| figure(&format!("{part}_needle_m"))).sum();
        assert!((sum - figure("cut_needle_m")).abs() < 1e-9);
    }
    fractions_name_their_unit(&told, "");
}

/// Every figure that is not a count ends in its unit.
fn fractions_name_their_unit(value: &serde_json::Value, key: &str) {
    match value {
        serde_json::Value::Object(fields) => {
            fields.iter().for_each(|(key, value)| fractions_name_their_unit(value, key));
        }
        serde_json::Value::Array(items) => items.iter().for_each(|item| fractions_name_their_unit(item, key)),
        serde_json::Value::Number(number) if number.is_f64() => {
            let units = ["_m", "_mm", "_per_inch"];
            assert!(units.iter().any(|unit| key.ends_with(unit)), "{key} has no unit");
        }
        _ => {}
    }
}
