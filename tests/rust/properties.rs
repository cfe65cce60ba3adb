//! Properties that hold for every design, on random ones.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use needleful::chart::Layer;
use needleful::consumption::NeedleUse;
use needleful::habits::Start;
use needleful::route::{Join, Planner, Stretch, Sweeps};
use needleful::spend::Walk;
use needleful::{Design, Length, Parts};
use needleful_tests::{bare, design, only_needle, planar, referee};
use proptest::prelude::*;

fn cells(side: usize, kinds: u16) -> impl Strategy<Value = Layer> {
    let size = (1..=side, 1..=side);
    size.prop_flat_map(move |(columns, rows)| {
        let cell = prop_oneof![2 => Just(0_u16), 3 => 1..=kinds];
        proptest::collection::vec(cell, columns * rows).prop_map(move |grid| {
            let mut layer = Layer::new("one", 1, columns as u32, rows as u32);
            layer.grid = grid;
            layer
        })
    })
}

fn crosses(layer: Layer) -> NeedleUse {
    only_needle(&design(planar(14.0), &["cross"], layer))
}

/// The layer in a frame of two sides, its cells moved by a function of column and row.
fn moved(layer: &Layer, columns: u32, rows: u32, to: impl Fn(u32, u32) -> (u32, u32)) -> Layer {
    let mut other = Layer::new("one", layer.over, columns, rows);
    other.grid = vec![0; (columns * rows) as usize];
    for row in 0..layer.rows {
        for column in 0..layer.columns {
            let (x, y) = to(column, row);
            other.grid[(y * columns + x) as usize] = layer.grid[(row * layer.columns + column) as usize];
        }
    }
    other
}

const KINDS: [&str; 6] = ["cross", "half-cross", "quarter", "three-quarter", "upright-cross", "double-cross"];

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, ..ProptestConfig::default() })]

    #[test]
    fn every_route_passes_the_referee(layer in cells(14, 6), needleful_mm in 120_i64..500, looped: bool) {
        let mut parts = Parts { layers: vec![layer], ..bare(planar(14.0), &KINDS) };
        parts.habits.needleful = Length::from_mm(needleful_mm as f64);
        parts.habits.start = if looped { Start::Loop } else { Start::Tail };
        referee::judge_habit(&Design::new(parts).unwrap());
    }

    #[test]
    fn moving_a_design_changes_nothing(layer in cells(10, 1), dx in 0_u32..9, dy in 0_u32..9) {
        let (columns, rows) = (layer.columns + dx, layer.rows + dy);
        let there = moved(&layer, columns, rows, |x, y| (x + dx, y + dy));
        let (a, b) = (crosses(layer.clone()), crosses(there));
        prop_assert_eq!(&a, &b);
        // The same by the layer's place on the fabric.
        let mut placed = layer;
        placed.at = (dx, dy);
        prop_assert_eq!(a, crosses(placed));
    }

    #[test]
    fn turning_and_mirroring_change_neither_front_nor_floor(layer in cells(10, 1)) {
        let (w, h) = (layer.columns, layer.rows);
        let turned = moved(&layer, h, w, |x, y| (y, w - 1 - x));
        let mirrored = moved(&layer, w, h, |x, y| (w - 1 - x, y));
        let plain = crosses(layer);
        for other in [crosses(turned), crosses(mirrored)] {
            prop_assert_eq!(plain.floor, other.floor);
            prop_assert_eq!(plain.spent().front, other.spent().front);
        }
    }

    #[test]
    fn planar_length_is_linear_in_over_and_count(layer in cells(10, 1), over in 1_u32..5) {
        // The same route on each fabric: a carry limit in proportion.
        let length = |over: u32, count: f64| {
            let mut parts = bare(planar(count), &["cross"]);
            let scale = f64::from(over) / count;
            parts.habits.open_carry = Length::from_mm(100.0 * scale);
            parts.habits.covered_carry = Length::from_mm(300.0 * scale);
            parts.habits.start_tail = Length::ZERO;
            parts.habits.finish_tail = Length::ZERO;
            parts.layers = vec![Layer { over, ..layer.clone() }];
            only_needle(&Design::new(parts).unwrap()).habit.mm() / scale
        };
        let one = length(1, 14.0);
        prop_assert!((length(over, 14.0) - one).abs() <= 1e-6 + 1e-9 * one);
        prop_assert!((length(over, 30.0) - one).abs() <= 1e-6 + 1e-9 * one);
    }

    #[test]
    fn a_cross_added_beside_a_block_raises_the_floor_by_a_closed_cross(
        w in 1_usize..9, h in 1_usize..9, extra in 1_usize..9,
    ) {
        // Derived: exactly 2·sqrt2 + 2 u while the design stays one block.
        let mut block = vec!["a".repeat(w) + "."; h];
        let before = crosses(needleful_tests::layer(1, &block.iter().map(String::as_str).collect::<Vec<_>>()));
        block[extra % h] = "a".repeat(w + 1);
        let after = crosses(needleful_tests::layer(1, &block.iter().map(String::as_str).collect::<Vec<_>>()));
        let added = (after.floor - before.floor).mm() / (25.4 / 14.0);
        prop_assert!((added - (2.0 * 2_f64.sqrt() + 2.0)).abs() < 1e-8, "{}", added);
    }

    #[test]
    fn the_closed_form_equals_leg_by_leg(layer in cells(16, 6), needleful_mm in 120_i64..500) {
        let mut parts = Parts { layers: vec![layer], ..bare(planar(14.0).with_planar(false), &KINDS) };
        parts.habits.needleful = Length::from_mm(needleful_mm as f64);
        let design = Design::new(parts).unwrap();
        let work = &needleful::work::gather(&design)[0];
        let habits = design.needle_habits(&design.needles[0]);
        let ruler = design.fabric.ruler();
        let sweeps = Sweeps::rows(&design, work, &ruler);
        let tariff = needleful::price::Tariff::new(&design, &design.needles[0], habits.needleful);
        let mut fast = Walk::new(&design, work, &sweeps, &tariff);
        let mut slow = Walk::new(&design, work, &sweeps, &tariff);
        Planner::default().by_habit(work, &sweeps, &ruler, &habits, |stretch| {
            fast.follow(stretch);
            // The same stretch, one stitch at a time.
            let Stretch { first, last, .. } = stretch;
            let stitches: Vec<u32> =
                if first <= last { (first..=last).collect() } else { (last..=first).rev().collect() };
            for (i, stitch) in stitches.into_iter().enumerate() {
                let join = if i == 0 { stretch.join } else { Join::Link };
                slow.follow(Stretch { first: stitch, last: stitch, join, ..stretch });
            }
        });
        prop_assert_eq!(fast.end().unwrap(), slow.end().unwrap());
    }

    #[test]
    fn floor_is_not_above_the_habit_and_not_below_the_fronts(layer in cells(12, 6)) {
        let needle = only_needle(&design(planar(18.0).with_planar(false), &KINDS, layer));
        prop_assert!(needle.floor <= needle.habit);
        prop_assert!(needle.legs == 0 || needle.floor >= needle.spent().front);
    }
}
