//! What one needle has to stitch: passes of pieces, a piece being a run of equal stitches, a single
//! stitch or a line. Nothing here has a length.

use crate::chart::{EntryIndex, Layer, split};
use crate::design::Parts;
use crate::fabric::Hole;
use crate::legend::Entry;
use crate::stitch::{Back, Kind, Leg, Phase};

/// A step in half fabric threads, to the right and downward.
pub type Step = (i32, i32);

/// One leg of a figure, as steps from the piece's anchor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FigureLeg {
    /// One end.
    pub from: Step,
    /// The other end.
    pub to: Step,
    /// Legs of the same stitch that it rides over.
    pub rides_over: u8,
}

/// What a piece repeats: the legs of one stitch, or of one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Index of the legend entry.
    pub entry: EntryIndex,
    /// Which of the needle's slots its thread is booked under.
    pub slot: usize,
    /// Its legs.
    pub legs: Vec<FigureLeg>,
    /// How many of the legs belong to the under pass.
    pub bottom: usize,
    /// How far the next stitch of a run stands to the right, in half threads.
    pub advance: i32,
    /// The shortest step behind the fabric before a stitch, where the stitch prescribes it.
    pub back: Option<Step>,
}

impl Figure {
    /// Whether a run is worked out and back: an under pass, then an over pass.
    pub fn turns(&self) -> bool {
        self.bottom < self.legs.len()
    }
}

/// A run of equal stitches from left to right, a single stitch, a line or a knot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// Upper left hole of the first cell; first point of a line; hole of a knot.
    pub anchor: Hole,
    /// Stitches in the run.
    pub count: u32,
    /// Index of the figure.
    pub figure: u32,
}

/// Pieces that are worked together: one phase of one layer.
#[derive(Debug, Clone, PartialEq)]
pub struct Pass {
    /// When it is worked.
    pub phase: Phase,
    /// Index of the layer.
    pub layer: usize,
    /// Side of a cell, in half threads.
    pub cell: i32,
    /// Largest step whose multiples, from the layer's corner, reach all its holes, in half threads.
    pub grid_step: i32,
    /// The pieces, by anchor.
    pub pieces: Vec<Piece>,
}

/// A row of the account: a stitch kind in a layer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// Index of the layer.
    pub layer: usize,
    /// The kind.
    pub kind: &'static Kind,
    /// Stitches: cells, legs of lines, knots.
    pub stitches: u64,
    /// Legs.
    pub legs: u64,
}

/// Everything one needle has to stitch, in the order of its passes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Work {
    /// What pieces repeat.
    pub figures: Vec<Figure>,
    /// The passes, in working order.
    pub passes: Vec<Pass>,
    /// The rows of the account.
    pub slots: Vec<Slot>,
}

impl Work {
    /// The figure of a piece.
    pub fn figure(&self, piece: &Piece) -> &Figure {
        &self.figures[piece.figure as usize]
    }

    /// Stitches of all kinds.
    pub fn stitches(&self) -> u64 {
        self.slots.iter().map(|slot| slot.stitches).sum()
    }

    /// Legs of all kinds.
    pub fn legs(&self) -> u64 {
        self.slots.iter().map(|slot| slot.legs).sum()
    }

    fn slot(&mut self, layer: usize, kind: &'static Kind) -> usize {
        let found = self.slots.iter().position(|slot| slot.layer == layer && slot.kind == kind);
        found.unwrap_or_else(|| {
            self.slots.push(Slot { layer, kind, stitches: 0, legs: 0 });
            self.slots.len() - 1
        })
    }

    fn pass(&mut self, phase: Phase, layer: usize, cell: i32) -> &mut Pass {
        let key = |pass: &Pass| (pass.phase, pass.layer);
        let at = match self.passes.binary_search_by_key(&(phase, layer), key) {
            Ok(at) => at,
            Err(at) => {
                let pass = Pass { phase, layer, cell, grid_step: cell, pieces: Vec::new() };
                self.passes.insert(at, pass);
                at
            }
        };
        &mut self.passes[at]
    }

    fn add_figure(&mut self, figure: Figure) -> u32 {
        self.figures.push(figure);
        self.figures.len() as u32 - 1
    }

    fn book(&mut self, slot: usize, stitches: u64, legs: u64) {
        self.slots[slot].stitches += stitches;
        self.slots[slot].legs += legs;
    }
}

/// The work of every needle, by needle.
pub fn gather(parts: &Parts) -> Vec<Work> {
    let mut works = vec![Work::default(); parts.needles.len()];
    for (index, layer) in parts.layers.iter().enumerate() {
        gather_cells(parts, index, layer, &mut works);
        gather_lines(parts, index, layer, &mut works);
        gather_knots(parts, index, layer, &mut works);
    }
    // Stable: at one anchor the grid stays before the single stitches, those in their order.
    for pass in works.iter_mut().flat_map(|work| &mut work.passes) {
        if !pass.pieces.is_sorted_by_key(|piece| piece.anchor) {
            pass.pieces.sort_by_key(|piece| piece.anchor);
        }
    }
    works
}

/// A cell's legs as steps from its upper left hole.
fn cell_figure(parts: &Parts, index: EntryIndex, over: i32, slot: usize) -> Figure {
    let entry = &parts.legend[usize::from(index)];
    let step = |(x, y): (i8, i8)| (over * i32::from(x), over * (2 - i32::from(y)));
    let place = |leg: Leg| FigureLeg { from: step(leg.from), to: step(leg.to), rides_over: leg.rides_over };
    Figure {
        entry: index,
        slot,
        legs: entry.kind.legs(entry.corner, parts.top_leg).into_iter().map(place).collect(),
        bottom: entry.kind.bottom,
        advance: 2 * over,
        back: match entry.kind.back {
            Back::Free => None,
            Back::Prescribed(x, y) => Some((over * i32::from(x), over * i32::from(y))),
        },
    }
}

/// Whether all legs of a cell end at its corners.
fn on_corners(figure: &Figure, cell: i32) -> bool {
    let corner = |(x, y): Step| x % cell == 0 && y % cell == 0;
    figure.legs.iter().all(|leg| corner(leg.from) && corner(leg.to))
}

/// Where the cells of one legend entry in a layer go.
struct Target {
    needle: usize,
    phase: Phase,
    figure: u32,
    slot: usize,
    legs: u64,
}

fn target(parts: &Parts, at: usize, layer: &Layer, index: EntryIndex, works: &mut [Work]) -> Target {
    let Entry { needle, kind, .. } = parts.legend[usize::from(index)];
    let (work, over) = (&mut works[needle], layer.over as i32);
    let slot = work.slot(at, kind);
    let figure = cell_figure(parts, index, over, slot);
    let corners = on_corners(&figure, 2 * over);
    let legs = figure.legs.len() as u64;
    let pass = work.pass(kind.phase, at, 2 * over);
    pass.grid_step = if corners { pass.grid_step } else { over };
    Target { needle, phase: kind.phase, figure: work.add_figure(figure), slot, legs }
}

fn gather_cells(parts: &Parts, at: usize, layer: &Layer, works: &mut [Work]) {
    let cell = 2 * layer.over as i32;
    let mut targets: Vec<Option<Target>> = Vec::new();
    targets.resize_with(parts.legend.len(), || None);
    for (index, mut pieces) in (0..).zip(runs(layer, parts.legend.len())) {
        if pieces.is_empty() {
            continue;
        }
        let target = target(parts, at, layer, index, works);
        let work = &mut works[target.needle];
        let mut cells = 0;
        for piece in &mut pieces {
            piece.figure = target.figure;
            cells += u64::from(piece.count);
        }
        work.book(target.slot, cells, cells * target.legs);
        let pass = work.pass(target.phase, at, cell);
        if pass.pieces.is_empty() {
            pass.pieces = pieces;
        } else {
            pass.pieces.append(&mut pieces);
        }
        targets[usize::from(index)] = Some(target);
    }
    for single in &layer.singles {
        let target = targets[usize::from(single.entry)]
            .get_or_insert_with(|| target(parts, at, layer, single.entry, works));
        let anchor = layer.hole((2 * single.column as i32, 2 * single.row as i32));
        let work = &mut works[target.needle];
        let piece = Piece { anchor, count: 1, figure: target.figure };
        work.pass(target.phase, at, cell).pieces.push(piece);
        work.book(target.slot, 1, target.legs);
    }
}

/// The runs of a layer's grid by legend entry, in order; their figures are not known yet.
fn runs(layer: &Layer, entries: usize) -> Vec<Vec<Piece>> {
    let cell = 2 * layer.over as i32;
    let mut runs: Vec<Vec<Piece>> = vec![Vec::new(); entries];
    for (row, cells) in layer.grid.chunks_exact(layer.columns as usize).enumerate() {
        let mut anchor = layer.hole((0, 2 * row as i32));
        let mut rest = cells;
        while let [value, ..] = *rest {
            let count = equal_cells(rest, value);
            if let Some(runs) = usize::from(value).checked_sub(1).and_then(|entry| runs.get_mut(entry)) {
                runs.push(Piece { anchor, count: count as u32, figure: 0 });
            }
            anchor.x += cell * count as i32;
            rest = &rest[count..];
        }
    }
    runs
}

/// How many cells at the beginning are equal, looked at by fours.
fn equal_cells(cells: &[u16], value: u16) -> usize {
    let fours = cells.chunks_exact(4).take_while(|four| **four == [value; 4]).count();
    let rest = &cells[4 * fours..];
    4 * fours + rest.iter().take_while(|&&cell| cell == value).count()
}

fn gather_lines(parts: &Parts, at: usize, layer: &Layer, works: &mut [Work]) {
    for line in &layer.lines {
        let Entry { needle, kind, .. } = parts.legend[usize::from(line.entry)];
        let work = &mut works[needle];
        let slot = work.slot(at, kind);
        let points = split(&line.points, line.long || kind.name == "long");
        let anchor = layer.hole(points[0]);
        let step = |point| {
            let hole = layer.hole(point);
            (hole.x - anchor.x, hole.y - anchor.y)
        };
        let legs =
            points.windows(2).map(|ends| FigureLeg { from: step(ends[0]), to: step(ends[1]), rides_over: 0 });
        let legs: Vec<FigureLeg> = legs.collect();
        let stitches = legs.len() as u64;
        let bottom = legs.len();
        let figure = Figure { entry: line.entry, slot, legs, bottom, advance: 0, back: None };
        let piece = Piece { anchor, count: 1, figure: work.add_figure(figure) };
        push_drawn(work, kind.phase, at, layer, piece);
        work.book(slot, stitches, stitches);
    }
}

fn gather_knots(parts: &Parts, at: usize, layer: &Layer, works: &mut [Work]) {
    for knot in &layer.knots {
        let Entry { needle, kind, .. } = parts.legend[usize::from(knot.entry)];
        let work = &mut works[needle];
        let slot = work.slot(at, kind);
        let legs = vec![FigureLeg { from: (0, 0), to: (0, 0), rides_over: 0 }];
        let figure = Figure { entry: knot.entry, slot, legs, bottom: 1, advance: 0, back: None };
        let piece = Piece { anchor: layer.hole(knot.at), count: 1, figure: work.add_figure(figure) };
        push_drawn(work, kind.phase, at, layer, piece);
        work.book(slot, 1, 1);
    }
}

/// Lines and knots may stand at any half cell.
fn push_drawn(work: &mut Work, phase: Phase, at: usize, layer: &Layer, piece: Piece) {
    let pass = work.pass(phase, at, 2 * layer.over as i32);
    pass.grid_step = layer.over as i32;
    pass.pieces.push(piece);
}
