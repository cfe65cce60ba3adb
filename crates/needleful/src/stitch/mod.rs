//! Stitch kinds: each is a row of data, a list of legs in cell coordinates.
//!
//! Cell coordinates run from 0 to 2 with the origin at the lower left, as stitch diagrams are drawn;
//! 1 is the centre. A stitch kind never needs code of its own in a planner.

mod table;

pub use table::{KINDS, Kind};

use crate::habits::TopLeg;

/// One straight piece of thread on the front, in cell coordinates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Leg {
    /// Where it comes up.
    pub from: (i8, i8),
    /// Where it goes down.
    pub to: (i8, i8),
    /// Legs of the same stitch that it rides over.
    pub rides_over: u8,
}

/// What becomes of the thread behind the fabric before a stitch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Back {
    /// As short as the route makes it.
    Free,
    /// Part of the stitch: never shorter than this step, in half cells.
    Prescribed(i8, i8),
}

/// When in the work a kind is stitched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Phase {
    /// Cells, layer by layer.
    Ground,
    /// Lines, over the cells.
    Lines,
    /// Knots.
    Knots,
    /// Beads, last.
    Beads,
}

/// What a kind is drawn on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A cell of the chart.
    Cell,
    /// A line, each leg worked backward from the far end.
    Backstitch,
    /// A line, every other leg forward, the rest on the way back.
    DoubleRunning,
    /// A hole.
    Knot,
}

/// Which corner of the cell a stitch leans into, for the kinds that have one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Corner {
    /// As written in the table.
    #[default]
    LowerLeft,
    /// A quarter turn.
    LowerRight,
    /// A half turn.
    UpperRight,
    /// Three quarter turns.
    UpperLeft,
}

impl Corner {
    fn turns(self) -> u8 {
        match self {
            Corner::LowerLeft => 0,
            Corner::LowerRight => 1,
            Corner::UpperRight => 2,
            Corner::UpperLeft => 3,
        }
    }
}

fn turned((x, y): (i8, i8), turns: u8) -> (i8, i8) {
    (0..turns).fold((x, y), |(x, y), _| (2 - y, x))
}

impl Kind {
    /// The row of this name.
    pub fn named(name: &str) -> Option<&'static Kind> {
        KINDS.iter().find(|kind| kind.name == name)
    }

    /// Whether the stitch is mirrored in a design whose top legs lean this way.
    pub fn is_mirrored(&self, top: TopLeg) -> bool {
        self.follows_top_leg && top == TopLeg::LeansRight
    }

    /// The legs of one stitch, turned into its corner and, where the kind follows the design's top
    /// leg, mirrored.
    pub fn legs(&self, corner: Corner, top: TopLeg) -> Vec<Leg> {
        let mirror = self.is_mirrored(top);
        let place = |p| {
            let (x, y) = turned(p, corner.turns());
            if mirror { (2 - x, y) } else { (x, y) }
        };
        let turn = |leg: &Leg| Leg { from: place(leg.from), to: place(leg.to), ..*leg };
        self.legs.iter().map(turn).collect()
    }

    /// What a stitch fills of its cell: a bit for each quarter, counted from the lower left against
    /// the clock, and a fifth for a bead on top.
    pub fn fills(&self, corner: Corner) -> u8 {
        if !self.has_corner {
            return self.filled;
        }
        let turns = corner.turns();
        ((self.filled << turns) | (self.filled >> (4 - turns))) & 0b1111
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_turn_against_the_clock() {
        let quarter = Kind::named("quarter").unwrap();
        let start = |corner| quarter.legs(corner, TopLeg::LeansLeft)[0].from;
        assert_eq!(start(Corner::LowerLeft), (0, 0));
        assert_eq!(start(Corner::LowerRight), (2, 0));
        assert_eq!(start(Corner::UpperRight), (2, 2));
        assert_eq!(start(Corner::UpperLeft), (0, 2));
        assert_eq!(quarter.fills(Corner::UpperRight), 0b0100);
    }

    #[test]
    fn a_three_quarter_leaves_room_for_the_opposite_quarter() {
        let three = Kind::named("three-quarter").unwrap();
        let quarter = Kind::named("quarter").unwrap();
        let opposite = [
            (Corner::LowerLeft, Corner::UpperRight),
            (Corner::LowerRight, Corner::UpperLeft),
            (Corner::UpperRight, Corner::LowerLeft),
            (Corner::UpperLeft, Corner::LowerRight),
        ];
        for (mine, other) in opposite {
            assert_eq!(three.fills(mine) & quarter.fills(other), 0);
            assert_eq!(three.fills(mine) | quarter.fills(other), 0b1111);
        }
    }
}
