//! Charts as rows of text: one character a cell.

use crate::grid::{Grid, Room, Symbols, ragged, unknown_symbol};
use needleful::Problems;

/// The cells of rows of text; every problem goes to `found`.
pub(crate) fn read(
    layer: &str,
    rows: &[String],
    symbols: &Symbols<'_>,
    room: &mut Room,
    found: &mut Problems,
) -> Option<Grid> {
    let first = rows.first().map_or(0, |row| row.chars().count());
    let (columns, row_count) = found.note(room.take(layer, first, rows.len()))?;
    let mut cells = Vec::with_capacity(first * rows.len());
    for (r, row) in rows.iter().enumerate() {
        let count = row.chars().count();
        if count != first {
            found.push(ragged(layer, r, count, first));
            continue;
        }
        for (c, symbol) in row.chars().enumerate() {
            cells.push(match symbols.by_char.get(&symbol) {
                _ if symbol == '.' || symbol == ' ' => 0,
                Some(entry) => entry + 1,
                None => {
                    found.push(unknown_symbol(layer, c, r, symbol.encode_utf8(&mut [0; 4])));
                    0
                }
            });
        }
    }
    Some(Grid { columns, rows: row_count, cells })
}
