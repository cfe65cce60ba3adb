//! What both pages share: tables that fit 80 columns, numbers, bars.

use anstyle::{AnsiColor, Style};
use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

/// Widest line.
pub(crate) const WIDTH: usize = 80;

/// A heading.
pub(crate) fn heading(text: &str) -> String {
    let style = Style::new().bold();
    format!("\n{style}{text}{style:#}\n")
}

/// How a row is coloured by its verdict.
pub(crate) fn verdict_style(verdict: &str) -> Style {
    let colour = |colour: AnsiColor| Style::new().fg_color(Some(colour.into()));
    match verdict {
        "short" => colour(AnsiColor::Red).bold(),
        "tight" => colour(AnsiColor::Yellow),
        "over" => colour(AnsiColor::Cyan),
        _ => Style::new(),
    }
}

/// A column: its heading, whether it holds numbers, and how many characters it has at most.
pub(crate) type Column = (&'static str, bool, usize);

/// A table without frames, one line a row, numbers to the right; each row in its style. The columns
/// and a space before each fit the page.
pub(crate) fn table(columns: &[Column], rows: &[(Style, Vec<String>)]) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING).set_content_arrangement(ContentArrangement::Disabled);
    table.set_header(columns.iter().map(|(heading, ..)| *heading));
    for (_, cells) in rows {
        table.add_row(cells.iter().zip(columns).map(|(cell, (_, _, most))| shortened(cell, *most)));
    }
    for ((_, numbers, _), column) in columns.iter().zip(table.column_iter_mut()) {
        column.set_padding((1, 0));
        if *numbers {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let styles = std::iter::once(Style::new().underline()).chain(rows.iter().map(|(style, _)| *style));
    let lines = table.lines().zip(styles).map(|(line, style)| {
        let line = line.trim_end();
        format!("{style}{line}{style:#}\n")
    });
    lines.collect()
}

fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}

/// Metres with two decimals.
pub(crate) fn metres(metres: f64) -> String {
    format!("{metres:.2}")
}

/// A whole number with its thousands apart.
pub(crate) fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push('\u{2009}');
        }
        text.push(digit);
    }
    text
}

/// So many of a thing, by its words for one and for several.
pub(crate) fn several(count: u64, one: &str, many: &str) -> String {
    format!("{} {}", grouped(count), if count == 1 { one } else { many })
}

/// A share of the whole as a bar.
pub(crate) fn bar(share: f64) -> String {
    "▬".repeat((share * 40.0).round() as usize)
}
