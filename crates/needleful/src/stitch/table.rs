//! The table itself. To add a stitch: add a row here, and a case in `tests/cases`.

use super::{Back, Form, Leg, Phase};

/// A kind of stitch.
#[derive(Debug, PartialEq)]
pub struct Kind {
    /// Its name in files.
    pub name: &'static str,
    /// Its name in print.
    pub print: &'static str,
    /// What it is drawn on.
    pub form: Form,
    /// When it is worked.
    pub phase: Phase,
    /// Its legs in working order; empty for kinds on lines and holes, whose legs the chart gives.
    pub(super) legs: &'static [Leg],
    /// How many of the legs belong to the under pass.
    pub bottom: usize,
    /// The thread behind.
    pub back: Back,
    /// What it fills of its cell when it stands in the lower left corner; see [`Kind::fills`].
    pub(super) filled: u8,
    /// Whether it has a corner.
    pub has_corner: bool,
    /// Whether it is mirrored where the design's top leg leans right.
    pub(super) follows_top_leg: bool,
    /// Whether it carries a bead.
    pub bead: bool,
}

const fn leg(from: (i8, i8), to: (i8, i8), rides_over: u8) -> Leg {
    Leg { from, to, rides_over }
}

const RISING: Leg = leg((0, 0), (2, 2), 0);
const FALLING: Leg = leg((0, 2), (2, 0), 0);
const FALLING_OVER: Leg = leg((0, 2), (2, 0), 1);
const HALF_RISING: Leg = leg((0, 0), (1, 1), 0);

/// A stitch over the whole cell that follows the design's top leg.
const CELL: Kind = Kind {
    name: "",
    print: "",
    form: Form::Cell,
    phase: Phase::Ground,
    legs: &[],
    bottom: 1,
    back: Back::Free,
    filled: 0b1111,
    has_corner: false,
    follows_top_leg: true,
    bead: false,
};

/// A stitch whose legs the chart gives.
const DRAWN: Kind = Kind { phase: Phase::Lines, filled: 0, follows_top_leg: false, ..CELL };

/// Every stitch kind.
pub const KINDS: &[Kind] = &[
    Kind { name: "cross", print: "full cross", legs: &[RISING, FALLING_OVER], ..CELL },
    Kind { name: "half-cross", print: "half cross", legs: &[RISING], ..CELL },
    Kind {
        name: "tent-continental",
        print: "tent, continental",
        legs: &[RISING],
        back: Back::Prescribed(4, 2),
        follows_top_leg: false,
        ..CELL
    },
    Kind {
        name: "tent-basketweave",
        print: "tent, basketweave",
        legs: &[RISING],
        back: Back::Prescribed(0, 4),
        follows_top_leg: false,
        ..CELL
    },
    Kind {
        name: "quarter",
        print: "quarter",
        legs: &[HALF_RISING],
        filled: 0b0001,
        has_corner: true,
        follows_top_leg: false,
        ..CELL
    },
    Kind {
        name: "three-quarter",
        print: "three-quarter",
        legs: &[HALF_RISING, FALLING],
        bottom: 2,
        filled: 0b1011,
        has_corner: true,
        follows_top_leg: false,
        ..CELL
    },
    Kind {
        name: "petite",
        print: "petite cross",
        legs: &[HALF_RISING, leg((0, 1), (1, 0), 1)],
        bottom: 2,
        filled: 0b0001,
        has_corner: true,
        follows_top_leg: false,
        ..CELL
    },
    Kind {
        name: "upright-cross",
        print: "upright cross",
        legs: &[leg((1, 0), (1, 2), 0), leg((0, 1), (2, 1), 1)],
        ..CELL
    },
    Kind {
        name: "double-cross",
        print: "double cross",
        legs: &[RISING, FALLING_OVER, leg((1, 0), (1, 2), 2), leg((0, 1), (2, 1), 3)],
        bottom: 4,
        ..CELL
    },
    Kind {
        name: "bead",
        print: "bead",
        phase: Phase::Beads,
        legs: &[RISING],
        filled: 0b1_0000,
        follows_top_leg: false,
        bead: true,
        ..CELL
    },
    Kind {
        name: "bead-cross",
        print: "bead, crossed",
        phase: Phase::Beads,
        legs: &[RISING, FALLING_OVER],
        bottom: 2,
        filled: 0b1_0000,
        follows_top_leg: false,
        bead: true,
        ..CELL
    },
    Kind { name: "backstitch", print: "backstitch", form: Form::Backstitch, ..DRAWN },
    Kind { name: "double-running", print: "double running", form: Form::DoubleRunning, ..DRAWN },
    Kind { name: "long", print: "long stitch", form: Form::Backstitch, ..DRAWN },
    Kind { name: "french-knot", print: "French knot", form: Form::Knot, phase: Phase::Knots, ..DRAWN },
];
