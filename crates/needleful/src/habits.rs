//! How a person works: lengths cut, tails, ends, carries. Every number is the user's to change.
//!
//! The defaults are common practice, no source.

use crate::error::{Code, Place, Problem};
use crate::units::{Length, Share, within};

/// How thread is secured at the start of a new needleful.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// A tail, worked over or under.
    Tail,
    /// A loop, where every shade of the needle has an even number of strands: half the strands, cut
    /// double, no tail. Elsewhere, and with leftovers, a tail.
    Loop,
}

/// Which way the top leg of a cross leans, the same in the whole design.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TopLeg {
    /// `\` over `/`.
    #[default]
    LeansLeft,
    /// `/` over `\`.
    LeansRight,
}

/// How a person works with one needle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Habits {
    /// Length of thread cut for the needle.
    pub needleful: Length,
    /// Spent to secure a start.
    pub start_tail: Length,
    /// Spent to secure a finish.
    pub finish_tail: Length,
    /// Thread left in the needle with which no stitch can be made any more, the finish included.
    pub unstitchable_end: Length,
    /// A leftover of this length or more is kept for the same needle.
    pub keep_leftover: Length,
    /// Unpicking and waste, on all thread cut.
    pub waste: Share,
    /// Longest carry behind open fabric.
    pub open_carry: Length,
    /// Longest carry under stitches already there.
    pub covered_carry: Length,
    /// How a new needleful is secured.
    pub start: Start,
    /// Thickness of the needle that knots are wound round.
    pub knot_needle: Length,
}

const fn mm(mm: i64) -> Length {
    Length::from_pm(mm * 1_000_000_000)
}

impl Default for Habits {
    /// The defaults of common practice, no source.
    fn default() -> Self {
        Habits {
            needleful: mm(450),
            start_tail: mm(30),
            finish_tail: mm(30),
            unstitchable_end: mm(75),
            keep_leftover: mm(120),
            waste: Share::from_millionths(20_000),
            open_carry: mm(13),
            covered_carry: mm(38),
            start: Start::Tail,
            knot_needle: Length::from_pm(800_000_000),
        }
    }
}

impl Habits {
    /// The same with changes made.
    pub fn with(self, changes: &HabitChanges) -> Self {
        Habits {
            needleful: changes.needleful.unwrap_or(self.needleful),
            start_tail: changes.start_tail.unwrap_or(self.start_tail),
            finish_tail: changes.finish_tail.unwrap_or(self.finish_tail),
            unstitchable_end: changes.unstitchable_end.unwrap_or(self.unstitchable_end),
            keep_leftover: changes.keep_leftover.unwrap_or(self.keep_leftover),
            waste: changes.waste.unwrap_or(self.waste),
            open_carry: changes.open_carry.unwrap_or(self.open_carry),
            covered_carry: changes.covered_carry.unwrap_or(self.covered_carry),
            start: changes.start.unwrap_or(self.start),
            knot_needle: changes.knot_needle.unwrap_or(self.knot_needle),
        }
    }

    /// Says whether the habits are within their limits and agree with one another.
    ///
    /// # Errors
    /// [`Code::OutOfRange`], [`Code::HabitsDisagree`]; `whose` names the owner.
    pub fn check(&self, whose: &str) -> Result<(), Problem> {
        let lengths = [
            ("needleful", self.needleful, 10.0, 100_000.0),
            ("start tail", self.start_tail, 0.0, 1_000.0),
            ("finish tail", self.finish_tail, 0.0, 1_000.0),
            ("unstitchable end", self.unstitchable_end, 0.0, 10_000.0),
            ("leftover kept", self.keep_leftover, 0.0, 1_000_000.0),
            ("open carry", self.open_carry, 0.0, 1_000.0),
            ("covered carry", self.covered_carry, 0.0, 1_000.0),
            ("needle for knots", self.knot_needle, 0.0, 10.0),
        ];
        for (name, length, least, most) in lengths {
            within(&format!("{name} of {whose}"), "mm", length.mm(), least, most)?;
        }
        let disagree = |what: String, mend: &str| {
            Err(Problem::new(Code::HabitsDisagree, Place::Part(format!("habits of {whose}")), what, mend))
        };
        if self.unstitchable_end < self.finish_tail {
            return disagree(
                format!(
                    "the unstitchable end of {} mm is shorter than the finish tail of {} mm it includes",
                    self.unstitchable_end.mm(),
                    self.finish_tail.mm()
                ),
                "lengthen the unstitchable end or shorten the finish tail",
            );
        }
        if self.covered_carry < self.open_carry {
            return disagree(
                format!(
                    "the carry under stitches of {} mm is shorter than the open carry of {} mm",
                    self.covered_carry.mm(),
                    self.open_carry.mm()
                ),
                "lengthen the covered carry or shorten the open one",
            );
        }
        Ok(())
    }
}

/// Habits that differ for one thread line or one needle; `None` keeps what stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[allow(missing_docs)] // the fields repeat those of `Habits`
pub struct HabitChanges {
    pub needleful: Option<Length>,
    pub start_tail: Option<Length>,
    pub finish_tail: Option<Length>,
    pub unstitchable_end: Option<Length>,
    pub keep_leftover: Option<Length>,
    pub waste: Option<Share>,
    pub open_carry: Option<Length>,
    pub covered_carry: Option<Length>,
    pub start: Option<Start>,
    pub knot_needle: Option<Length>,
}

impl HabitChanges {
    /// What differs with metallic thread: shorter needlefuls, more waste (common practice, no source).
    pub fn metallic() -> Self {
        HabitChanges {
            needleful: Some(mm(350)),
            waste: Some(Share::from_millionths(50_000)),
            ..HabitChanges::default()
        }
    }

    /// These changes, and after them `later`, which win.
    pub fn then(self, later: &HabitChanges) -> Self {
        HabitChanges {
            needleful: later.needleful.or(self.needleful),
            start_tail: later.start_tail.or(self.start_tail),
            finish_tail: later.finish_tail.or(self.finish_tail),
            unstitchable_end: later.unstitchable_end.or(self.unstitchable_end),
            keep_leftover: later.keep_leftover.or(self.keep_leftover),
            waste: later.waste.or(self.waste),
            open_carry: later.open_carry.or(self.open_carry),
            covered_carry: later.covered_carry.or(self.covered_carry),
            start: later.start.or(self.start),
            knot_needle: later.knot_needle.or(self.knot_needle),
        }
    }
}
