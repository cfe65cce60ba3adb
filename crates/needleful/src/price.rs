//! What a straight piece of thread costs one needle on one fabric.

use crate::design::Parts;
use crate::fabric::Ruler;
use crate::habits::{Habits, Start};
use crate::needle::Needle;
use crate::stitch::Form;
use crate::units::Length;
use crate::work::{Figure, FigureLeg, Step};
use std::f64::consts::PI;

/// A length on the face of the work or behind it, and what its two ends spend in the holes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Cost {
    /// The length itself.
    pub length: Length,
    /// Two half passages through the fabric.
    pub passage: Length,
}

impl Cost {
    /// Both together.
    pub fn total(self) -> Length {
        self.length + self.passage
    }
}

/// Prices for one needle on one fabric.
///
/// # Sources
/// Derived: half the perimeter of a racetrack round the fabric between two holes, less the distance
/// between them; the narrow stadium where the holes are nearer than the fabric is thick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tariff {
    /// Measures distances.
    pub ruler: Ruler,
    /// Fabric thickness, mm.
    fabric_mm: f64,
    /// Thickness of the thread in the needle, mm.
    thread_mm: f64,
    /// Hole opening, no wider than the thread in it, mm.
    hole_mm: f64,
    planar: bool,
    /// Two half passages of a straight piece far longer than the fabric is thick.
    long_passage: Length,
    /// From this planar length on a piece is that long.
    long_from: Length,
    habits: Habits,
    can_loop: bool,
}

impl Tariff {
    /// The prices of a needle of a design, worked in needlefuls of a length.
    pub fn new(parts: &Parts, needle: &Needle, needleful: Length) -> Self {
        let thread_mm = needle.thickness_mm(&parts.shades, &parts.lines);
        let fabric_mm = parts.fabric.thickness_mm();
        let hole_mm = parts.fabric.hole_mm().min(thread_mm);
        let planar = parts.fabric.planar;
        let long = (PI / 2.0 - 1.0) * fabric_mm + (PI / 2.0) * thread_mm - hole_mm;
        Tariff {
            ruler: parts.fabric.ruler(),
            fabric_mm,
            thread_mm,
            hole_mm,
            planar,
            long_passage: if planar { Length::ZERO } else { Length::from_mm(long) },
            long_from: if planar { Length::ZERO } else { Length::above_mm(fabric_mm + hole_mm) },
            habits: Habits { needleful, ..parts.needle_habits(needle) },
            can_loop: needle.can_loop(),
        }
    }

    /// The habits with which the needle is worked.
    pub fn habits(&self) -> &Habits {
        &self.habits
    }

    /// Thickness of the thread in the needle, in millimetres.
    pub fn thread_mm(&self) -> f64 {
        self.thread_mm
    }

    /// Two half passages of a straight piece far longer than the fabric is thick.
    pub fn long_passage(&self) -> Length {
        self.long_passage
    }

    /// Two half passages of a straight piece of a planar length.
    #[inline]
    pub fn passage(&self, length: Length) -> Length {
        if length >= self.long_from {
            return self.long_passage;
        }
        let mm = length.mm();
        let width = (mm - self.hole_mm).max(0.0);
        Length::from_mm((self.fabric_mm - width) + (PI / 2.0) * (width + self.thread_mm) - mm)
    }

    /// A link behind the fabric.
    #[inline]
    pub fn link(&self, (dx, dy): Step) -> Cost {
        let length = self.ruler.step(dx, dy);
        Cost { length, passage: self.passage(length) }
    }

    /// A link into a stitch, not shorter than the back the stitch prescribes.
    #[inline]
    pub fn link_into(&self, step: Step, back: Option<Step>) -> Cost {
        let free = self.link(step);
        match back.map(|back| self.link(back)) {
            Some(back) if back.length > free.length => back,
            _ => free,
        }
    }

    /// The front of a leg of a figure, with wraps, bead and riding over.
    pub fn front(&self, parts: &Parts, figure: &Figure, leg: &FigureLeg) -> Cost {
        let planar = self.ruler.step(leg.to.0 - leg.from.0, leg.to.1 - leg.from.1);
        let rises = if self.planar { 0.0 } else { f64::from(leg.rides_over) * self.thread_mm };
        let mut length = if rises == 0.0 {
            planar
        } else {
            let half = planar.mm() / 2.0;
            Length::from_mm(2.0 * (half * half + rises * rises).sqrt())
        };
        let entry = &parts.legend[usize::from(figure.entry)];
        if entry.kind.form == Form::Knot {
            // Derived: the circumference of the thread's middle round the needle, or round itself.
            let wrap = if entry.tight {
                2.0 * PI * self.thread_mm
            } else {
                PI * (self.habits.knot_needle.mm() + self.thread_mm)
            };
            length += Length::from_mm(f64::from(entry.wraps) * wrap);
        }
        if let Some(bead) = entry.bead {
            length += parts.beads[bead].size;
        }
        Cost { length, passage: self.passage(planar) }
    }

    /// Whether new needlefuls are secured with a loop.
    pub fn starts_with_loop(&self) -> bool {
        self.habits.start == Start::Loop && self.can_loop
    }

    /// The start tail of a new needleful.
    pub fn first_tail(&self) -> Length {
        if self.starts_with_loop() { Length::ZERO } else { self.habits.start_tail }
    }

    /// The least that finishing and starting again elsewhere costs.
    pub fn new_start(&self) -> Length {
        self.habits.finish_tail + self.first_tail() + self.long_passage()
    }
}
