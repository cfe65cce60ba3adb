//! A whole design: fabric, thread, symbol key, layers and habits, checked before anything is computed.

mod cells;
mod check;

use crate::chart::Layer;
use crate::error::Problems;
use crate::fabric::Fabric;
use crate::habits::{Habits, TopLeg};
use crate::legend::Entry;
use crate::needle::Needle;
use crate::thread::{Bead, Shade, ThreadLine};
use std::ops::Deref;

/// Everything a design consists of, not checked yet. Parts refer to one another by index.
#[derive(Debug, Clone, PartialEq)]
pub struct Parts {
    /// What it is called.
    pub title: String,
    /// The ground cloth.
    pub fabric: Fabric,
    /// How the person works.
    pub habits: Habits,
    /// Which way top legs lean.
    pub top_leg: TopLeg,
    /// Products of thread.
    pub lines: Vec<ThreadLine>,
    /// Colours of thread.
    pub shades: Vec<Shade>,
    /// What is threaded at once.
    pub needles: Vec<Needle>,
    /// Beads.
    pub beads: Vec<Bead>,
    /// The symbol key.
    pub legend: Vec<Entry>,
    /// Areas with a grid each.
    pub layers: Vec<Layer>,
}

/// A design that has passed the check; its parts can be read, not changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Design(Parts);

impl Design {
    /// Checks the parts.
    ///
    /// # Errors
    /// Every problem found, each with its place; see [`crate::error::Code`], core numbers.
    pub fn new(parts: Parts) -> Result<Self, Problems> {
        check::check(&parts).or(())?;
        Ok(Design(parts))
    }

    /// The parts again, to change and check anew.
    pub fn into_parts(self) -> Parts {
        self.0
    }
}

impl Deref for Design {
    type Target = Parts;
    fn deref(&self) -> &Parts {
        &self.0
    }
}

impl Parts {
    /// The habits that hold for a needle: the design's, changed by its thread lines (the line of the
    /// shade named first wins), changed by the needle's own.
    pub fn needle_habits(&self, needle: &Needle) -> Habits {
        let lines = needle.threads.iter().rev().map(|t| &self.lines[self.shades[t.shade].line].habits);
        lines.chain([&needle.habits]).fold(self.habits, |habits, changes| habits.with(changes))
    }
}
