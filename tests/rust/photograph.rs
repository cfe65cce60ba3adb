//! The photograph chart and its variants through the whole job.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use needleful::{Design, estimate};
use needleful_tests::{photo, referee};

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
