//! The entries of the pieces of a pass that are still to be worked.

use crate::fabric::{Hole, Ruler};
use crate::holes::HoleSet;
use crate::units::Length;

/// A piece is entered forward …
pub(super) const FORWARD: usize = 0;
/// … or in reverse, from its other end.
pub(super) const REVERSE: usize = 1;

/// An entry: the column of its hole, and its piece.
#[derive(Clone, Copy)]
struct Door {
    column: i32,
    piece: u32,
}

/// The entries of one way, by row and column.
struct Way {
    doors: Vec<Door>,
    /// First door of each row, and one more.
    rows: Vec<u32>,
}

impl Way {
    fn new(holes: &HoleSet, entries: impl Iterator<Item = Hole>) -> Self {
        let mut order: Vec<(Hole, u32)> = entries.zip(0..).collect();
        if !order.is_sorted() {
            order.sort_unstable();
        }
        let mut way = Way { doors: Vec::with_capacity(order.len()), rows: vec![0] };
        for (hole, piece) in order {
            let (row, column) = holes.place(hole);
            way.rows.resize(row + 1, way.doors.len() as u32);
            way.doors.push(Door { column, piece });
        }
        way.rows.resize(holes.row_count() + 1, way.doors.len() as u32);
        way
    }

    /// The doors at a place, by piece.
    fn at(&self, (row, column): (usize, i32)) -> impl Iterator<Item = u32> + '_ {
        let doors = &self.doors[self.rows[row] as usize..self.rows[row + 1] as usize];
        let first = doors.partition_point(|door| door.column < column);
        doors[first..].iter().take_while(move |door| door.column == column).map(|door| door.piece)
    }
}

/// The entries of a pass.
pub(super) struct Doors {
    open: HoleSet,
    /// Holes where more than one piece is entered, or one from both ends.
    crowded: HoleSet,
    ways: [Way; 2],
    worked: Vec<bool>,
}

impl Doors {
    /// From the forward and the reverse entry of every piece; all are multiples of `step` apart.
    pub(super) fn new(step: i32, entries: &[[Hole; 2]]) -> Self {
        let all = entries.iter().flatten().copied();
        let mut open = HoleSet::with_room_for(step, all.clone());
        let mut crowded = open.clone();
        for hole in all {
            let spot = open.spot(hole);
            if open.has(spot) {
                crowded.insert(spot);
            }
            open.insert(spot);
        }
        let ways = [FORWARD, REVERSE].map(|way| Way::new(&open, entries.iter().map(|pair| pair[way])));
        Doors { open, crowded, ways, worked: vec![false; entries.len()] }
    }

    /// Whether a piece has been worked.
    pub(super) fn is_worked(&self, piece: u32) -> bool {
        self.worked[piece as usize]
    }

    /// What can be entered at a hole: forward before reverse, then the lower piece.
    fn entered_at(&self, hole: Hole) -> Option<(usize, u32)> {
        let place = self.open.place(hole);
        let of = |way: usize| self.ways[way].at(place).find(|&p| !self.is_worked(p)).map(|p| (way, p));
        of(FORWARD).or_else(|| of(REVERSE))
    }

    /// Marks a piece as worked and closes its entries.
    pub(super) fn close(&mut self, piece: u32, entries: [Hole; 2]) {
        self.worked[piece as usize] = true;
        for hole in entries {
            let spot = self.open.spot(hole);
            if !self.crowded.has(spot) || self.entered_at(hole).is_none() {
                self.open.remove(spot);
            }
        }
    }

    /// The nearest entry within a limit: its way and its piece.
    pub(super) fn nearest(&self, from: Hole, limit: Length, ruler: &Ruler) -> Option<(usize, u32)> {
        self.open.nearest(from, limit, ruler).and_then(|(_, hole)| self.entered_at(hole))
    }

    /// The nearest entry between two limits to which the way is covered.
    pub(super) fn nearest_covered(
        &self,
        from: Hole,
        limits: (Length, Length),
        ruler: &Ruler,
        covered: impl Fn(Hole) -> bool,
    ) -> Option<(usize, u32)> {
        self.open.nearest_beyond(from, limits, ruler, covered).and_then(|(_, hole)| self.entered_at(hole))
    }
}
