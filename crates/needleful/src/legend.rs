//! The symbol key: what each symbol of the chart stands for.

use crate::stitch::{Corner, Kind};

/// One symbol: its needle and its stitch.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The symbol.
    pub symbol: String,
    /// Index of the needle.
    pub needle: usize,
    /// The kind of stitch.
    pub kind: &'static Kind,
    /// The corner, for kinds that have one.
    pub corner: Corner,
    /// Index of the bead, for kinds that carry one.
    pub bead: Option<usize>,
    /// Wraps of a knot.
    pub wraps: u32,
    /// Whether a knot is pulled tight off the needle's size.
    pub tight: bool,
}

impl Entry {
    /// Wraps of a knot where none are given (assumption: common practice, no source).
    pub const DEFAULT_WRAPS: u32 = 2;

    /// An entry of a kind with nothing special.
    pub fn new(symbol: impl Into<String>, needle: usize, kind: &'static Kind) -> Self {
        Entry {
            symbol: symbol.into(),
            needle,
            kind,
            corner: Corner::LowerLeft,
            bead: None,
            wraps: Entry::DEFAULT_WRAPS,
            tight: false,
        }
    }
}
