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

/// Where the cells of one legend entry go.
#[derive(Clone)]
struct Target {
    figure: u32,
    legs: u64,
    slot: usize,
    pieces: Vec<Piece>,
}

/// The targets of a layer, one for every legend entry that occurs in it.
struct Targets<'a> {
    parts: &'a Parts,
    at: usize,
    layer: &'a Layer,
    list: Vec<Option<Target>>,
}

impl Targets<'_> {
    fn of(&mut self, index: EntryIndex, works: &mut [Work]) -> &mut Target {
        self.list[usize::from(index)].get_or_insert_with(|| {
            let entry = &self.parts.legend[usize::from(index)];
            let work = &mut works[entry.needle];
            let over = self.layer.over as i32;
            let slot = work.slot(self.at, entry.kind);
            let figure = cell_figure(self.parts, index, over, slot);
            let pass = work.pass(entry.kind.phase, self.at, 2 * over);
            if !on_corners(&figure, 2 * over) {
                pass.grid_step = over;
            }
            let legs = figure.legs.len() as u64;
            Target { figure: work.add_figure(figure), legs, slot, pieces: Vec::new() }
        })
    }

    /// Books the pieces gathered and moves them into their passes.
    fn settle(&mut self, works: &mut [Work]) {
        for (entry, target) in self.parts.legend.iter().zip(&mut self.list) {
            let Some(target) = target else { continue };
            let work = &mut works[entry.needle];
            let cells = target.pieces.iter().map(|piece| u64::from(piece.count)).sum();
            work.book(target.slot, cells, cells * target.legs);
            let pass = work.pass(entry.kind.phase, self.at, 2 * self.layer.over as i32);
            pass.pieces.append(&mut target.pieces);
        }
    }
}

fn gather_cells(parts: &Parts, at: usize, layer: &Layer, works: &mut [Work]) {
    if layer.grid.is_empty() && layer.singles.is_empty() {
        return;
    }
    let mut targets = Targets { parts, at, layer, list: vec![None; parts.legend.len()] };
    let cell = 2 * layer.over as i32;
    for (row, cells) in layer.grid.chunks_exact(layer.columns as usize).enumerate() {
        let left = layer.hole((0, 2 * row as i32));
        let mut column = 0;
        while column < cells.len() {
            let (value, start) = (cells[column], column);
            column += 1;
            if value == 0 {
                continue;
            }
            while column < cells.len() && cells[column] == value {
                column += 1;
            }
            let target = targets.of(value - 1, works);
            let anchor = left.offset(cell * start as i32, 0);
            let count = (column - start) as u32;
            target.pieces.push(Piece { anchor, count, figure: target.figure });
        }
    }
    targets.settle(works);
    for single in &layer.singles {
        let target = targets.of(single.entry, works);
        let (figure, slot, legs) = (target.figure, target.slot, target.legs);
        let anchor = layer.hole((2 * single.column as i32, 2 * single.row as i32));
        let entry = &parts.legend[usize::from(single.entry)];
        let work = &mut works[entry.needle];
        work.pass(entry.kind.phase, at, cell).pieces.push(Piece { anchor, count: 1, figure });
        work.book(slot, 1, legs);
    }
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
