//! Sets of holes as rows of bits, and the nearest hole of a set.
//!
//! Holes are small integers, so a row of holes is a string of bits no longer than the part of the row
//! that is used. The search looks at rows in order of distance, and in each at the nearest bit to the
//! left and to the right: exact, reproducible, and memory that follows the holes, not the fabric.

use crate::fabric::{Hole, Ruler};
use crate::units::Length;

/// The part of a row of holes that is used, with an empty word before and after it.
#[derive(Debug, Clone, Copy)]
struct Row {
    /// Column of the first bit, that of the empty word before.
    start: i32,
    /// First of its words.
    word: u32,
    /// How many bits; none, where no hole of the row is used.
    bits: u32,
}

/// Where the bit of a hole is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Spot {
    word: usize,
    mask: u64,
}

/// A set of holes, all multiples of a step apart.
#[derive(Debug, Clone)]
pub(crate) struct HoleSet {
    origin: Hole,
    /// Rows and columns are 2^shift half threads apart, so that no division is needed.
    shift: u32,
    rows: Vec<Row>,
    words: Vec<u64>,
}

impl HoleSet {
    /// An empty set with room for these holes, multiples of a step apart.
    pub(crate) fn with_room_for(step: i32, holes: impl Iterator<Item = Hole> + Clone) -> Self {
        let shift = step.trailing_zeros();
        let bounds = (Hole::new(i32::MAX, i32::MAX), i32::MIN);
        let (origin, bottom) = holes.clone().fold(bounds, |(low, bottom), hole| {
            (Hole::new(low.x.min(hole.x), low.y.min(hole.y)), bottom.max(hole.y))
        });
        if bottom < origin.y {
            return HoleSet { origin: Hole::new(0, 0), shift, rows: Vec::new(), words: Vec::new() };
        }
        let mut spans = vec![(i32::MAX, 0); ((bottom - origin.y) >> shift) as usize + 1];
        for hole in holes {
            let span = &mut spans[((hole.y - origin.y) >> shift) as usize];
            let column = (hole.x - origin.x) >> shift;
            *span = (span.0.min(column), span.1.max(column));
        }
        let mut total = 0;
        let lay = |(start, end): (i32, i32)| {
            if start == i32::MAX {
                return Row { start: 0, word: total, bits: 0 };
            }
            let words = (end - start) as u32 / 64 + 3;
            total += words;
            Row { start: start - 64, word: total - words, bits: 64 * words }
        };
        let rows = spans.into_iter().map(lay).collect();
        HoleSet { origin, shift, rows, words: vec![0; total as usize] }
    }

    /// How many rows it has room for.
    pub(crate) fn row_count(&self) -> usize {
        self.rows.len()
    }

    /// Row and column of a hole it has room for.
    pub(crate) fn place(&self, hole: Hole) -> (usize, i32) {
        (((hole.y - self.origin.y) >> self.shift) as usize, (hole.x - self.origin.x) >> self.shift)
    }

    fn hole(&self, row: usize, column: i32) -> Hole {
        self.origin.offset(column << self.shift, (row as i32) << self.shift)
    }

    /// Where the bit of a hole is for which there is room; the same in every set with the same room.
    pub(crate) fn spot(&self, hole: Hole) -> Spot {
        let (row, column) = self.place(hole);
        let row = &self.rows[row];
        let bit = (column - row.start) as usize;
        Spot { word: row.word as usize + bit / 64, mask: 1 << (bit % 64) }
    }

    /// Whether the hole of a spot is in the set.
    pub(crate) fn has(&self, spot: Spot) -> bool {
        self.words[spot.word] & spot.mask != 0
    }

    /// Adds the hole of a spot.
    pub(crate) fn insert(&mut self, spot: Spot) {
        self.words[spot.word] |= spot.mask;
    }

    /// Takes out the hole of a spot.
    pub(crate) fn remove(&mut self, spot: Spot) {
        self.words[spot.word] &= !spot.mask;
    }

    /// Adds `count` holes from one to the right, all of which it has room for.
    pub(crate) fn insert_run(&mut self, first: Hole, step: i32, count: u32) {
        if step >> self.shift != 1 {
            // Rows of this set are finer than the run.
            for i in 0..count as i32 {
                self.insert(self.spot(first.offset(i * step, 0)));
            }
            return;
        }
        let (row, column) = self.place(first);
        let row = self.rows[row];
        let mut from = (column - row.start) as u32;
        let end = from + count;
        while from < end {
            let next = end.min((from / 64 + 1) * 64);
            let ones = u64::MAX >> (64 - (next - from));
            self.words[(row.word + from / 64) as usize] |= ones << (from % 64);
            from = next;
        }
    }

    /// Whether a hole on the grid of the set is in it.
    pub(crate) fn contains(&self, hole: Hole) -> bool {
        let (row, column) = self.place(hole);
        self.rows.get(row).is_some_and(|row| self.window(row, column) & 1 == 1)
    }

    /// Bits of the 64 holes of a row from a column on.
    fn window(&self, row: &Row, column: i32) -> u64 {
        let from = column.wrapping_sub(row.start) as u32;
        // Windows that begin before the row or in its last word are empty of holes.
        if from >= row.bits.saturating_sub(64) {
            return 0;
        }
        let word = row.word as usize + from as usize / 64;
        let Some([low, high]) = self.words.get(word..word + 2) else { return 0 };
        low >> (from % 64) | (high << 1) << (63 - from % 64)
    }

    /// Column of the nearest hole at or to the right of `column`, at most `reach` away.
    fn right_of(&self, row: &Row, column: i32, reach: i32) -> Option<i32> {
        let last = (column + reach).min(row.start + row.bits as i32 - 1);
        let mut from = column.max(row.start);
        while from <= last {
            let bits = self.window(row, from);
            if bits != 0 {
                let found = from + bits.trailing_zeros() as i32;
                return (found <= last).then_some(found);
            }
            from += 64;
        }
        None
    }

    /// Column of the nearest hole at or to the left of `column`, at most `reach` away.
    fn left_of(&self, row: &Row, column: i32, reach: i32) -> Option<i32> {
        let last = (column - reach).max(row.start + 64);
        let mut to = column.min(row.start + row.bits as i32 - 1);
        while to >= last {
            let bits = self.window(row, to - 63);
            if bits != 0 {
                let found = to - bits.leading_zeros() as i32;
                return (found >= last).then_some(found);
            }
            to -= 64;
        }
        None
    }

    /// How many columns left of `column` and how many right of it the nearest holes of a row are, if
    /// within `reach`; `column` itself is 0 to the left, unless it is to be skipped.
    fn gaps(&self, row: &Row, column: i32, reach: i32, skip: bool) -> (Option<i32>, Option<i32>) {
        if reach > 31 {
            let left = self.left_of(row, column - i32::from(skip), reach);
            let right = self.right_of(row, column + 1, reach);
            return (left.map(|left| column - left), right.map(|right| right - column));
        }
        // All within one window of 64 bits, `column` its bit 31.
        let bits = self.window(row, column - 31) & !(u64::from(skip) << 31);
        let left = (bits << 32).leading_zeros() as i32;
        let right = (bits >> 32).trailing_zeros() as i32 + 1;
        ((left <= reach).then_some(left), (right <= reach).then_some(right))
    }

    /// The nearest hole of the set within `limit` of `from`, but not `from` itself; ties go to the
    /// upper row, then to the left column.
    pub(crate) fn nearest(&self, from: Hole, limit: Length, ruler: &Ruler) -> Option<(Length, Hole)> {
        let step = 1 << self.shift;
        let (x, y) = (from.x - self.origin.x, from.y - self.origin.y);
        let (column, above) = (x >> self.shift, y >> self.shift);
        let (beyond, below) = (x & (step - 1), y & (step - 1));
        let reach = (ruler.reach(limit).0 >> self.shift) + 1;
        let upper_first = 2 * below <= step;
        let mut best: Option<(Length, Hole)> = None;
        // The square of the best so far, or a little more, so that rounding hides no tie.
        let mut bound = square_pm(limit);
        // Rows that can hold anything as near, from the grid row of the hole or between two.
        let rows_within = |length| 2 * (ruler.reach(length).1 >> self.shift) + if below == 0 { 1 } else { 3 };
        let mut rows = rows_within(limit);
        let mut i = -1;
        while i + 1 < rows {
            i += 1;
            // Out from the hole by turns, the nearer row first: above, above + 1, above − 1, …
            let upper = (i & 1 == 0) == upper_first;
            let row = if upper { above - (i >> 1) } else { above + 1 + (i >> 1) };
            let Some(bits) = self.rows.get(row as usize) else { continue };
            let dy = ((row - above) << self.shift) - below;
            let dx = match self.gaps(bits, column, reach, dy == 0 && beyond == 0) {
                (None, None) => continue,
                (Some(left), None) => -(left << self.shift) - beyond,
                (None, Some(right)) => (right << self.shift) - beyond,
                (Some(left), Some(right)) => {
                    let (left, right) = ((left << self.shift) + beyond, (right << self.shift) - beyond);
                    if left <= right { -left } else { right }
                }
            };
            if ruler.square(dx, dy) > bound {
                continue;
            }
            let found = (ruler.step(dx, dy), from.offset(dx, dy));
            if found.0 <= limit && best.is_none_or(|best| found < best) {
                best = Some(found);
                bound = square_pm(found.0);
                rows = rows_within(found.0);
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
        let x = from.x - self.origin.x;
        let (left, right) = ((x - across) >> self.shift, (x + across) >> self.shift);
        let y = from.y - self.origin.y;
        let mut best: Option<(Length, Hole)> = None;
        for row in ((y - down) >> self.shift).max(0)..=((y + down) >> self.shift) {
            let Some(bits) = self.rows.get(row as usize) else { break };
            let mut next = left;
            while let Some(column) = self.right_of(bits, next, right - next) {
                next = column + 1;
                let hole = self.hole(row as usize, column);
                let found = (ruler.between(from, hole), hole);
                let near = found.0 > beyond && found.0 <= limit && best.is_none_or(|best| found < best);
                if near && passes(hole) {
                    best = Some(found);
                }
            }
        }
        best
    }
}

/// The square of a length in picometres, and a little more than its rounding to whole ones hides.
fn square_pm(length: Length) -> f64 {
    let pm = length.pm() as f64 + 1.0;
    pm * pm
}

/// The greatest step of which all distances between pieces of a needle's work are multiples.
pub(crate) fn greatest_divisor(a: i32, b: i32) -> i32 {
    if b == 0 { a.abs() } else { greatest_divisor(b, a % b) }
}
