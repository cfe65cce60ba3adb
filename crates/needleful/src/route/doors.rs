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

/// An entry, in a list.
#[derive(Clone, Copy)]
struct Door {
    spot: Spot,
    /// The next of the list.
    next: u32,
    /// Whether its hole has another door.
    crowded: bool,
}

/// The entries of a pass.
pub(super) struct Doors {
    /// The holes of those still open.
    open: HoleSet,
    /// The forward doors by piece, then the reverse ones.
    doors: Vec<Door>,
    /// First door of each list; a hole's doors are all in one list, in order.
    lists: Vec<u32>,
    /// Which list a hole is in: the upper bits of its spread number.
    list_shift: u32,
    worked: Vec<bool>,
}

impl Doors {
    /// From the holes where `pieces` are entered, `forward` and in `reverse`; all are multiples of
    /// `step` apart. The memory may be that of former doors.
    pub(super) fn new(
        step: i32,
        [forward, reverse]: [impl ExactSizeIterator<Item = Hole> + Clone; 2],
        memory: Vec<u64>,
    ) -> Self {
        let pieces = forward.len();
        let mut open = HoleSet::with_room_for(step, forward.clone().chain(reverse.clone()), memory);
        // More lists than doors, so that most hold one at the most.
        let bits = (4 * pieces).next_power_of_two().trailing_zeros().max(1);
        let list_shift = 64 - bits;
        let mut lists = vec![NONE; 1 << bits];
        let mut doors = Vec::with_capacity(2 * pieces);
        let door = |hole| Door { spot: open.spot(hole), next: NONE, crowded: false };
        doors.extend(forward.map(door));
        doors.extend(reverse.map(door));
        // The last first, so that in each list they are in order.
        for index in (0..doors.len()).rev() {
            let spot = doors[index].spot;
            let first = &mut lists[(spot.spread() >> list_shift) as usize];
            doors[index].next = std::mem::replace(first, index as u32);
            if open.has(spot) {
                crowd(&mut doors, index);
            }
            open.insert(spot);
        }
        Doors { open, doors, lists, list_shift, worked: vec![false; pieces] }
    }

    /// Gives its memory to doors to come, once all are closed.
    pub(super) fn into_memory(self) -> Vec<u64> {
        self.open.into_memory()
    }

    /// Whether a piece has been worked.
    pub(super) fn is_worked(&self, piece: u32) -> bool {
        self.worked[piece as usize]
    }

    /// Way and piece of what can be entered at a spot: forward before reverse, then the lower piece.
    fn entered_at(&self, spot: Spot) -> Option<(usize, u32)> {
        let pieces = self.worked.len() as u32;
        let mut next = self.lists[(spot.spread() >> self.list_shift) as usize];
        while let Some(door) = self.doors.get(next as usize) {
            if door.spot == spot {
                let (way, piece) = if next < pieces { (FORWARD, next) } else { (REVERSE, next - pieces) };
                if !self.is_worked(piece) {
                    return Some((way, piece));
                }
            }
            next = door.next;
        }
        None
    }

    /// Marks a piece as worked and closes its entries.
    pub(super) fn close(&mut self, piece: u32) {
        self.worked[piece as usize] = true;
        for door in [piece as usize, piece as usize + self.worked.len()] {
            let Door { spot, crowded, .. } = self.doors[door];
            if !crowded || self.entered_at(spot).is_none() {
                self.open.remove(spot);
            }
        }
    }

    /// Half threads from row to row and from column to column of the holes.
    pub(super) fn step(&self) -> i32 {
        self.open.step()
    }

    /// The nearest entry within a limit, which may be that of `nearby`: its way and its piece.
    pub(super) fn nearest(
        &self,
        from: Hole,
        limit: Length,
        ruler: &Ruler,
        nearby: Option<&Nearby>,
    ) -> Option<(usize, u32)> {
        let hole = match nearby {
            Some(nearby) if self.open.has_on_grid(from) => nearby.nearest(&self.open, from)?,
            _ => self.open.nearest(from, limit, ruler)?.1,
        };
        self.entered_at(self.open.spot(hole))
    }

    /// The nearest entry between two limits, at `most` so many half threads to the right, to the left,
    /// downward and upward, to which the way is covered.
    pub(super) fn nearest_covered(
        &self,
        from: Hole,
        limits: (Length, Length),
        most: [i32; 4],
        ruler: &Ruler,
        covered: impl Fn(Hole) -> bool,
    ) -> Option<(usize, u32)> {
        let (_, hole) = self.open.nearest_beyond(from, limits, most, ruler, covered)?;
        self.entered_at(self.open.spot(hole))
    }
}

/// Marks the doors at the hole of one, from it on in its list.
fn crowd(doors: &mut [Door], index: usize) {
    let spot = doors[index].spot;
    let mut next = index as u32;
    while let Some(door) = doors.get_mut(next as usize) {
        door.crowded |= door.spot == spot;
        next = door.next;
    }
}
