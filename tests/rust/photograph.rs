//! The photograph chart and its variants through the whole job.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use needleful::{Design, estimate};
use needleful_tests::{photo, referee};
use std::process::Command;

#[test]
fn the_grid_is_the_one_that_was_made() {
    // The digest beside the chart was written by the script that made it.
    let (columns, rows, cells) = photo::grid();
    assert_eq!((columns, rows, cells.len()), (400, 267, 106_800));
    let mut sums = Command::new("sha256sum")
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    std::io::Write::write_all(&mut sums.stdin.take().unwrap(), &cells).unwrap();
    let told = String::from_utf8(sums.wait_with_output().unwrap().stdout).unwrap();
    let kept = std::fs::read_to_string(photo::path().with_extension("sha256")).unwrap();
    assert_eq!(told.split(' ').next(), kept.split(' ').next());
}

fn whole_job(design: &Design) {
    let estimate = estimate(design).unwrap();
    let stitches: u64 = estimate.needles.iter().map(|needle| needle.stitches).sum();
    assert_eq!(stitches, design.layers[0].grid.len() as u64);
    for needle in &estimate.needles {
        assert!(needle.floor <= needle.habit);
        assert_eq!(needle.spent().total(), needle.cut());
    }
    for (index, shade) in estimate.shades.iter().enumerate() {
        let bought = needleful::supply::purchase(design, index, shade).unwrap();
        assert!(bought.put_ups > 0);
    }
}

#[test]
fn coffee() {
    let design = photo::coffee();
    whole_job(&design);
    referee::judge_habit(&design);
}

#[test]
fn blocky() {
    let design = photo::blocky();
    whole_job(&design);
    referee::judge_habit(&design);
}

#[test]
fn large() {
    whole_job(&photo::large());
}
