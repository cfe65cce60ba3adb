//! Charts as CSV: one row a line, symbols between commas.

use crate::grid::{Grid, Room, Symbols, ragged, unknown_symbol};
use crate::text;
use csv::{ReaderBuilder, StringRecord};
use needleful::{Code, Place, Problem, Problems, limits};

/// The cells of a CSV chart; every problem goes to `found`.
pub(crate) fn read(
    layer: &str,
    name: &str,
    bytes: &[u8],
    symbols: &Symbols<'_>,
    room: &mut Room,
    found: &mut Problems,
) -> Option<Grid> {
    let text = found.note(text::utf8(name, bytes))?;
    let mut reader = ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let (mut cells, mut first, mut rows) = (Vec::new(), 0, 0);
    let mut record = StringRecord::new();
    let mut read_to = 0;
    loop {
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                found.push(bad(name, rows, &error.to_string(), "write it as CSV in UTF-8"));
                return None;
            }
        }
        let end = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        if !is_one_line(text, read_to, end) {
            let what = "a row is empty, or spreads over several lines";
            found.push(bad(name, rows, what, "give every row one line, an empty cell as '.'"));
            return None;
        }
        read_to = end;
        if rows == 0 {
            first = record.len();
        }
        if record.len() != first {
            found.push(ragged(layer, rows, record.len(), first));
            rows += 1;
            continue;
        }
        if rows == limits::SIDE as usize || cells.len() + first > limits::CELLS as usize {
            rows += 1; // for which there is no room
            break;
        }
        for (column, symbol) in record.iter().enumerate() {
            cells.push(match symbols.by_text.get(symbol.trim()) {
                _ if matches!(symbol.trim(), "" | ".") => 0,
                Some(entry) => entry + 1,
                None => {
                    found.push(unknown_symbol(layer, column, rows, symbol.trim()));
                    0
                }
            });
        }
        rows += 1;
    }
    if rows == 0 {
        found.push(bad(name, 0, "it holds no row", "write at least one"));
        return None;
    }
    let (columns, rows) = found.note(room.take(layer, first, rows))?;
    Some(Grid { columns, rows, cells })
}

/// Whether what was read for a row is one line: the reader skips empty lines without a word, and
/// ends a row in the midst of CR LF.
fn is_one_line(text: &str, start: usize, end: usize) -> bool {
    let read = text.get(start..end).unwrap_or_default();
    let after_cr = text.get(..start).is_some_and(|before| before.ends_with('\r'));
    let line = if after_cr { read.strip_prefix('\n').unwrap_or(read) } else { read };
    let line = line.strip_suffix('\n').unwrap_or(line);
    let line = line.strip_suffix('\r').unwrap_or(line);
    !line.contains(['\r', '\n'])
}

/// A problem of a row, from 0; every row before it is one line.
fn bad(name: &str, row: usize, what: &str, mend: &str) -> Problem {
    Problem::new(Code::BadCsv, Place::Line { file: text::clip(name), line: row + 1, column: 1 }, what, mend)
}
