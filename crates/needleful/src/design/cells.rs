//! The check of what is drawn: cells, single stitches, lines, knots.

use super::Parts;
use crate::chart::{EntryIndex, Layer, Line, Point, split};
use crate::error::{Code, Place, Problem, Problems};
use crate::limits;
use crate::stitch::{Form, Phase};
use std::collections::{HashMap, HashSet};

pub(super) fn check_layer(parts: &Parts, layer: &Layer, found: &mut Problems) {
    check_grid(parts, layer, found);
    check_singles(parts, layer, found);
    check_lines(parts, layer, found);
    check_knots(parts, layer, found);
}

fn cell(layer: &Layer, column: u32, row: u32) -> Place {
    Place::Cell { layer: layer.name.clone(), column, row }
}

fn hole(layer: &Layer, (x, y): Point) -> Place {
    Place::Hole { layer: layer.name.clone(), x: f64::from(x) / 2.0, y: f64::from(y) / 2.0 }
}

/// The entry at an index, if it is of the right form; `where_it_belongs` names the wanted one.
fn entry_of_form<'a>(
    parts: &'a Parts,
    index: EntryIndex,
    fits: impl Fn(Form) -> bool,
    where_it_belongs: &str,
    place: impl Fn() -> Place,
    found: &mut Problems,
) -> Option<&'a crate::legend::Entry> {
    let Some(entry) = parts.legend.get(usize::from(index)) else {
        let what = format!("symbol number {} is missing from the legend", u32::from(index) + 1);
        found.push(Problem::new(Code::UnknownSymbol, place(), what, "add it, or empty the place"));
        return None;
    };
    if fits(entry.kind.form) {
        return Some(entry);
    }
    found.push(Problem::new(
        Code::WrongStitch,
        place(),
        format!("symbol '{}' is a {}, which cannot stand {where_it_belongs}", entry.symbol, entry.kind.print),
        format!("use a symbol whose stitch belongs {where_it_belongs}"),
    ));
    None
}

fn check_grid(parts: &Parts, layer: &Layer, found: &mut Problems) {
    let sound: Vec<bool> = parts.legend.iter().map(|entry| entry.kind.form == Form::Cell).collect();
    for (i, &value) in layer.grid.iter().enumerate() {
        if value != 0 && !sound.get(usize::from(value) - 1).is_some_and(|&sound| sound) {
            let (column, row) = (i as u32 % layer.columns, i as u32 / layer.columns);
            let place = || cell(layer, column, row);
            entry_of_form(parts, value - 1, |form| form == Form::Cell, "in a cell", place, found);
        }
    }
}

fn check_singles(parts: &Parts, layer: &Layer, found: &mut Problems) {
    let mut filled: HashMap<(u32, u32), u8> = HashMap::new();
    for single in &layer.singles {
        let place = || cell(layer, single.column, single.row);
        let is_cell = |form| form == Form::Cell;
        let Some(entry) = entry_of_form(parts, single.entry, is_cell, "in a cell", place, found) else {
            continue;
        };
        if single.column >= layer.columns || single.row >= layer.rows {
            let what = format!("outside the layer of {} by {} cells", layer.columns, layer.rows);
            found.push(Problem::new(Code::OffFabric, place(), what, "move it inside, or enlarge the layer"));
            continue;
        }
        let from_grid = || match layer.row(single.row).get(single.column as usize) {
            None | Some(0) => 0,
            Some(&value) => {
                let entry = &parts.legend[usize::from(value) - 1];
                entry.kind.fills(entry.corner)
            }
        };
        let here = filled.entry((single.column, single.row)).or_insert_with(from_grid);
        let mine = entry.kind.fills(entry.corner);
        if *here & mine != 0 {
            found.push(Problem::new(
                Code::Overlap,
                place(),
                format!("symbol '{}' stands where another stitch is already", entry.symbol),
                "empty the cell, or use stitches that leave each other room",
            ));
        }
        *here |= mine;
    }
}

fn check_point(layer: &Layer, point: Point, found: &mut Problems) {
    let (right, bottom) = (2 * layer.columns as i32, 2 * layer.rows as i32);
    if !(0..=right).contains(&point.0) || !(0..=bottom).contains(&point.1) {
        let what = format!("outside the layer of {} by {} cells", layer.columns, layer.rows);
        let mend = "move it inside, or enlarge the layer";
        found.push(Problem::new(Code::OffFabric, hole(layer, point), what, mend));
    }
}

fn check_lines(parts: &Parts, layer: &Layer, found: &mut Problems) {
    let mut legs = 0;
    for line in &layer.lines {
        let start = line.points.first().copied().unwrap_or((0, 0));
        let place = || hole(layer, start);
        let is_line = |form| matches!(form, Form::Backstitch | Form::DoubleRunning);
        entry_of_form(parts, line.entry, is_line, "on a line", place, found);
        let before = found.total();
        line.points.iter().for_each(|&point| check_point(layer, point, found));
        if found.total() > before {
            continue;
        }
        check_way(parts, layer, line, found);
        legs += parts
            .legend
            .get(usize::from(line.entry))
            .map_or(0, |entry| split(&line.points, line.long || entry.kind.name == "long").len());
        if legs > limits::SINGLES {
            let what = format!("the lines have more than {} stitches", limits::SINGLES);
            let place = Place::Part(format!("layer '{}'", layer.name));
            found.push(Problem::new(Code::TooLarge, place, what, "shorten them"));
            return;
        }
    }
}

/// A line must have length everywhere, and every link behind it must lead to another hole.
fn check_way(parts: &Parts, layer: &Layer, line: &Line, found: &mut Problems) {
    if line.points.len() < 2 {
        let start = line.points.first().copied().unwrap_or((0, 0));
        let what = "a line of fewer than two points";
        found.push(Problem::new(Code::ZeroLength, hole(layer, start), what, "give its start and end"));
        return;
    }
    for pair in line.points.windows(2) {
        if pair[0] == pair[1] {
            let what = "two points in a row are the same hole";
            found.push(Problem::new(Code::ZeroLength, hole(layer, pair[0]), what, "remove one of them"));
            return;
        }
    }
    let long = line.long || parts.legend.get(usize::from(line.entry)).is_some_and(|e| e.kind.name == "long");
    for three in split(&line.points, long).windows(3) {
        if three[0] == three[2] {
            found.push(Problem::new(
                Code::DoublesBack,
                hole(layer, three[1]),
                "the line turns back over its last stitch",
                "end the line here and begin another, or stitch it once",
            ));
        }
    }
}

fn check_knots(parts: &Parts, layer: &Layer, found: &mut Problems) {
    let mut taken = HashSet::new();
    for knot in &layer.knots {
        let place = || hole(layer, knot.at);
        entry_of_form(parts, knot.entry, |form| form == Form::Knot, "at a hole", place, found);
        check_point(layer, knot.at, found);
        if !taken.insert(knot.at) {
            let mend = "remove one, or give it more wraps";
            found.push(Problem::new(Code::Overlap, place(), "two knots at one hole", mend));
        }
    }
}

/// Cells that are stitched on the ground, the grid's and the single ones.
fn ground_cells<'a>(parts: &'a Parts, layer: &'a Layer) -> impl Iterator<Item = (u32, u32)> + 'a {
    let ground = |index: usize| parts.legend.get(index).is_some_and(|e| e.kind.phase == Phase::Ground);
    let in_grid = layer.grid.iter().enumerate().filter(move |&(_, &v)| v != 0 && ground(usize::from(v) - 1));
    let in_grid = in_grid.map(|(i, _)| (i as u32 % layer.columns, i as u32 / layer.columns));
    let single = layer.singles.iter().filter(move |s| ground(usize::from(s.entry)));
    in_grid.chain(single.map(|s| (s.column, s.row)))
}

/// No cell of one layer may lie over a stitched cell of another.
pub(super) fn check_layers_apart(parts: &Parts, found: &mut Problems) {
    for (i, a) in parts.layers.iter().enumerate() {
        for b in &parts.layers[i + 1..] {
            let (fine, coarse) = if a.over <= b.over { (a, b) } else { (b, a) };
            if frames_meet(fine, coarse) {
                check_pair_apart(parts, fine, coarse, found);
            }
        }
    }
}

fn frames_meet(a: &Layer, b: &Layer) -> bool {
    let meet = |a0: u32, a_len: u32, b0: u32, b_len: u32| a0 < b0 + b_len && b0 < a0 + a_len;
    meet(a.at.0, a.columns * a.over, b.at.0, b.columns * b.over)
        && meet(a.at.1, a.rows * a.over, b.at.1, b.rows * b.over)
}

fn check_pair_apart(parts: &Parts, fine: &Layer, coarse: &Layer, found: &mut Problems) {
    let stitched: HashSet<(u32, u32)> = ground_cells(parts, coarse).collect();
    // The coarse cells (first, last) that a fine cell from thread `at` on touches, if any.
    let touched = |at: u32, origin: u32, count: u32| {
        let (start, end) = (at, at + fine.over - 1);
        let last = end.checked_sub(origin)? / coarse.over;
        let first = start.saturating_sub(origin) / coarse.over;
        Some(first..=last.min(count - 1))
    };
    for (column, row) in ground_cells(parts, fine) {
        let across = touched(fine.at.0 + column * fine.over, coarse.at.0, coarse.columns);
        let down = touched(fine.at.1 + row * fine.over, coarse.at.1, coarse.rows);
        let (Some(across), Some(down)) = (across, down) else { continue };
        let hit = down.flat_map(|r| across.clone().map(move |c| (c, r))).find(|c| stitched.contains(c));
        if let Some((c, r)) = hit {
            found.push(Problem::new(
                Code::Overlap,
                cell(fine, column, row),
                format!("it lies on column {}, row {} of layer '{}'", c + 1, r + 1, coarse.name),
                "empty one of the two cells, or move a layer",
            ));
        }
    }
}
