//! Every limit at its value and one beyond, and sizes that are absurd.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use needleful::chart::{Knot, Layer, Line, Single};
use needleful::legend::Entry;
use needleful::needle::{Needle, Threading};
use needleful::stitch::Kind;
use needleful::thread::Shade;
use needleful::{Code, Design, Parts, limits};
use needleful_tests::{bare, block, planar};

fn with(change: impl FnOnce(&mut Parts)) -> Parts {
    let mut parts = bare(planar(14.0), &["cross", "backstitch", "french-knot"]);
    parts.layers = vec![block(1, 2, 2)];
    change(&mut parts);
    parts
}

/// Passes with so many, is refused for its size with one more.
#[track_caller]
fn at_and_beyond(limit: u64, code: Code, set: impl Fn(&mut Parts, u64)) {
    Design::new(with(|parts| set(parts, limit))).unwrap();
    refused(code, with(|parts| set(parts, limit + 1)));
}

#[track_caller]
fn refused(code: Code, parts: Parts) {
    let problems = Design::new(parts).unwrap_err();
    assert_eq!(problems.list()[0].code, code, "{problems}");
}

fn empty(columns: u32, rows: u32) -> Layer {
    Layer::new("one", 1, columns, rows)
}

#[test]
fn cells_and_sides() {
    at_and_beyond(u64::from(limits::SIDE), Code::TooLarge, |p, n| p.layers = vec![empty(n as u32, 1)]);
    at_and_beyond(u64::from(limits::SIDE), Code::TooLarge, |p, n| p.layers = vec![empty(1, n as u32)]);
    // 4096 rows of 4096, and one cell more in a second layer.
    at_and_beyond(limits::CELLS, Code::TooLarge, |p, n| {
        p.layers = vec![empty(4096, 4096)];
        if n > limits::CELLS {
            p.layers.push(Layer { name: "two".into(), ..empty(1, 1) });
        }
    });
    refused(Code::TooLarge, with(|p| p.layers[0].columns = 0));
    refused(Code::RaggedRows, with(|p| p.layers[0].grid.truncate(3)));
}

#[test]
fn fabric() {
    at_and_beyond(u64::from(limits::OVER), Code::OutOfRange, |p, n| p.layers[0].over = n as u32);
    // 8192 by 8192 threads.
    at_and_beyond(8192 - 4, Code::TooLarge, |p, n| {
        p.layers[0] = Layer { over: 2, at: (n as u32, 8192 - 4), ..block(2, 2, 2) };
    });
    at_and_beyond(limits::FABRIC_SIDE - 1, Code::TooLarge, |p, n| {
        p.layers[0] = Layer { at: (n as u32, 0), ..block(1, 1, 1) };
    });
    for absurd in
        [Layer { over: u32::MAX, ..block(1, 2, 2) }, Layer { at: (u32::MAX, u32::MAX), ..block(1, 2, 2) }]
    {
        assert!(Design::new(with(|p| p.layers[0] = absurd)).is_err());
    }
    let huge = |name: &str| Layer { name: name.into(), ..empty(u32::MAX, u32::MAX) };
    refused(Code::TooLarge, with(|p| p.layers = vec![huge("a"), huge("b")]));
}

#[test]
fn names_legend_and_layers() {
    at_and_beyond(limits::LEGEND as u64, Code::TooLarge, |p, n| {
        let kind = Kind::named("cross").unwrap();
        p.legend = (0..n).map(|i| Entry::new(i.to_string(), 0, kind)).collect();
    });
    at_and_beyond(limits::NAMES as u64, Code::TooLarge, |p, n| {
        p.shades = (0..n).map(|i| Shade { code: i.to_string(), name: String::new(), line: 0 }).collect();
    });
    at_and_beyond(limits::NAMES as u64, Code::TooLarge, |p, n| {
        let needle = |i: u64| Needle { name: i.to_string(), ..p.needles[0].clone() };
        p.needles = (0..n).map(needle).collect();
    });
    at_and_beyond(limits::LAYERS as u64, Code::TooLarge, |p, n| {
        let layer = |i: u64| Layer { name: i.to_string(), ..empty(1, 1) };
        p.layers = (0..n).map(layer).collect();
    });
    at_and_beyond(limits::NAME_CHARS as u64, Code::OutOfRange, |p, n| {
        p.needles[0].name = "é".repeat(n as usize);
    });
}

#[test]
fn needles() {
    at_and_beyond(limits::BLEND as u64, Code::EmptyNeedle, |p, n| {
        p.shades = (0..n).map(|i| Shade { code: i.to_string(), name: String::new(), line: 0 }).collect();
        p.needles[0].threads = (0..n as usize).map(|shade| Threading { shade, strands: 1 }).collect();
    });
    at_and_beyond(u64::from(limits::STRANDS), Code::OutOfRange, |p, n| {
        p.needles[0].threads[0].strands = n as u32;
    });
    at_and_beyond(u64::from(limits::STRANDS), Code::OutOfRange, |p, n| p.lines[0].strands = n as u32);
}

#[test]
fn single_stitches() {
    // Knots at distinct holes, one line of many stitches, single stitches in cells of their own.
    at_and_beyond(limits::SINGLES as u64, Code::TooLarge, |p, n| {
        let at = |i: u64| Knot { entry: 2, at: ((i % 4096) as i32, (i / 4096) as i32) };
        p.layers[0] = Layer { knots: (0..n).map(at).collect(), ..empty(4096, 4096) };
    });
    at_and_beyond(limits::SINGLES as u64, Code::TooLarge, |p, n| {
        let at = |i: u64| Single { entry: 0, column: (i % 4096) as u32, row: (i / 4096) as u32 };
        p.layers[0] = Layer { singles: (0..n).map(at).collect(), ..empty(4096, 4096) };
    });
    // Legs are counted after splitting: rows of 4095 stitches each.
    let lines = |rows: i32| Layer {
        lines: (0..rows)
            .map(|y| Line { entry: 1, points: vec![(0, 2 * y), (2 * 4095, 2 * y)], long: false })
            .collect(),
        ..empty(4096, 4096)
    };
    Design::new(with(|p| p.layers[0] = lines(1024))).unwrap();
    refused(Code::TooLarge, with(|p| p.layers[0] = lines(1025)));
}
