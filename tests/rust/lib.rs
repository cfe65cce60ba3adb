//! What the tests share: designs built in a few words, and the referee.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

pub mod photo;
pub mod referee;

use needleful::chart::{Knot, Layer, Line, Point};
use needleful::consumption::NeedleUse;
use needleful::fabric::{Fabric, FabricKind};
use needleful::habits::{HabitChanges, Habits, TopLeg};
use needleful::legend::Entry;
use needleful::needle::{Needle, Threading};
use needleful::stitch::Kind;
use needleful::thread::{Fibre, PutUp, Shade, ThreadLine, Winding};
use needleful::units::{Count, LinearDensity};
use needleful::{Design, Parts, estimate};

/// A thread line with the defaults.
pub fn line(strands: u32) -> ThreadLine {
    ThreadLine {
        name: "Plain".into(),
        strands,
        density: LinearDensity::from_tex(ThreadLine::DEFAULT_TEX).unwrap(),
        fibre: Fibre::Cotton,
        packing: ThreadLine::DEFAULT_PACKING,
        measured_width_mm: None,
        put_up: PutUp::of_metres(Winding::Skein, 8.0).unwrap(),
        habits: HabitChanges::default(),
    }
}

/// A fabric of equal counts without passages or riding over.
pub fn planar(count: f64) -> Fabric {
    let count = Count::per_inch(count).unwrap();
    Fabric::new(FabricKind::Evenweave, count, count).with_planar(true)
}

/// A design of one needle (two strands of one shade) and one legend entry per kind named, without
/// layers yet.
pub fn bare(fabric: Fabric, kinds: &[&str]) -> Parts {
    let entry = |(i, name): (usize, &&str)| {
        Entry::new(format!("{}", (b'a' + i as u8) as char), 0, Kind::named(name).unwrap())
    };
    Parts {
        title: "test".into(),
        fabric,
        habits: Habits::default(),
        top_leg: TopLeg::LeansLeft,
        lines: vec![line(6)],
        shades: vec![Shade { code: "s".into(), name: String::new(), line: 0 }],
        needles: vec![Needle {
            name: "n".into(),
            threads: vec![Threading { shade: 0, strands: 2 }],
            habits: HabitChanges::default(),
        }],
        beads: Vec::new(),
        legend: kinds.iter().enumerate().map(entry).collect(),
        layers: Vec::new(),
    }
}

/// A layer from rows of text: `a` is the first legend entry, `b` the second, anything else is empty.
pub fn layer(over: u32, rows: &[&str]) -> Layer {
    let mut layer = Layer::new("one", over, rows[0].len() as u32, rows.len() as u32);
    let value = |c: u8| if c.is_ascii_lowercase() { u16::from(c - b'a') + 1 } else { 0 };
    layer.grid = rows.iter().flat_map(|row| row.bytes().map(value)).collect();
    layer
}

/// A layer of one entry on every cell.
pub fn block(over: u32, columns: usize, rows: usize) -> Layer {
    let row = "a".repeat(columns);
    layer(over, &vec![row.as_str(); rows])
}

/// A layer of lines of the first entry, points in half cells.
pub fn lines(over: u32, columns: u32, rows: u32, points: &[&[Point]]) -> Layer {
    let mut layer = Layer::new("one", over, columns, rows);
    layer.lines = points.iter().map(|p| Line { entry: 0, points: p.to_vec(), long: false }).collect();
    layer
}

/// A layer of knots of the first entry.
pub fn knots(over: u32, columns: u32, rows: u32, at: &[Point]) -> Layer {
    let mut layer = Layer::new("one", over, columns, rows);
    layer.knots = at.iter().map(|&at| Knot { entry: 0, at }).collect();
    layer
}

/// The design of these kinds and one layer.
pub fn design(fabric: Fabric, kinds: &[&str], layer: Layer) -> Design {
    Design::new(Parts { layers: vec![layer], ..bare(fabric, kinds) }).unwrap()
}

/// What its only needle takes.
pub fn only_needle(design: &Design) -> NeedleUse {
    estimate(design).unwrap().needles.remove(0)
}

/// The command that was built with these tests.
pub fn needleful() -> std::process::Command {
    let test = std::env::current_exe().unwrap();
    let folder = test.parent().and_then(|deps| deps.parent()).unwrap();
    let command = folder.join(format!("needleful{}", std::env::consts::EXE_SUFFIX));
    assert!(command.exists(), "build the command first: cargo build -p needleful-shell, in the same profile");
    std::process::Command::new(command)
}

/// The demo's project file.
pub fn demo() -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo/tidewait.toml")
}
