//! Tests of the whole crate, from bytes to projects and results.

mod charts;
mod fields;
mod files;
mod format;
mod page;
mod results;

use crate::project::{FileKind, Project, read};
use crate::text::problem;
use needleful::{Code, Problems};
use std::collections::HashMap;

/// A project of one needle and one full cross, for tests to change.
const SMALL: &str = r#"
needleful = 1
title = "small"
fabric = { kind = "evenweave", count_per_inch = 28 }
thread_lines = [{ line = "L", strands = 6, put_up = { kind = "skein", length_m = 8.0 } }]
shades = [{ shade = "S", line = "L" }]
needles = [{ needle = "n", thread = [{ shade = "S", strands = 2 }] }]
beads = [{ bead = "b", size_mm = 1.8, packet_pieces = 120 }]
legend = [{ symbol = "a", needle = "n", stitch = "cross" }]
layers = [{ name = "ground", over = 2, rows = ["aa.", ".a "] }]
"#;

/// Reads TOML with charts beside it.
fn read_with(toml: &str, charts: &[(&str, &[u8])]) -> Result<Project, Problems> {
    let charts: HashMap<&str, &[u8]> = charts.iter().copied().collect();
    read("p.toml", FileKind::Toml, toml.as_bytes(), &|name| {
        let chart = charts.get(name).map(|bytes| bytes.to_vec());
        chart.ok_or_else(|| problem(Code::CannotRead, name, "there is no such file", "check its name"))
    })
}

/// `SMALL` with one text in it replaced.
fn changed(from: &str, to: &str) -> String {
    assert!(SMALL.contains(from), "{from}");
    SMALL.replace(from, to)
}

/// The only problem of `SMALL` so changed: its code, and that it says all of `words`.
#[track_caller]
fn refused(from: &str, to: &str, code: Code, words: &[&str]) {
    says(&read_with(&changed(from, to), &[]).unwrap_err(), code, words);
}

#[track_caller]
fn says(problems: &Problems, code: Code, words: &[&str]) {
    let text = problems.to_string();
    assert_eq!(problems.total(), 1, "{text}");
    assert_eq!(problems.list()[0].code, code, "{text}");
    for word in words {
        assert!(text.contains(word), "'{word}' is not in: {text}");
    }
}
