//! The nearest hole of a set close by: all places within a limit, asked in order of distance.
//!
//! Searches of a route ask the same distances again and again, so their order is worked out once. The
//! rows around a hole are laid side by side as words, and each probe is a word and a mask.

use crate::fabric::{Hole, Ruler};
use crate::holes::HoleSet;
use crate::units::Length;

/// The most columns and rows to a side that fit a word.
const MOST: i32 = 31;

/// Columns of one row that are equally far away.
#[derive(Debug, Clone, Copy)]
struct Probe {
    /// Index of the row, from the uppermost.
    row: u32,
    /// Its columns, the leftmost first.
    columns: u64,
}

/// The places within a limit, nearest first; of places as near the upper, then the left one.
#[derive(Debug, Clone)]
pub(super) struct Nearby {
    /// Columns and rows to a side.
    reach: i32,
    /// Half threads from column to column and from row to row.
    step: i32,
    probes: Vec<Probe>,
}

impl Nearby {
    /// All places on the grid of a set within a limit; `None` where they do not fit a word.
    pub(super) fn new(step: i32, limit: Length, ruler: &Ruler) -> Option<Self> {
        let reach = ruler.reach_across(limit).max(ruler.reach_down(limit)) / step;
        if reach > MOST {
            return None;
        }
        let mut probes = Vec::with_capacity((2 * reach * reach) as usize);
        for dy in 0..=reach {
            for dx in i32::from(dy == 0)..=reach {
                let length = ruler.step(dx * step, dy * step);
                if length > limit {
                    break;
                }
                let columns = 1 << (reach - dx) | 1 << (reach + dx);
                probes.extend([reach - dy, reach + dy].map(|row| (length, row as u32, columns)));
            }
        }
        probes.sort_unstable();
        let probes = probes.into_iter().map(|(_, row, columns)| Probe { row, columns }).collect();
        Some(Nearby { reach, step, probes })
    }

    /// The nearest hole of a set, but not `from` itself, which is on the grid of the set.
    pub(super) fn nearest(&self, set: &HoleSet, from: Hole) -> Option<Hole> {
        let corner = from.offset(-self.reach * self.step, -self.reach * self.step);
        let wide = 2 * self.reach + 1;
        let mut rows = [0; 64];
        set.lay_rows(corner, wide, &mut rows[..wide as usize]);
        let hit = |probe: &&Probe| rows[probe.row as usize % 64] & probe.columns != 0;
        let probe = self.probes.iter().find(hit)?;
        let column = (rows[probe.row as usize % 64] & probe.columns).trailing_zeros() as i32;
        Some(corner.offset(column * self.step, probe.row as i32 * self.step))
    }
}
