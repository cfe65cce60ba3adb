//! Supply and verdict, worked by hand.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use needleful::supply::{Form, Kit, Supply, Verdict, purchase};
use needleful::units::Share;
use needleful::{Design, Length, Parts, check_kit, estimate};
use needleful_tests::{bare, block, planar};

fn one_shade(columns: usize, rows: usize) -> Design {
    Design::new(Parts { layers: vec![block(1, columns, rows)], ..bare(planar(14.0), &["cross"]) }).unwrap()
}

fn kit(form: Form) -> Kit {
    Kit {
        thread: vec![Supply { shade: 0, form, other_lot: false }],
        beads: Vec::new(),
        tight_below: Kit::TIGHT_BELOW,
        count_other_lots: true,
    }
}

fn verdict(design: &Design, form: Form) -> Verdict {
    check_kit(design, &kit(form)).unwrap().shades[0].verdict
}

#[test]
fn needlefuls_of_a_row() {
    // Derived by hand: a row of 100 crosses on 14 per inch, planar: 873.9 mm of fronts and backs; a
    // needleful of 450 gives 450 − 30 − 75 = 345 mm at most. Leg by leg, every leg but the first of a
    // needleful costs (1 + sqrt2)·u = 4.380073 mm, the first sqrt2·u = 2.565701 mm:
    // 1 + floor((345 − 2.565701) / 4.380073) = 79 legs; 200 legs take 3 needlefuls.
    let needle = needleful_tests::only_needle(&one_shade(100, 1));
    assert_eq!(needle.needlefuls, 3);
    let spent = needle.spent();
    assert_eq!(spent.total(), Length::from_mm(1350.0));
    // 3 start tails, 3 finish tails.
    assert_eq!(spent.tails, Length::from_mm(180.0));
    // Two forced starts save a back step each: 199 − 2.
    assert!((spent.back.mm() - 197.0 * 25.4 / 14.0).abs() < 1e-6);
    // The last needleful worked 42 legs; what is left of it is kept.
    let left = 450.0 - 30.0 - 2.565_700_8 - 41.0 * 4.380_072_7 - 30.0;
    assert!((spent.kept.mm() - left).abs() < 1e-3, "{}", spent.kept.mm());
}

#[test]
fn whole_cuts_of_a_skein() {
    // By hand: 3 needlefuls of 2 strands are 6 strand cuts, with 2 % waste 7; a skein of 8 m gives 17
    // cuts of 450 mm with 6 strands each, so 2 cuts leave 7.1 m.
    let design = one_shade(100, 1);
    let used = &estimate(&design).unwrap().shades[0];
    assert_eq!((used.need[0].strands, used.strand.mm()), (7, 2700.0));
    let bought = purchase(&design, 0, used).unwrap();
    assert_eq!((bought.put_ups, bought.remains), (1, Length::from_mm(7100.0)));
}

#[test]
fn a_skein_gives_whole_cuts_and_a_rest() {
    // By hand: 17 cuts of 0.45 m out of 8 m, the rest of 0.35 m too short: 103 strand cuts need 18 cuts.
    let design = one_shade(100, 15);
    let used = &estimate(&design).unwrap().shades[0];
    let cuts = used.need[0].strands.div_ceil(6);
    let bought = purchase(&design, 0, used).unwrap();
    assert_eq!(bought.put_ups, cuts.div_ceil(17));
}

#[test]
fn verdicts_by_whole_cuts() {
    let design = one_shade(100, 15);
    let need = estimate(&design).unwrap().shades[0].need[0].strands;
    // Lengths of exactly one needleful with one strand each: as many as needed, and the bounds.
    let lengths =
        |count: u64| Form::Lengths { count: count as u32, length: Length::from_mm(450.0), strands: 1 };
    let bound = Share::from_millionths(1_100_000).of(need);
    assert_eq!(verdict(&design, lengths(need - 1)), Verdict::Short);
    assert_eq!(verdict(&design, lengths(need)), Verdict::Tight);
    assert_eq!(verdict(&design, lengths(bound - 1)), Verdict::Tight);
    assert_eq!(verdict(&design, lengths(bound)), Verdict::Enough);
    assert_eq!(verdict(&design, lengths(bound + 1)), Verdict::Over);
}

#[test]
fn a_missing_shade_is_short_and_a_lot_can_be_left_out() {
    let design = one_shade(100, 1);
    let mut none = kit(Form::PutUps(1));
    none.thread.clear();
    let check = check_kit(&design, &none).unwrap();
    assert!(check.is_short());
    assert_eq!(check.shades[0].short, Length::from_mm(900.0)); // 7 strands are 2 cuts of six
    let mut other = kit(Form::PutUps(1));
    other.thread[0].other_lot = true;
    assert_eq!(check_kit(&design, &other).unwrap().shades[0].verdict, Verdict::Enough);
    other.count_other_lots = false;
    assert_eq!(check_kit(&design, &other).unwrap().shades[0].verdict, Verdict::Short);
}

#[test]
fn equal_lengths_are_divided_into_equal_needlefuls() {
    // By hand: 1 m / round(1000/450 = 2.2) = 500 mm; 0.6 m / round(1.33) = 600 mm.
    let design = one_shade(100, 5);
    for (mm, needleful) in [(1000.0, 500.0), (600.0, 600.0)] {
        let form = Form::Lengths { count: 6, length: Length::from_mm(mm), strands: 6 };
        let check = check_kit(&design, &kit(form)).unwrap();
        assert_eq!(check.estimate.needles[0].needleful.mm(), needleful);
    }
    // Unequal lengths keep the habit.
    let mut mixed = kit(Form::Lengths { count: 6, length: Length::from_mm(1000.0), strands: 6 });
    mixed.thread.push(Supply { form: Form::Metres(Length::from_mm(900.0)), ..mixed.thread[0] });
    assert_eq!(check_kit(&design, &mixed).unwrap().estimate.needles[0].needleful.mm(), 450.0);
}

#[test]
fn a_piece_in_metres_is_over_when_a_put_up_can_be_spared() {
    let design = one_shade(100, 15);
    let used = &estimate(&design).unwrap().shades[0];
    let cuts = Share::from_millionths(1_100_000).of(used.need[0].strands).div_ceil(6);
    let enough = Length::from_mm(450.0 * cuts as f64);
    assert_eq!(verdict(&design, Form::Metres(enough)), Verdict::Enough);
    assert_eq!(verdict(&design, Form::Metres(enough + Length::from_mm(8000.0))), Verdict::Over);
}

#[test]
fn supplies_that_cannot_be_are_refused() {
    let design = one_shade(3, 3);
    let bad = [
        Form::PutUps(1_000_001),
        Form::Lengths { count: 1, length: Length::ZERO, strands: 6 },
        Form::Lengths { count: 1, length: Length::from_mm(900.0), strands: 0 },
        Form::Metres(Length::from_mm(-1.0)),
    ];
    for form in bad {
        let problems = check_kit(&design, &kit(form)).unwrap_err();
        assert_eq!(problems.list()[0].code.number(), 101, "{problems}");
    }
}
