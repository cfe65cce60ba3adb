//! The nearest hole of a set close by: all places within a limit, asked in order of distance.
//!
//! Searches of a route ask the same distances again and again, so their order is worked out once. The
//! rows around a hole are laid side by side as words, and each probe is a word and a mask.

use crate::fabric::{Hole, Ruler};
use crate::holes::HoleSet;
use crate::units::Length;

/// The most columns and rows to a side: two rows of as many columns, and the middle, fit a word.
const MOST: i32 = 15;

/// Places of two rows, as far above a hole as below it, that are equally far away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Probe {
    length: Length,
    /// How many rows above and below.
    rows: u32,
    /// The columns, in the order of [`HoleSet::lay_pairs`].
    columns: u64,
}

/// The places within a limit of a hole, nearest first.
#[derive(Debug, Clone)]
pub(super) struct Nearby {
    step: i32,
    limit: Length,
    ruler: Ruler,
    /// Columns and rows to a side.
    reach: i32,
    probes: Vec<Probe>,
}

impl Nearby {
    /// All places on the grid of a set within a limit; `None` where they do not fit a word.
    pub(super) fn new(step: i32, limit: Length, ruler: &Ruler) -> Option<Self> {
        let reach = ruler.reach_across(limit).max(ruler.reach_down(limit)) / step;
        if reach > MOST {
            return None;
        }
        let places = (0..=reach).flat_map(|dy| (0..=reach).map(move |dx| (dx, dy)));
        let probe = |(dx, dy): (i32, i32)| {
            let upper: u64 = 1 << (reach - dx) | 1 << (reach + dx);
            let columns = if dy == 0 { upper } else { upper | upper << 32 };
            Probe { length: ruler.step(dx * step, dy * step), rows: dy as u32, columns }
        };
        let within = |probe: &Probe| probe.length > Length::ZERO && probe.length <= limit;
        let mut probes: Vec<Probe> = places.map(probe).filter(within).collect();
        probes.sort_unstable();
        Some(Nearby { step, limit, ruler: *ruler, reach, probes })
    }

    /// Whether it is that of these.
    pub(super) fn is_of(&self, step: i32, limit: Length, ruler: &Ruler) -> bool {
        (self.step, self.limit, &self.ruler) == (step, limit, ruler)
    }

    /// The nearest hole of a set, but not `from` itself, which is on the grid of the set; of holes as near
    /// the upper, then the left one.
    pub(super) fn nearest(&self, set: &HoleSet, from: Hole) -> Option<Hole> {
        if self.reach < 8 {
            self.nearest_of(&set.lay_pairs::<8>(from, self.reach), from)
        } else {
            self.nearest_of(&set.lay_pairs::<16>(from, self.reach), from)
        }
    }

    fn nearest_of<const N: usize>(&self, pairs: &[u64; N], from: Hole) -> Option<Hole> {
        let hits = |probe: &Probe| pairs[probe.rows as usize % N] & probe.columns;
        let first = self.probes.iter().position(|probe| hits(probe) != 0)?;
        let length = self.probes[first].length;
        let as_near = self.probes[first..].iter().take_while(|probe| probe.length == length);
        let hole = |probe: &Probe| {
            // The lowest bit is in the upper row, if it has any, and the leftmost there.
            let bit = hits(probe).trailing_zeros() as i32;
            let row = if bit < 32 { -(probe.rows as i32) } else { probe.rows as i32 };
            (bit < 64).then(|| from.offset((bit % 32 - self.reach) * self.step, row * self.step))
        };
        as_near.filter_map(hole).min()
    }
}
