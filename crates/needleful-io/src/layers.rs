//! Layers, from their fields and their charts to the core's values.

use crate::grid::{Grid, Room, Symbols};
use crate::names::at_most_one;
use crate::text::{clip, owner, problem};
use crate::{chart_csv, chart_png, chart_rows, file, legend, wire};
use needleful::chart::{EntryIndex, Knot, Layer, Line, Point, Single};
use needleful::{Code, Place, Problem, Problems, limits};

/// Hands out a file that lies beside the project file, by its name.
pub type Beside<'a> = dyn Fn(&str) -> Result<Vec<u8>, Problem> + 'a;

/// Which chart a layer has.
enum Chart<'a> {
    Rows(&'a [String]),
    Csv(&'a str),
    Png(&'a str),
    Size([u32; 2]),
}

/// One layer; every problem goes to `found`.
pub(crate) fn layer(
    wire: &wire::Layer,
    symbols: &Symbols<'_>,
    room: &mut Room,
    beside: &Beside<'_>,
    found: &mut Problems,
) -> Option<Layer> {
    let name = clip(&wire.name);
    let stitches = drawn(wire, &name, symbols, found);
    let grid = grid(wire, &name, symbols, room, beside, found)?;
    Some(Layer {
        name: wire.name.clone(),
        over: wire.over,
        at: wire.at_threads.into(),
        columns: grid.columns,
        rows: grid.rows,
        grid: grid.cells,
        ..stitches
    })
}

/// The cells of a layer; none where it has a size only.
fn grid(
    wire: &wire::Layer,
    name: &str,
    symbols: &Symbols<'_>,
    room: &mut Room,
    beside: &Beside<'_>,
    found: &mut Problems,
) -> Option<Grid> {
    let owner = owner("layer", name);
    let empty = wire.png_empty.as_ref().map(|empty| legend::png_empty(empty, &owner));
    let empty = found.note(empty.transpose());
    if wire.png_empty.is_some() && wire.png.is_none() {
        let what = "png_empty is given without png";
        found.push(problem(Code::ChartChoice, &owner, what, "leave it out, or name the PNG"));
    }
    let chart = at_most_one(
        Code::ChartChoice,
        &owner,
        [
            ("rows", wire.rows.as_deref().map(Chart::Rows)),
            ("csv", wire.csv.as_deref().map(Chart::Csv)),
            ("png", wire.png.as_deref().map(Chart::Png)),
            ("size", wire.size.map(Chart::Size)),
        ],
    );
    let mut bytes = |file: &str| found.note(read_beside(file, beside));
    match found_chart(chart, &owner) {
        Err(problem) => found.note(Err(problem)),
        Ok(Chart::Rows(rows)) => chart_rows::read(name, rows, symbols, room, found),
        Ok(Chart::Csv(file)) => {
            let bytes = bytes(file)?;
            chart_csv::read(name, file, &bytes, symbols, room, found)
        }
        Ok(Chart::Png(file)) => {
            let bytes = bytes(file)?;
            chart_png::read(name, file, &bytes, empty?, symbols, room, found)
        }
        Ok(Chart::Size([columns, rows])) => Some(Grid { columns, rows, cells: Vec::new() }),
    }
}

fn found_chart<'a>(chart: Result<Option<Chart<'a>>, Problem>, owner: &str) -> Result<Chart<'a>, Problem> {
    chart?.ok_or_else(|| {
        let mend = "give rows, csv or png, or, where there is no chart, size = [columns, rows]";
        problem(Code::ChartChoice, owner, "it has neither a chart nor a size", mend)
    })
}

fn read_beside(name: &str, beside: &Beside<'_>) -> Result<Vec<u8>, Problem> {
    file::check_beside(name)?;
    let bytes = beside(name)?;
    file::check_size(name, bytes.len() as u64)?;
    Ok(bytes)
}

/// A layer with what is drawn outside the grid.
fn drawn(wire: &wire::Layer, name: &str, symbols: &Symbols<'_>, found: &mut Problems) -> Layer {
    let mut layer = Layer::new("", 1, 0, 0);
    for stitches in &wire.stitches {
        let Some(entry) = found.note(symbol(symbols, &stitches.symbol, "stitches", name)) else { continue };
        for &[column, row] in &stitches.cells {
            match (column.checked_sub(1), row.checked_sub(1)) {
                (Some(column), Some(row)) => layer.singles.push(Single { column, row, entry }),
                _ => found.push(problem(
                    Code::OffFabric,
                    &format!("{}, cell [{column}, {row}]", owner("layer", name)),
                    "there is no column or row 0",
                    "count columns and rows from 1",
                )),
            }
        }
    }
    for line in &wire.lines {
        let entry = found.note(symbol(symbols, &line.symbol, "lines", name));
        let points = line.points.iter().filter_map(|&at| found.note(hole(at, name))).collect();
        layer.lines.extend(entry.map(|entry| Line { entry, points, long: line.long }));
    }
    for knots in &wire.knots {
        let Some(entry) = found.note(symbol(symbols, &knots.symbol, "knots", name)) else { continue };
        let holes = knots.holes.iter().filter_map(|&at| found.note(hole(at, name)));
        layer.knots.extend(holes.map(|at| Knot { entry, at }));
    }
    layer
}

fn symbol(symbols: &Symbols<'_>, symbol: &str, list: &str, layer: &str) -> Result<EntryIndex, Problem> {
    symbols.by_text.get(symbol).copied().ok_or_else(|| {
        let what = format!("{} is missing from the legend", owner("symbol", symbol));
        let place = format!("{}, {list}", owner("layer", layer));
        problem(Code::UnknownSymbol, &place, what, "add it to the legend, or leave the entry out")
    })
}

/// A hole in cells as a point in half cells.
fn hole([x, y]: [f64; 2], layer: &str) -> Result<Point, Problem> {
    let place = || Place::Hole { layer: layer.to_owned(), x, y };
    let (twice_x, twice_y) = (2.0 * x, 2.0 * y);
    if twice_x.fract() != 0.0 || twice_y.fract() != 0.0 {
        let mend = "give whole cells or halves";
        return Err(Problem::new(Code::OffGrid, place(), "there is no hole at this place", mend));
    }
    let most = f64::from(limits::SIDE);
    if !(0.0..=most).contains(&x) || !(0.0..=most).contains(&y) {
        let what = format!("outside of any layer, which has at most {most} cells a side");
        return Err(Problem::new(Code::OffFabric, place(), what, "move it inside the layer"));
    }
    // Whole numbers within the limits.
    Ok((twice_x as i32, twice_y as i32))
}
