//! Sets of holes as strips of bits, and the nearest hole of a set.
//!
//! A strip is 64 columns wide, a word of it is a row, so that the rows a search looks at lie side by
//! side in memory. Each strip is as high as its holes need: memory follows the holes, not the fabric.

use crate::fabric::{Hole, Ruler};
use crate::units::Length;

/// Columns of a strip.
const WIDE: i32 = 64;

/// Empty rows above and below those of a strip, so that what is near a hole can be read in one go.
const MARGIN: i32 = 32;

/// The rows of 64 columns that are used, and a margin.
#[derive(Debug, Clone, Copy)]
struct Strip {
    /// Its first row.
    top: i32,
    /// How many rows.
    rows: u32,
    /// First of its words.
    word: u32,
}

/// Where the bit of a hole is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Spot {
    word: u32,
    bit: u32,
}

impl Spot {
    /// A number that spreads over all 64 bits, equal for equal spots.
    pub(crate) fn spread(self) -> u64 {
        (u64::from(self.word) << 6 | u64::from(self.bit)).wrapping_mul(0x9E37_79B9_7F4A_7C15)
    }

    fn mask(self) -> u64 {
        1 << self.bit
    }
}

/// A set of holes, all multiples of a step apart.
#[derive(Debug, Clone)]
pub(crate) struct HoleSet {
    /// The uppermost leftmost hole of the fabric that is such a multiple away.
    origin: Hole,
    /// Rows and columns are 2^shift half threads apart, so that no division is needed.
    shift: u32,
    strips: Vec<Strip>,
    words: Vec<u64>,
}

impl HoleSet {
    /// An empty set with room for these holes, multiples of a step apart. It takes over memory, all of it
    /// 0, as a set leaves it that has become empty.
    pub(crate) fn with_room_for(
        step: i32,
        holes: impl Iterator<Item = Hole> + Clone,
        memory: Vec<u64>,
    ) -> Self {
        HoleSet::with_room_for_runs(step, holes.map(|hole| (hole, hole)), memory)
    }

    /// The same for runs, from their first hole to their last in one row.
    pub(crate) fn with_room_for_runs(
        step: i32,
        runs: impl Iterator<Item = (Hole, Hole)> + Clone,
        mut memory: Vec<u64>,
    ) -> Self {
        let shift = step.trailing_zeros();
        let within_step = |at: i32| at & ((1 << shift) - 1);
        let (first, _) = runs.clone().next().unwrap_or((Hole::new(0, 0), Hole::new(0, 0)));
        let origin = Hole::new(within_step(first.x), within_step(first.y));
        // First and last row of each strip.
        let mut spans = Vec::new();
        // By `for_each`: chained iterators step slowly from outside.
        runs.for_each(|(first, last)| {
            let strip = |hole: Hole| ((hole.x - origin.x) >> shift >> 6) as usize;
            let (from, to) = (strip(first), strip(last));
            if to >= spans.len() {
                spans.resize(to + 1, (i32::MAX, i32::MIN));
            }
            let row = (first.y - origin.y) >> shift;
            for span in &mut spans[from..=to] {
                *span = (span.0.min(row), span.1.max(row));
            }
        });
        let mut word = 0;
        let lay = |(top, bottom): (i32, i32)| {
            let (top, rows) =
                if top <= bottom { (top - MARGIN, (bottom - top + 1 + 2 * MARGIN) as u32) } else { (0, 0) };
            word += rows;
            Strip { top, rows, word: word - rows }
        };
        let strips = spans.into_iter().map(lay).collect();
        debug_assert!(memory.iter().all(|&word| word == 0));
        memory.resize(word as usize, 0);
        HoleSet { origin, shift, strips, words: memory }
    }

    /// Its memory, for another set.
    pub(crate) fn into_memory(self) -> Vec<u64> {
        self.words
    }

    /// Takes all holes out.
    pub(crate) fn clear(&mut self) {
        self.words.fill(0);
    }

    /// Row and column of a hole, and how far the hole is beyond them.
    fn place(&self, hole: Hole) -> (Hole, Hole) {
        let (x, y) = (hole.x - self.origin.x, hole.y - self.origin.y);
        let beyond = (1 << self.shift) - 1;
        (Hole::new(x >> self.shift, y >> self.shift), Hole::new(x & beyond, y & beyond))
    }

    /// Where the bit of a hole is for which there is room; the same in every set with the same room.
    pub(crate) fn spot(&self, hole: Hole) -> Spot {
        let (place, _) = self.place(hole);
        let strip = self.strips[(place.x >> 6) as usize];
        Spot { word: strip.word + (place.y - strip.top) as u32, bit: (place.x & (WIDE - 1)) as u32 }
    }

    /// Whether the hole of a spot is in the set.
    pub(crate) fn has(&self, spot: Spot) -> bool {
        self.words[spot.word as usize] & spot.mask() != 0
    }

    /// Adds the hole of a spot.
    pub(crate) fn insert(&mut self, spot: Spot) {
        self.words[spot.word as usize] |= spot.mask();
    }

    /// Takes out the hole of a spot.
    pub(crate) fn remove(&mut self, spot: Spot) {
        self.words[spot.word as usize] &= !spot.mask();
    }

    /// Adds `count` holes, one step from the next, from one to the right.
    pub(crate) fn insert_run(&mut self, first: Hole, count: u32) {
        let (place, _) = self.place(first);
        let (mut strip, mut bit, mut left) = ((place.x >> 6) as usize, (place.x & (WIDE - 1)) as u32, count);
        while left > 0 {
            let here = left.min(64 - bit);
            let Strip { top, word, .. } = self.strips[strip];
            self.words[(word as i32 + place.y - top) as usize] |= u64::MAX >> (64 - here) << bit;
            (strip, bit, left) = (strip + 1, 0, left - here);
        }
    }

    /// Whether a hole is on the grid of the set.
    pub(crate) fn has_on_grid(&self, hole: Hole) -> bool {
        self.place(hole).1 == Hole::new(0, 0)
    }

    /// Half threads from row to row and from column to column.
    pub(crate) fn step(&self) -> i32 {
        1 << self.shift
    }

    /// Lays the `N` rows from a hole on the grid upward and downward side by side: in each word 32
    /// columns of the row so far above, and then of the row so far below. The columns begin `reach` to
    /// the left of the hole; as many count to its right. `N` is at most half the margin.
    pub(crate) fn lay_pairs<const N: usize>(&self, around: Hole, reach: i32) -> [u64; N] {
        let (place, _) = self.place(around);
        let first = place.x - reach;
        let shift = first & (WIDE - 1);
        let mut pairs = [0; N];
        self.lay_half(first >> 6, place.y, &mut pairs, |word| word >> shift);
        if shift + 2 * reach >= WIDE {
            self.lay_half((first >> 6) + 1, place.y, &mut pairs, |word| (word << 1) << (WIDE - 1 - shift));
        }
        pairs
    }

    fn lay_half<const N: usize>(
        &self,
        strip: i32,
        row: i32,
        pairs: &mut [u64; N],
        take: impl Fn(u64) -> u64,
    ) {
        let (top, words) = self.column(strip);
        let at = (row - top) as usize;
        let upper = words.get(at.wrapping_sub(N - 1)..).and_then(|words| words.first_chunk::<N>());
        let lower = words.get(at..).and_then(|words| words.first_chunk::<N>());
        // Thanks to the margin, rows that do not fit are too far away from any hole.
        let (Some(upper), Some(lower)) = (upper, lower) else { return };
        for (i, pair) in pairs.iter_mut().enumerate() {
            *pair |= take(upper[N - 1 - i]) & 0xFFFF_FFFF | take(lower[i]) << 32;
        }
    }

    /// Whether a hole on the grid of the set is in it.
    pub(crate) fn contains(&self, hole: Hole) -> bool {
        let (place, _) = self.place(hole);
        let (top, words) = self.column(place.x >> 6);
        let word = words.get((place.y - top) as usize);
        word.is_some_and(|word| word >> (place.x & (WIDE - 1)) & 1 == 1)
    }

    /// First row and words of a strip; none where there is no strip of this number.
    fn column(&self, strip: i32) -> (i32, &[u64]) {
        let Some(&Strip { top, rows, word }) = self.strips.get(strip as usize) else { return (0, &[]) };
        (top, self.words.get(word as usize..(word + rows) as usize).unwrap_or_default())
    }

    /// The nearest hole of the set within `limit` of `from`, but not `from` itself; ties go to the
    /// upper row, then to the left column.
    pub(crate) fn nearest(&self, from: Hole, limit: Length, ruler: &Ruler) -> Option<(Length, Hole)> {
        let (place, beyond) = self.place(from);
        let mut search =
            Search { set: self, from, place, beyond, ruler, best: None, bound: 0.0, reach: [0; 4] };
        search.narrow(limit);
        let (strip, bit) = (place.x >> 6, place.x & (WIDE - 1));
        search.scan(strip, limit);
        for side in 1.. {
            let [left, right, ..] = search.reach;
            if left < bit + 1 + WIDE * (side - 1) && right < WIDE * side - bit {
                break;
            }
            search.scan(strip - side, limit);
            search.scan(strip + side, limit);
        }
        search.best
    }

    /// The nearest hole farther than `beyond` and within `limit` that passes a test, no more than `most`
    /// half threads away to the right, to the left, downward and upward.
    pub(crate) fn nearest_beyond(
        &self,
        from: Hole,
        (beyond, limit): (Length, Length),
        most: [i32; 4],
        ruler: &Ruler,
        passes: impl Fn(Hole) -> bool,
    ) -> Option<(Length, Hole)> {
        let (across, along) = (ruler.reach_across(limit), ruler.reach_down(limit));
        let [right, left, down, up] = most;
        let (first, _) = self.place(from.offset(-across.min(left), -along.min(up)));
        let (last, _) = self.place(from.offset(across.min(right), along.min(down)));
        let mut best: Option<(Length, Hole)> = None;
        // Squares spare most holes the root; a little wide, so that rounding decides nothing.
        let (inner, mut outer) = (beyond.pm() as f64 * (beyond.pm() as f64 - 1.0), square_pm(limit));
        for strip in (first.x >> 6).max(0)..=(last.x >> 6).min(self.strips.len() as i32 - 1) {
            let (top, words) = self.column(strip);
            let start = WIDE * strip;
            let inside =
                u64::MAX << (first.x - start).max(0) & u64::MAX >> (start + WIDE - 1 - last.x).max(0);
            for row in first.y.max(top)..=last.y.min(top + words.len() as i32 - 1) {
                let mut bits = words[(row - top) as usize] & inside;
                while bits != 0 {
                    let x = (start + bits.trailing_zeros() as i32) << self.shift;
                    bits &= bits - 1;
                    let hole = self.origin.offset(x, row << self.shift);
                    let square = ruler.square(hole.x - from.x, hole.y - from.y);
                    if square < inner || square > outer || !passes(hole) {
                        continue;
                    }
                    let found = (ruler.between(from, hole), hole);
                    if found.0 > beyond && found.0 <= limit && best.is_none_or(|best| found < best) {
                        best = Some(found);
                        outer = square_pm(found.0);
                    }
                }
            }
        }
        best
    }
}

/// A search for the nearest hole.
struct Search<'a> {
    set: &'a HoleSet,
    from: Hole,
    /// Its row and column, and how far it is beyond them.
    place: Hole,
    beyond: Hole,
    ruler: &'a Ruler,
    best: Option<(Length, Hole)>,
    /// The square of the best so far, or a little more, so that rounding hides no tie.
    bound: f64,
    /// How many columns to the left and right and rows upward and downward anything as near can be.
    reach: [i32; 4],
}

impl Search<'_> {
    /// Looks no farther than a length from now on.
    fn narrow(&mut self, length: Length) {
        let (across, down) = (self.ruler.reach_across(length), self.ruler.reach_down(length));
        let Hole { x, y } = self.beyond;
        self.bound = square_pm(length);
        self.reach = [across - x, across + x, down - y, down + y].map(|reach| reach >> self.set.shift);
    }

    /// Looks through the rows of a strip: that of the hole, then downward, then upward.
    fn scan(&mut self, strip: i32, limit: Length) {
        let (top, words) = self.set.column(strip);
        let row = self.place.y - top;
        // How far to the right its first column is.
        let start = WIDE * strip - self.place.x;
        let mut near = self.near(start);
        let hides_itself = self.beyond == Hole::new(0, 0) && -WIDE < start && start <= 0;
        let itself = if hides_itself { 1 << -start } else { 0 };
        let own = words.get(row as usize).map_or(0, |word| word & near & !itself);
        if own != 0 {
            self.meet_row(own, start, 0, limit);
            near = self.near(start);
        }
        let next = (row + 1).clamp(0, words.len() as i32);
        for (word, down) in words[next as usize..].iter().zip(next - row..) {
            if down > self.reach[3] {
                break;
            }
            if word & near != 0 {
                self.meet_row(word & near, start, down, limit);
                near = self.near(start);
            }
        }
        let next = row.clamp(0, words.len() as i32);
        for (word, up) in words[..next as usize].iter().rev().zip(row - next + 1..) {
            if up > self.reach[2] {
                break;
            }
            if word & near != 0 {
                self.meet_row(word & near, start, -up, limit);
                near = self.near(start);
            }
        }
    }

    /// The columns of a strip where anything as near can be.
    fn near(&self, start: i32) -> u64 {
        let [left, right, ..] = self.reach;
        let (first, last) = (-left - start, right - start);
        u64::MAX << first.clamp(0, WIDE - 1) & u64::MAX >> (WIDE - 1 - last).clamp(0, WIDE - 1)
    }

    /// Takes the nearest of a row's bits, if it is nearer; of two as near the left one.
    fn meet_row(&mut self, bits: u64, start: i32, row: i32, limit: Length) {
        let (shift, Hole { x, y }) = (self.set.shift, self.beyond);
        let left_half = if start > 0 { 0 } else { u64::MAX >> (WIDE - 1 + start).max(0) };
        let (left, right) = (bits & left_half, bits & !left_half);
        let (last, first) = (WIDE - 1 - left.leading_zeros() as i32, right.trailing_zeros() as i32);
        let to_left = if left == 0 { i32::MAX } else { x - ((start + last) << shift) };
        let to_right = if right == 0 { i32::MAX } else { ((start + first) << shift) - x };
        let dx = if to_left <= to_right { -to_left } else { to_right };
        self.meet(dx, (row << shift) - y, limit);
    }

    /// Takes the hole a step away, if it is nearer.
    fn meet(&mut self, dx: i32, dy: i32, limit: Length) {
        let square = self.ruler.square(dx, dy);
        if square > self.bound {
            return;
        }
        let found = (Length::round_positive_pm(square.sqrt()), self.from.offset(dx, dy));
        if found.0 <= limit && self.best.is_none_or(|best| found < best) {
            self.best = Some(found);
            self.narrow(found.0);
        }
    }
}

/// The square of a length in picometres, and a little more than its rounding to whole ones hides.
fn square_pm(length: Length) -> f64 {
    let pm = length.pm() as f64 + 1.0;
    pm * pm
}
