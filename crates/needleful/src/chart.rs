//! The chart: layers of cells, lines and knots, each layer on its own grid of holes.
//!
//! Positions inside a layer are counted in half cells from its upper left corner, so that the middle
//! of a cell is a whole number too.

use crate::fabric::Hole;

/// Index of a legend entry; in a grid it is stored plus one, so that 0 is an empty cell.
pub type EntryIndex = u16;

/// A stitch that is not in the grid: several may share a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Single {
    /// Column from 0.
    pub column: u32,
    /// Row from 0.
    pub row: u32,
    /// What is stitched.
    pub entry: EntryIndex,
}

/// A point of a layer, in half cells from its upper left corner.
pub type Point = (i32, i32);

/// A drawn line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What is stitched.
    pub entry: EntryIndex,
    /// Its corners.
    pub points: Vec<Point>,
    /// One stitch from point to point, whatever holes lie between.
    pub long: bool,
}

/// A knot at a hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Knot {
    /// What is stitched.
    pub entry: EntryIndex,
    /// Where.
    pub at: Point,
}

/// An area of the design with one grid: so many threads a cell, and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// Its name.
    pub name: String,
    /// Fabric threads that a cell spans.
    pub over: u32,
    /// Upper left corner, in fabric threads from the left and from the top of the design.
    pub at: (u32, u32),
    /// Columns of its frame.
    pub columns: u32,
    /// Rows of its frame.
    pub rows: u32,
    /// Cells row by row, legend entry plus one, 0 for empty; or no cells at all.
    pub grid: Vec<u16>,
    /// Stitches outside the grid.
    pub singles: Vec<Single>,
    /// Lines.
    pub lines: Vec<Line>,
    /// Knots.
    pub knots: Vec<Knot>,
}

impl Layer {
    /// An empty layer without a grid.
    pub fn new(name: impl Into<String>, over: u32, columns: u32, rows: u32) -> Self {
        Layer {
            name: name.into(),
            over,
            at: (0, 0),
            columns,
            rows,
            grid: Vec::new(),
            singles: Vec::new(),
            lines: Vec::new(),
            knots: Vec::new(),
        }
    }

    /// The hole at a point.
    pub fn hole(&self, (x, y): Point) -> Hole {
        let over = self.over as i32;
        Hole::new(2 * self.at.0 as i32 + over * x, 2 * self.at.1 as i32 + over * y)
    }

    /// The cells of a row; empty where the layer has no grid.
    pub fn row(&self, row: u32) -> &[u16] {
        let columns = self.columns as usize;
        let start = row as usize * columns;
        self.grid.get(start..start + columns).unwrap_or(&[])
    }
}

/// The points of a line once it is split at every corner hole it passes.
///
/// # Sources
/// Common practice: a stitch over a hole that it does not enter is drawn as a long stitch.
pub fn split(points: &[Point], long: bool) -> Vec<Point> {
    let mut split: Vec<Point> = points.first().copied().into_iter().collect();
    for pair in points.windows(2) {
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        let steps = greatest_divisor(x1 - x0, y1 - y0).max(1);
        let (dx, dy) = ((x1 - x0) / steps, (y1 - y0) / steps);
        if !long {
            let between = (1..steps).map(|i| (x0 + i * dx, y0 + i * dy));
            split.extend(between.filter(|(x, y)| x % 2 == 0 && y % 2 == 0));
        }
        split.push((x1, y1));
    }
    split
}

/// The greatest step of which two distances are multiples; 0 of two nothings.
pub(crate) fn greatest_divisor(a: i32, b: i32) -> i32 {
    if b == 0 { a.abs() } else { greatest_divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_split_at_the_corner_holes_they_pass() {
        assert_eq!(split(&[(0, 0), (6, 0)], false), [(0, 0), (2, 0), (4, 0), (6, 0)]);
        assert_eq!(split(&[(0, 0), (6, 0)], true), [(0, 0), (6, 0)]);
        assert_eq!(split(&[(0, 0), (4, 2)], false), [(0, 0), (4, 2)]);
        assert_eq!(split(&[(1, 1), (5, 5), (5, 4)], false), [(1, 1), (2, 2), (4, 4), (5, 5), (5, 4)]);
        assert_eq!(split(&[], false), []);
    }
}
