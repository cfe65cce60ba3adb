//! What a hand does by habit: method `rows`, order by shade. The rule is stated whole in
//! [`crate::model`].

use super::doors::{Doors, FORWARD, REVERSE};
use super::sweep::{Script, Sweeps};
use super::{Join, Stretch};
use crate::fabric::{Hole, Ruler};
use crate::habits::Habits;
use crate::stitch::Phase;
use crate::work::{Pass, Piece, Work};

/// Follows the habit through a needle's work and hands every stretch to `follow`, in order.
pub fn by_habit(work: &Work, sweeps: &Sweeps, ruler: &Ruler, habits: &Habits, mut follow: impl FnMut(Stretch)) {
    let mut at: Option<Hole> = None;
    for (index, pass) in work.passes.iter().enumerate() {
        let ends = |piece| [FORWARD, REVERSE].map(|way| entry(work, sweeps, piece, way));
        let entries: Vec<[Hole; 2]> = pass.pieces.iter().map(ends).collect();
        let mut doors = Doors::new(pass.grid_step, &entries);
        let ground = work.passes.iter().find(|p| p.phase == Phase::Ground && p.layer == pass.layer);
        let mut first_unworked = 0;
        for _ in 0..pass.pieces.len() {
            let next = at.and_then(|from| {
                doors.nearest(from, habits.open_carry, ruler).or_else(|| {
                    let cover = Cover { ground: ground?, doors: &doors, same: pass.phase == Phase::Ground };
                    let far = habits.open_carry >= ruler.step(pass.cell, pass.cell);
                    if !cover.may_lead_on(from, far) {
                        return None;
                    }
                    let limits = (habits.open_carry, habits.covered_carry);
                    doors.nearest_covered(from, limits, ruler, |to| cover.covers(from, to))
                })
            });
            let (way, piece, join) = match next {
                Some((way, piece)) => (way, piece, Join::Link),
                None => {
                    while doors.is_worked(first_unworked) {
                        first_unworked += 1;
                    }
                    (FORWARD, first_unworked, Join::NewStart)
                }
            };
            doors.close(piece, entries[piece as usize]);
            let worked = &pass.pieces[piece as usize];
            let script = &sweeps.scripts[worked.figure as usize][way];
            work_piece(script, sweeps, worked, (index as u32, piece), join, &mut follow);
            at = Some(exit(work, sweeps, worked, script));
        }
    }
}

/// Hands out the stretches of a whole piece.
fn work_piece(
    script: &Script,
    sweeps: &Sweeps,
    worked: &Piece,
    (pass, piece): (u32, u32),
    join: Join,
    follow: &mut impl FnMut(Stretch),
) {
    let end = worked.count - 1;
    for (i, &sweep) in script.sweeps.iter().enumerate() {
        let (first, last) = if sweeps.list[sweep as usize].rightward { (0, end) } else { (end, 0) };
        let join = if i == 0 { join } else { Join::Link };
        follow(Stretch { pass, piece, sweep, first, last, join });
    }
}

/// Where a piece is entered.
fn entry(work: &Work, sweeps: &Sweeps, piece: &Piece, way: usize) -> Hole {
    let figure = work.figure(piece);
    let sweep = &sweeps.list[sweeps.scripts[piece.figure as usize][way].sweeps[0] as usize];
    let (dx, dy) = sweep.entry(figure);
    let along = if sweep.rightward { 0 } else { figure.advance * (piece.count as i32 - 1) };
    piece.anchor.offset(dx + along, dy)
}

/// Where the thread is behind the fabric once a piece is worked.
fn exit(work: &Work, sweeps: &Sweeps, piece: &Piece, script: &Script) -> Hole {
    let figure = work.figure(piece);
    let sweep = &sweeps.list[script.sweeps[script.sweeps.len() - 1] as usize];
    let (dx, dy) = sweep.exit(figure);
    let along = if sweep.rightward { figure.advance * (piece.count as i32 - 1) } else { 0 };
    piece.anchor.offset(dx + along, dy)
}

/// The cells of a layer that this needle has already stitched.
struct Cover<'a> {
    ground: &'a Pass,
    doors: &'a Doors,
    /// Whether the pass at work is the ground itself; in later passes all of it is stitched.
    same: bool,
}

impl Cover<'_> {
    /// Whether a cell, by its upper left hole, is stitched.
    fn stitched(&self, cell: Hole) -> bool {
        let pieces = &self.ground.pieces;
        let after = pieces.partition_point(|piece| piece.anchor <= cell);
        let Some(last) = after.checked_sub(1) else { return false };
        let anchor = pieces[last].anchor;
        if anchor.y != cell.y || cell.x - anchor.x >= self.ground.cell * pieces[last].count as i32 {
            return false;
        }
        // Several single stitches may share a cell.
        let sharing = pieces[..after].iter().enumerate().rev().take_while(|(_, p)| p.anchor == anchor);
        sharing.into_iter().any(|(i, _)| !self.same || self.doors.is_worked(i as u32))
    }

    /// Whether any covered way can begin at a hole; only a quick way to say no. `far`: the way is
    /// longer than a cell in some direction.
    fn may_lead_on(&self, from: Hole, far: bool) -> bool {
        let cell = self.ground.cell;
        let corner = self.ground.pieces.first().map_or(from, |piece| piece.anchor);
        let off = Hole::new((from.x - corner.x).rem_euclid(cell), (from.y - corner.y).rem_euclid(cell));
        if off != Hole::new(0, 0) {
            return true;
        }
        let at = |right: i32, down: i32| self.stitched(from.offset(right * cell, down * cell));
        // Per quarter of the compass: the cell at the hole, then one beyond it; a way along a grid
        // line may change to the cells on the line's other side.
        let leads_on = |x: i32, y: i32| {
            let (beyond_x, beyond_y) = (if x < 0 { -2 } else { 1 }, if y < 0 { -2 } else { 1 });
            let beyond =
                [(beyond_x, y), (x, beyond_y), (beyond_x, beyond_y), (beyond_x, -1 - y), (-1 - x, beyond_y)];
            at(x, y) && (!far || beyond.into_iter().any(|(x, y)| at(x, y)))
        };
        leads_on(0, 0) || leads_on(-1, 0) || leads_on(0, -1) || leads_on(-1, -1)
    }

    /// Whether every middle of the steps from hole to hole lies in or on the edge of a stitched cell.
    fn covers(&self, from: Hole, to: Hole) -> bool {
        let cell = i64::from(self.ground.cell);
        let Some(corner) = self.ground.pieces.first().map(|piece| piece.anchor) else { return false };
        let (dx, dy) = (i64::from(to.x - from.x), i64::from(to.y - from.y));
        let steps = (dx.abs().max(dy.abs()) + cell - 1) / cell;
        // In units of 1/(2·steps) of a half thread, from the corner of a cell.
        let unit = 2 * steps;
        let (x0, y0) = (i64::from(from.x - corner.x) * unit, i64::from(from.y - corner.y) * unit);
        let side = cell * unit;
        (0..steps).all(|i| {
            let (x, y) = (x0 + dx * (2 * i + 1), y0 + dy * (2 * i + 1));
            let (columns, rows) = (cells_at(x, side), cells_at(y, side));
            rows.iter().flatten().any(|&row| {
                columns.iter().flatten().any(|&column| {
                    self.stitched(corner.offset((column * cell) as i32, (row * cell) as i32))
                })
            })
        })
    }
}

/// The cells that a coordinate lies in or on the edge of.
fn cells_at(at: i64, side: i64) -> [Option<i64>; 2] {
    let cell = at.div_euclid(side);
    [Some(cell), (at.rem_euclid(side) == 0).then_some(cell - 1)]
}
