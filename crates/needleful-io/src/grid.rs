//! What the three kinds of chart have in common: symbols, and cells within the limits.

use crate::text::{owner, problem};
use needleful::chart::EntryIndex;
use needleful::{Code, Place, Problem, limits};
use std::collections::HashMap;

/// The cells of a chart, row by row: legend entry plus one, 0 for empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Grid {
    pub(crate) columns: u32,
    pub(crate) rows: u32,
    pub(crate) cells: Vec<u16>,
}

/// A colour, red, green, blue.
pub(crate) type Colour = [u8; 3];

/// The symbol key, as charts ask for it: index of the entry by whatever stands in a cell.
#[derive(Debug, Default)]
pub(crate) struct Symbols<'a> {
    pub(crate) by_text: HashMap<&'a str, EntryIndex>,
    /// Symbols of one character.
    pub(crate) by_char: HashMap<char, EntryIndex>,
    pub(crate) by_colour: HashMap<Colour, EntryIndex>,
    pub(crate) by_palette: HashMap<u8, EntryIndex>,
}

/// How many cells the charts of a design may still have.
#[derive(Debug)]
pub(crate) struct Room(u64);

impl Room {
    /// All that the limits allow.
    pub(crate) fn all() -> Self {
        Room(limits::CELLS)
    }

    /// Takes the room for a chart, before it is built.
    ///
    /// # Errors
    /// [`Code::TooLarge`].
    pub(crate) fn take(&mut self, layer: &str, columns: usize, rows: usize) -> Result<(u32, u32), Problem> {
        let side = |side: usize| u32::try_from(side).ok().filter(|&side| side <= limits::SIDE);
        let (Some(columns), Some(rows)) = (side(columns), side(rows)) else {
            let what = format!("a chart of {columns} by {rows} cells");
            let mend = format!("give at most {} columns and rows", limits::SIDE);
            return Err(problem(Code::TooLarge, &owner("layer", layer), what, mend));
        };
        let cells = u64::from(columns) * u64::from(rows);
        self.0 = self.0.checked_sub(cells).ok_or_else(|| {
            let what = format!("a chart of {columns} by {rows} cells is more than the design has room for");
            let mend = format!("give at most {} cells in all layers together", limits::CELLS);
            problem(Code::TooLarge, &owner("layer", layer), what, mend)
        })?;
        Ok((columns, rows))
    }
}

/// A row that is shorter or longer than the first; `row` from 0.
pub(crate) fn ragged(layer: &str, row: usize, cells: usize, first: usize) -> Problem {
    problem(
        Code::RaggedRows,
        &format!("{}, row {}", owner("layer", layer), row + 1),
        format!("{cells} cells where the first row has {first}"),
        "give every row the same number of cells",
    )
}

/// A symbol in a cell that the legend does not have.
pub(crate) fn unknown_symbol(layer: &str, column: usize, row: usize, symbol: &str) -> Problem {
    Problem::new(
        Code::UnknownSymbol,
        cell(layer, column, row),
        format!("{} is missing from the legend", owner("symbol", symbol)),
        "add it to the legend, or empty the cell",
    )
}

/// The place of a cell, from 0. Within the limits of a chart, no number is cut short.
pub(crate) fn cell(layer: &str, column: usize, row: usize) -> Place {
    let whole = |side: usize| u32::try_from(side).unwrap_or(u32::MAX);
    Place::Cell { layer: crate::text::clip(layer), column: whole(column), row: whole(row) }
}
