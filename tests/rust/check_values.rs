//! Lengths that are known without this library. u is the distance between neighbouring holes of a
//! stitch, 25.4·over/count mm. Sources beside each; "derived" means worked by hand from the geometry.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use needleful::Length;
use needleful::fabric::{Fabric, FabricKind};
use needleful::habits::{HabitChanges, TopLeg};
use needleful::stitch::Corner;
use needleful::thread::{Fibre, ThreadLine};
use needleful::units::{Count, LinearDensity};
use needleful::{Design, Parts, estimate};
use needleful_tests::{bare, block, design, knots, layer, line, lines, only_needle, planar};

const U14: f64 = 25.4 / 14.0;

#[track_caller]
fn close(length: Length, mm: f64) {
    assert!((length.mm() - mm).abs() <= 1e-9 * mm.abs() + 1e-9, "{} mm, not {mm}", length.mm());
}

#[test]
fn one_cross_open() {
    // Derived: two diagonals and one back step, 2·sqrt2 + 1.
    let needle = only_needle(&design(planar(14.0), &["cross"], block(1, 1, 1)));
    close(needle.habit, (2.0 * 2_f64.sqrt() + 1.0) * U14);
    close(needle.floor, 3.828_427_124_746_19 * U14);
    assert_eq!(needle.legs, 2);
}

#[test]
fn over_two_on_28_is_over_one_on_14() {
    let a = only_needle(&design(planar(14.0), &["cross"], block(1, 7, 3)));
    let b = only_needle(&design(planar(28.0), &["cross"], block(2, 7, 3)));
    assert_eq!((a.habit, a.floor), (b.habit, b.floor));
}

#[test]
fn a_closed_cross_in_a_long_row_of_crosses() {
    // Derived: closed cross 2·sqrt2 + 2 = 4.828427 u; printed values per count. A row of n takes
    // n closed crosses less one step.
    for (count, mm) in [(14.0, 8.760_146), (16.0, 7.665_128), (18.0, 6.813_447), (11.0, 11.149_277)] {
        let u = 25.4 / count;
        let needle = only_needle(&design(planar(count), &["cross"], block(1, 100, 1)));
        assert!(((needle.habit.mm() + u) / 100.0 - mm).abs() < 5e-7, "{count}");
    }
}

#[test]
fn a_row_of_ten() {
    // Derived: 2·sqrt2·n + 2n − 1 for bottom legs out, top legs back.
    let needle = only_needle(&design(planar(14.0), &["cross"], block(1, 10, 1)));
    close(needle.habit, 47.284_271_247_461_9 * U14);
    close(needle.floor, 47.284_271_247_461_9 * U14);
}

#[test]
fn a_block_of_ten_by_ten() {
    // Derived: floor 2·sqrt2·N + 2N − 1 u; rows worked downward, each from the same side, spend
    // 2 u instead of 1 at each of the nine changes of row.
    let needle = only_needle(&design(planar(14.0), &["cross"], block(1, 10, 10)));
    assert!((needle.floor.mm() - 874.200_350).abs() < 5e-7);
    close(needle.floor, 481.842_712_474_619 * U14);
    close(needle.habit, 490.842_712_474_619 * U14);
    assert_eq!(needle.new_starts, 0);
}

#[test]
fn a_block_of_a_hundred_by_a_hundred() {
    // Derived, as above.
    let needle = only_needle(&design(planar(14.0), &["cross"], block(1, 100, 100)));
    assert!((needle.floor.metres() - 87.599_649).abs() < 5e-7);
}

#[test]
fn two_cells_with_a_gap() {
    // Derived: back and carry together 2 + g u for g empty columns between, while within the carry.
    for gap in 1..=6 {
        let rows = format!("a{}a", ".".repeat(gap));
        let needle = only_needle(&design(planar(14.0), &["cross"], layer(1, &[&rows])));
        close(needle.habit, (4.0 * 2_f64.sqrt() + 2.0 + gap as f64) * U14);
        assert_eq!((needle.carries, needle.new_starts), (1, 0));
        close(needle.rows[0].spent.carries, gap as f64 * U14);
    }
    // 7 columns are 12.7 mm, 8 are 14.5: beyond the 13 mm carry she starts again.
    let far = only_needle(&design(planar(14.0), &["cross"], layer(1, &["a........a"])));
    assert_eq!((far.carries, far.new_starts), (0, 1));
}

#[test]
fn two_cells_on_a_diagonal() {
    // Derived: (0,0)(2,1) floor with leg order 3.414214 u behind, (0,0)(2,2) 4.236068 u. No plan may
    // lie below; the generic floor certifies 1 + 1 + 1 = 3 u of them.
    for (rows, behind) in [(["a..", "..a", "..."], 3.414_213_562), (["a..", "...", "..a"], 4.236_067_977)] {
        let needle = only_needle(&design(planar(14.0), &["cross"], layer(1, &rows)));
        assert!(needle.habit.mm() >= (4.0 * 2_f64.sqrt() + behind) * U14 - 1e-6);
        assert!(needle.floor.mm() <= (4.0 * 2_f64.sqrt() + behind) * U14 + 1e-6);
    }
}

#[test]
fn half_crosses_in_rows() {
    // Derived: sqrt2 + 1 = 2.414214 u a stitch, less the first step.
    let needle = only_needle(&design(planar(14.0), &["half-cross"], block(1, 50, 1)));
    close(needle.habit, (50.0 * 2.414_213_562_373_095 - 1.0) * U14);
}

#[test]
fn tent_stitch_keeps_its_back() {
    // Derived: continental sqrt2 + sqrt5 = 3.650282 u, basketweave sqrt2 + 2 = 3.414214 u a stitch;
    // the first stitch of all has no back before it. No plan may thin it, so the floor is the same.
    let a_stitch = [("tent-continental", 3.650_281_539_872_885), ("tent-basketweave", 3.414_213_562_373_095)];
    for (kind, u) in a_stitch {
        let needle = only_needle(&design(planar(14.0), &[kind], block(1, 40, 1)));
        let back = u - 2_f64.sqrt();
        close(needle.habit, (40.0 * u - back) * U14);
        close(needle.floor, (40.0 * u - back) * U14);
        let block = only_needle(&design(planar(14.0), &[kind], block(1, 12, 9)));
        assert!(block.habit >= block.floor);
        close(block.floor, (108.0 * u - back) * U14);
    }
}

#[test]
fn fractional_fronts() {
    // Derived: a quarter covers 0.707107 u of front, a three-quarter 2.121320 u.
    for (kind, u) in [("quarter", 0.5_f64.sqrt()), ("three-quarter", 0.5_f64.sqrt() + 2_f64.sqrt())] {
        let needle = only_needle(&design(planar(14.0), &[kind], block(1, 1, 1)));
        close(needle.rows[0].spent.front, u * U14);
    }
}

#[test]
fn an_over_one_patch_beside_over_two() {
    // Derived: over one on 28 per inch, u is half of that over two; a row of ten each.
    let mut patch = block(1, 10, 1);
    patch.name = "patch".into();
    patch.at = (0, 2);
    let parts = Parts { layers: vec![block(2, 10, 1), patch], ..bare(planar(28.0), &["cross"]) };
    let needle = only_needle(&Design::new(parts).unwrap());
    let fronts: Vec<f64> = needle.rows.iter().map(|row| row.spent.front.mm()).collect();
    assert!((fronts[0] - 20.0 * 2_f64.sqrt() * U14).abs() < 1e-8);
    assert!((fronts[1] - 10.0 * 2_f64.sqrt() * U14).abs() < 1e-8);
    let behind: f64 = needle.rows.iter().map(|r| (r.spent.back + r.spent.carries).mm()).sum();
    // 19 steps over two; from the upper left of that row to the lower left of the patch, 3 threads;
    // 19 steps over one.
    assert!((behind - (19.0 + 1.5 + 9.5) * U14).abs() < 1e-8, "{behind}");
}

#[test]
fn lines_of_ten() {
    // Derived: backstitch 3n − 2 = 28 u, double running 2n − 1 = 19 u, and no way with less than 19.
    let points: &[(i32, i32)] = &[(0, 0), (20, 0)];
    let back = only_needle(&design(planar(14.0), &["backstitch"], lines(1, 10, 1, &[points])));
    close(back.habit, 28.0 * U14);
    close(back.floor, 19.0 * U14);
    let running = only_needle(&design(planar(14.0), &["double-running"], lines(1, 10, 1, &[points])));
    close(running.habit, 19.0 * U14);
    assert_eq!((back.stitches, running.stitches), (10, 10));
    for n in 1..12 {
        let points: &[(i32, i32)] = &[(0, 0), (2 * n, 0)];
        let needle = only_needle(&design(planar(14.0), &["double-running"], lines(1, 12, 1, &[points])));
        close(needle.habit, f64::from(2 * n - 1) * U14);
    }
}

#[test]
fn small_line_designs_never_below_their_optimum() {
    // Derived (matching of leg ends): U of (0,0)-(0,3), (0,0)-(1,0), (1,0)-(1,3) as long stitches, open,
    // 9 u; segments (0,0)-(2,1), (2,1)-(2,3), (2,3)-(0,2), open, 10.472136 u.
    let two = |a: (i32, i32), b: (i32, i32)| [(2 * a.0, 2 * a.1), (2 * b.0, 2 * b.1)];
    let figures = [
        ([two((0, 0), (0, 3)), two((0, 0), (1, 0)), two((1, 0), (1, 3))], 9.0),
        ([two((0, 0), (2, 1)), two((2, 1), (2, 3)), two((2, 3), (0, 2))], 10.472_135_955),
    ];
    for (segments, optimum) in figures {
        let segments: Vec<&[(i32, i32)]> = segments.iter().map(|s| s.as_slice()).collect();
        let needle = only_needle(&design(planar(14.0), &["long"], lines(1, 3, 3, &segments)));
        assert!(needle.floor.mm() <= optimum * U14 + 1e-6, "floor {}", needle.floor.mm() / U14);
        assert!(needle.habit.mm() >= optimum * U14 - 1e-6, "habit {}", needle.habit.mm() / U14);
    }
}

#[test]
fn knots_by_their_wraps() {
    // Derived: per wrap pi·(needle + b) where the knot keeps the needle's size, 2·pi·b pulled tight.
    let parts = |tight| {
        let mut parts = bare(planar(14.0), &["french-knot"]);
        parts.legend[0].tight = tight;
        parts.legend[0].wraps = 3;
        parts.layers = vec![knots(1, 4, 4, &[(3, 3)])];
        Design::new(parts).unwrap()
    };
    let b = line(6).strand_mm() * 2_f64.sqrt();
    let pi = std::f64::consts::PI;
    close(only_needle(&parts(false)).rows[0].spent.front, 3.0 * pi * (0.8 + b));
    close(only_needle(&parts(true)).rows[0].spent.front, 3.0 * 2.0 * pi * b);
}

#[test]
fn strand_diameters() {
    // Cited: F. T. Peirce, J. Textile Inst. 28 (1937) T45: d = 1/(28·sqrt(Ne)) inch, the case
    // 1/(packing·density) = 1.1 cm3/g, rounded; Ne 16 gives 1/112 inch = 0.226786 mm.
    let peirce = ThreadLine {
        density: LinearDensity::from_ne(16.0).unwrap(),
        fibre: Fibre::Density(1.0),
        packing: 1.0 / 1.1,
        ..line(6)
    };
    // The rule's 28 is itself rounded from 27.94, which is 0.2 % of the diameter.
    assert!((peirce.strand_mm() / 0.226_786 - 1.0).abs() < 0.003, "{}", peirce.strand_mm());
    // Source: Morton & Hearle, Physical Properties of Textile Fibres, 4th ed., Table 5.1.
    let densities = [
        (Fibre::Cotton, 1.52),
        (Fibre::Viscose, 1.49),
        (Fibre::Wool, 1.31),
        (Fibre::Silk, 1.34),
        (Fibre::Polyester, 1.39),
    ];
    for (fibre, density) in densities {
        assert_eq!(fibre.density(), density);
    }
}

#[test]
fn passages_follow_the_racetrack() {
    // Derived: perimeter of a racetrack round fabric of thickness T with thread of thickness b, per
    // passage (pi/2 − 1)·T + pi/2·b − min(g, b): one cross has four of them.
    let count = Count::per_inch(14.0).unwrap();
    let fabric = Fabric::new(FabricKind::BlockWeave, count, count)
        .with_thickness_mm(0.4)
        .and_then(|f| f.with_hole_mm(0.25))
        .unwrap();
    let needle = only_needle(&design(fabric, &["cross"], block(1, 1, 1)));
    let b = line(6).strand_mm() * 2_f64.sqrt();
    let half_pi = std::f64::consts::FRAC_PI_2;
    let passage = (half_pi - 1.0) * 0.4 + half_pi * b - 0.25_f64.min(b);
    assert!((needle.rows[0].spent.passages.mm() - 4.0 * passage).abs() < 1e-8);
    // Derived: the top leg rides over the bottom one, 2·sqrt((L/2)² + b²).
    let leg = 2_f64.sqrt() * U14;
    let front = leg + 2.0 * (leg * leg / 4.0 + b * b).sqrt();
    assert!((needle.rows[0].spent.front.mm() - front).abs() < 1e-8);
}

#[test]
fn a_short_stitch_turns_round_a_narrow_stadium() {
    // Derived: over one on 40 per inch with thick fabric, legs and steps of 0.635 mm are shorter than
    // T + g: the loop round the fabric is 2·(T − W) + pi·(W + b) with W = step − g.
    let count = Count::per_inch(40.0).unwrap();
    let fabric = Fabric::new(FabricKind::Evenweave, count, count)
        .with_thickness_mm(0.6)
        .and_then(|f| f.with_hole_mm(0.2))
        .unwrap();
    let points: &[(i32, i32)] = &[(0, 0), (4, 0)];
    let needle = only_needle(&design(fabric, &["double-running"], lines(1, 2, 1, &[points])));
    let b = line(6).strand_mm() * 2_f64.sqrt();
    let pi = std::f64::consts::PI;
    let width = 0.635 - 0.2;
    // Two fronts, one back: each half a stadium; a start adds two half passages of the long form.
    let long = (pi / 2.0 - 1.0) * 0.6 + pi / 2.0 * b - 0.2;
    let halves = 3.0 * (2.0 * (0.6 - width) + pi * (width + b)) / 2.0;
    let spent = needle.rows[0].spent;
    assert!(((spent.front + spent.back + spent.passages).mm() - halves - long).abs() < 1e-8);
}

#[test]
fn every_kind_in_every_corner_and_lean_has_no_zero_back() {
    for kind in needleful::stitch::KINDS.iter().filter(|kind| kind.form == needleful::stitch::Form::Cell) {
        for corner in [Corner::LowerLeft, Corner::LowerRight, Corner::UpperRight, Corner::UpperLeft] {
            for top in [TopLeg::LeansLeft, TopLeg::LeansRight] {
                let mut parts = bare(planar(14.0), &[kind.name]);
                parts.legend[0].corner = corner;
                parts.top_leg = top;
                if kind.bead {
                    let bead = needleful::thread::Bead::new("b".into(), String::new(), 2.0, 10).unwrap();
                    parts.beads = vec![bead];
                    parts.legend[0].bead = Some(0);
                }
                parts.layers = vec![layer(2, &["aaa.a", "a.aaa", ".....", "a.a.a"])];
                needleful_tests::referee::judge_habit(&Design::new(parts).unwrap());
            }
        }
    }
}

#[test]
fn metallic_thread_has_habits_of_its_own() {
    // Common practice, no source: needleful 350 mm, waste 5 %.
    let mut parts = Parts { layers: vec![block(1, 30, 30)], ..bare(planar(14.0), &["cross"]) };
    parts.lines[0].habits = HabitChanges::metallic();
    let needle = estimate(&Design::new(parts).unwrap()).unwrap().needles.remove(0);
    assert_eq!(needle.needleful.mm(), 350.0);
    assert_eq!(needle.waste.factor(), 0.05);
}
