//! The entries of the pieces of a pass that are still to be worked.

use super::nearby::Nearby;
use crate::fabric::{Hole, Ruler};
use crate::holes::{HoleSet, Spot};
use crate::units::Length;

/// A piece is entered forward …
pub(super) const FORWARD: usize = 0;
/// … or in reverse, from its other end.
pub(super) const REVERSE: usize = 1;

/// No door.
const NONE: u32 = u32::MAX;

/// An entry, in a list of those still open.
#[derive(Clone, Copy)]
struct Door {
    spot: Spot,
    /// The next of the list.
    next: u32,
}

/// The entries of a pass.
pub(super) struct Doors {
    /// How far to look for the nearest.
    limit: Length,
    nearby: Option<Nearby>,
    /// The holes of those still open.
    open: HoleSet,
    /// The forward doors by piece, then the reverse ones.
    doors: Vec<Door>,
    /// First of the open doors of each list; a hole's doors are all in one list, in order.
    lists: Vec<u32>,
    /// Which list a hole is in: the upper bits of its spread number.
    list_shift: u32,
    worked: Vec<bool>,
}

impl Doors {
    /// From the forward and the reverse entry of every piece; all are multiples of `step` apart.
    /// `limit` is how far to look for the nearest.
    pub(super) fn new(step: i32, entries: &[[Hole; 2]], limit: Length, ruler: &Ruler) -> Self {
        let mut open = HoleSet::with_room_for(step, entries.iter().flatten().copied());
        let bits = (2 * entries.len()).next_power_of_two().trailing_zeros().max(1);
        let list_shift = 64 - bits;
        let mut lists = vec![NONE; 1 << bits];
        let mut doors = Vec::with_capacity(2 * entries.len());
        for way in [FORWARD, REVERSE] {
            doors.extend(entries.iter().map(|pair| Door { spot: open.spot(pair[way]), next: NONE }));
        }
        // The last first, so that in each list they are in order.
        for index in (0..doors.len()).rev() {
            let door = &mut doors[index];
            open.insert(door.spot);
            let first = &mut lists[(door.spot.spread() >> list_shift) as usize];
            door.next = std::mem::replace(first, index as u32);
        }
        let nearby = Nearby::new(open.step(), limit, ruler);
        Doors { limit, nearby, open, doors, lists, list_shift, worked: vec![false; entries.len()] }
    }

    /// Whether a piece has been worked.
    pub(super) fn is_worked(&self, piece: u32) -> bool {
        self.worked[piece as usize]
    }

    fn list(&self, spot: Spot) -> usize {
        (spot.spread() >> self.list_shift) as usize
    }

    /// What can be entered at a spot: forward before reverse, then the lower piece.
    fn first_at(&self, spot: Spot) -> Option<u32> {
        let mut next = self.lists[self.list(spot)];
        while let Some(door) = self.doors.get(next as usize) {
            if door.spot == spot {
                return Some(next);
            }
            next = door.next;
        }
        None
    }

    /// Marks a piece as worked and closes its entries.
    pub(super) fn close(&mut self, piece: u32) {
        let pieces = self.worked.len() as u32;
        self.worked[piece as usize] = true;
        for door in [piece, piece + pieces] {
            let Door { spot, next } = self.doors[door as usize];
            let list = self.list(spot);
            let mut before = self.lists[list];
            if before == door {
                self.lists[list] = next;
            } else {
                while self.doors[before as usize].next != door {
                    before = self.doors[before as usize].next;
                }
                self.doors[before as usize].next = next;
            }
            if self.first_at(spot).is_none() {
                self.open.remove(spot);
            }
        }
    }

    /// Way and piece of what is entered at a hole.
    fn entered_at(&self, hole: Hole) -> Option<(usize, u32)> {
        let door = self.first_at(self.open.spot(hole))?;
        let pieces = self.worked.len() as u32;
        Some(if door < pieces { (FORWARD, door) } else { (REVERSE, door - pieces) })
    }

    /// The nearest entry within the limit: its way and its piece.
    pub(super) fn nearest(&self, from: Hole, ruler: &Ruler) -> Option<(usize, u32)> {
        let hole = match &self.nearby {
            Some(nearby) if self.open.has_on_grid(from) => nearby.nearest(&self.open, from)?,
            _ => self.open.nearest(from, self.limit, ruler)?.1,
        };
        self.entered_at(hole)
    }

    /// The nearest entry between two limits, at `most` so many half threads to a side, to which the way is
    /// covered.
    pub(super) fn nearest_covered(
        &self,
        from: Hole,
        limits: (Length, Length),
        most: i32,
        ruler: &Ruler,
        covered: impl Fn(Hole) -> bool,
    ) -> Option<(usize, u32)> {
        self.open
            .nearest_beyond(from, limits, most, ruler, covered)
            .and_then(|(_, hole)| self.entered_at(hole))
    }
}
