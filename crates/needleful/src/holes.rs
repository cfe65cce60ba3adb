//! Sets of holes as rows of bits, and the nearest hole of a set.
//!
//! Holes are small integers, so a row of holes is a string of bits no longer than the part of the row
//! that is used. The search looks at rows in order of distance, and in each at the nearest bit to the
//! left and to the right: exact, reproducible, and memory that follows the holes, not the fabric.

use crate::fabric::{Hole, Ruler};
use crate::units::Length;

/// The part of a row of holes that is used.
#[derive(Debug, Clone, Copy)]
struct Row {
    /// Column of the first bit.
    start: i32,
    /// First of its words.
    word: u32,
    /// How many words.
    words: u32,
}

/// A set of holes, all multiples of a step apart.
#[derive(Debug, Clone)]
pub(crate) struct HoleSet {
    origin: Hole,
    step: i32,
    rows: Vec<Row>,
    words: Vec<u64>,
}

impl HoleSet {
    /// An empty set with room for these holes.
    pub(crate) fn with_room_for(step: i32, holes: impl Iterator<Item = Hole> + Clone) -> Self {
        let low = holes.clone().fold((i32::MAX, i32::MAX), |(x, y), h| (x.min(h.x), y.min(h.y)));
        let bottom = holes.clone().map(|hole| hole.y).max();
        let Some(bottom) = bottom else {
            return HoleSet { origin: Hole::new(0, 0), step, rows: Vec::new(), words: Vec::new() };
        };
        let origin = Hole::new(low.0, low.1);
        let mut spans = vec![(i32::MAX, 0); ((bottom - origin.y) / step) as usize + 1];
        for hole in holes {
            let span = &mut spans[((hole.y - origin.y) / step) as usize];
            let column = (hole.x - origin.x) / step;
            *span = (span.0.min(column), span.1.max(column));
        }
        let mut total = 0;
        let lay = |(start, end): (i32, i32)| {
            let words = if start == i32::MAX { 0 } else { (end - start) as u32 / 64 + 1 };
            total += words;
            Row { start, word: total - words, words }
        };
        let rows = spans.into_iter().map(lay).collect();
        HoleSet { origin, step, rows, words: vec![0; total as usize] }
    }

    /// How many rows it has room for.
    pub(crate) fn row_count(&self) -> usize {
        self.rows.len()
    }

    /// Row and column of a hole it has room for.
    pub(crate) fn place(&self, hole: Hole) -> (usize, i32) {
        (((hole.y - self.origin.y) / self.step) as usize, (hole.x - self.origin.x) / self.step)
    }

    fn hole(&self, row: usize, column: i32) -> Hole {
        self.origin.offset(column * self.step, row as i32 * self.step)
    }

    fn bit(&self, hole: Hole) -> (usize, u64) {
        let (row, column) = self.place(hole);
        let row = &self.rows[row];
        let bit = (column - row.start) as usize;
        (row.word as usize + bit / 64, 1 << (bit % 64))
    }

    /// Adds a hole it has room for; says whether it is new.
    pub(crate) fn insert(&mut self, hole: Hole) -> bool {
        let (word, bit) = self.bit(hole);
        let new = self.words[word] & bit == 0;
        self.words[word] |= bit;
        new
    }

    /// Takes out a hole it has room for.
    pub(crate) fn remove(&mut self, hole: Hole) {
        let (word, bit) = self.bit(hole);
        self.words[word] &= !bit;
    }

    /// Whether a hole on the grid of the set is in it.
    pub(crate) fn contains(&self, hole: Hole) -> bool {
        let (dx, dy) = (hole.x - self.origin.x, hole.y - self.origin.y);
        let Some(row) = usize::try_from(dy / self.step).ok().and_then(|row| self.rows.get(row)) else {
            return false;
        };
        dy >= 0 && dx >= 0 && self.window(row, dx / self.step - row.start) & 1 == 1
    }

    /// Bits of 64 holes from bit `from` of a row on (any integer).
    fn window(&self, row: &Row, from: i32) -> u64 {
        let word = from >> 6;
        let shift = (from & 63) as u32;
        let get = |i: i32| {
            if (i as u32) < row.words { self.words[(row.word + i as u32) as usize] } else { 0 }
        };
        let low = get(word) >> shift;
        if shift == 0 { low } else { low | get(word + 1) << (64 - shift) }
    }

    /// Column of the nearest hole at or to the right of `column`, at most `reach` away.
    fn right_of(&self, row: &Row, column: i32, reach: i32) -> Option<i32> {
        if row.words == 0 {
            return None;
        }
        let last = (column - row.start + reach).min(row.words as i32 * 64 - 1);
        let mut from = (column - row.start).max(0);
        while from <= last {
            let bits = self.window(row, from);
            if bits != 0 {
                let bit = from + bits.trailing_zeros() as i32;
                return (bit <= last).then_some(bit + row.start);
            }
            from += 64;
        }
        None
    }

    /// Column of the nearest hole at or to the left of `column`, at most `reach` away.
    fn left_of(&self, row: &Row, column: i32, reach: i32) -> Option<i32> {
        if row.words == 0 {
            return None;
        }
        let last = (column - row.start - reach).max(0);
        let mut to = (column - row.start).min(row.words as i32 * 64 - 1);
        while to >= last {
            let bits = self.window(row, to - 63);
            if bits != 0 {
                let bit = to - bits.leading_zeros() as i32;
                return (bit >= last).then_some(bit + row.start);
            }
            to -= 64;
        }
        None
    }

    /// Rows by distance from a hole, which need not be on the grid.
    fn rows_from(&self, from: Hole, reach: i32) -> impl Iterator<Item = usize> {
        let offset = from.y - self.origin.y;
        let above = offset.div_euclid(self.step);
        let into = offset.rem_euclid(self.step);
        let upper_is_nearer = 2 * into <= self.step;
        let count = self.rows.len() as i32;
        // Out from the hole by turns: above, above + 1, above - 1, … or the other way round.
        let pairs = (0..=reach / self.step + 1).flat_map(move |i| {
            let (up, down) = (above - i, above + 1 + i);
            if upper_is_nearer { [up, down] } else { [down, up] }
        });
        pairs.filter(move |row| (0..count).contains(row)).map(|row| row as usize)
    }

    /// The nearest hole of the set within `limit` of `from`, but not `from` itself; ties go to the
    /// upper row, then to the left column.
    pub(crate) fn nearest(&self, from: Hole, limit: Length, ruler: &Ruler) -> Option<(Length, Hole)> {
        let (across, down) = ruler.reach(limit);
        let reach = across / self.step + 1;
        let column = (from.x - self.origin.x).div_euclid(self.step);
        let mut best: Option<(Length, Hole)> = None;
        for row in self.rows_from(from, down) {
            let y = self.origin.y + row as i32 * self.step;
            if ruler.step(0, y - from.y) > best.map_or(limit, |(length, _)| length) {
                break;
            }
            let itself = i32::from(y == from.y && self.origin.x + column * self.step == from.x);
            let bits = &self.rows[row];
            let sides = [self.left_of(bits, column - itself, reach), self.right_of(bits, column + 1, reach)];
            for column in sides.into_iter().flatten() {
                let hole = self.hole(row, column);
                let found = (ruler.between(from, hole), hole);
                if found.0 <= limit && best.is_none_or(|best| found < best) {
                    best = Some(found);
                }
            }
        }
        best
    }

    /// The nearest hole farther than `beyond` and within `limit` that passes a test.
    pub(crate) fn nearest_beyond(
        &self,
        from: Hole,
        (beyond, limit): (Length, Length),
        ruler: &Ruler,
        passes: impl Fn(Hole) -> bool,
    ) -> Option<(Length, Hole)> {
        let (across, down) = ruler.reach(limit);
        let right = (from.x + across - self.origin.x).div_euclid(self.step);
        let mut best: Option<(Length, Hole)> = None;
        for row in self.rows_from(from, down) {
            let mut next = (from.x - across - self.origin.x).div_euclid(self.step);
            while let Some(column) = self.right_of(&self.rows[row], next, right - next) {
                next = column + 1;
                let found = (ruler.between(from, self.hole(row, column)), self.hole(row, column));
                let near = found.0 > beyond && found.0 <= limit && best.is_none_or(|best| found < best);
                if near && passes(found.1) {
                    best = Some(found);
                }
            }
        }
        best
    }
}

/// The greatest step of which all distances between pieces of a needle's work are multiples.
pub(crate) fn greatest_divisor(a: i32, b: i32) -> i32 {
    if b == 0 { a.abs() } else { greatest_divisor(b, a % b) }
}
