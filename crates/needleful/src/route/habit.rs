//! What a hand does by habit: method `rows`, order by shade. The rule is stated whole in
//! [`crate::model`].

use super::doors::{Doors, FORWARD, REVERSE};
use super::sweep::{Script, Sweeps};
use super::{Join, Stretch};
use crate::fabric::{Hole, Ruler};
use crate::habits::Habits;
use crate::holes::HoleSet;
use crate::stitch::Phase;
use crate::work::{Pass, Piece, Work};

/// Follows the habit through a needle's work and hands every stretch to `follow`, in order.
pub fn by_habit(
    work: &Work,
    sweeps: &Sweeps,
    ruler: &Ruler,
    habits: &Habits,
    mut follow: impl FnMut(Stretch),
) {
    let mut at: Option<Hole> = None;
    for (index, pass) in work.passes.iter().enumerate() {
        let ends = |piece| [FORWARD, REVERSE].map(|way| sweeps.script(piece, way).entry(piece));
        let entries: Vec<[Hole; 2]> = pass.pieces.iter().map(ends).collect();
        let mut doors = Doors::new(pass.grid_step, &entries);
        let mut cover = Cover::before(work, pass);
        let mut first_unworked = 0;
        for _ in 0..pass.pieces.len() {
            let next = at.and_then(|from| {
                let near = doors.nearest(from, habits.open_carry, ruler);
                near.or_else(|| cover.as_ref()?.nearest(from, &doors, ruler, habits))
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
            let script = sweeps.script(worked, way);
            work_piece(script, sweeps, worked, (index as u32, piece), join, &mut follow);
            at = Some(script.exit(worked));
            if let Some(cover) = cover.as_mut().filter(|_| pass.phase == Phase::Ground) {
                cover.cells.insert_run(worked.anchor, pass.cell, worked.count);
            }
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

/// The cells of a layer that this needle has already stitched.
struct Cover {
    /// Their upper left holes.
    cells: HoleSet,
    /// The upper left hole of one of them.
    corner: Hole,
    /// Side of a cell, in half threads.
    side: i32,
}

impl Cover {
    /// What covers the fabric before a pass begins: in its layer nothing, if it works the ground
    /// itself, else all of the needle's ground. `None` where the needle has no ground there.
    fn before(work: &Work, pass: &Pass) -> Option<Self> {
        let ground = work.passes.iter().find(|p| p.phase == Phase::Ground && p.layer == pass.layer)?;
        let last = |piece: &Piece| piece.anchor.offset(ground.cell * (piece.count as i32 - 1), 0);
        let ends = ground.pieces.iter().flat_map(|piece| [piece.anchor, last(piece)]);
        let mut cells = HoleSet::with_room_for(ground.cell, ends);
        if pass.phase != Phase::Ground {
            ground.pieces.iter().for_each(|piece| cells.insert_run(piece.anchor, ground.cell, piece.count));
        }
        Some(Cover { cells, corner: ground.pieces.first()?.anchor, side: ground.cell })
    }

    /// The nearest entry beyond the open carry and within the covered one to which the way is covered.
    fn nearest(&self, from: Hole, doors: &Doors, ruler: &Ruler, habits: &Habits) -> Option<(usize, u32)> {
        let far = habits.open_carry >= ruler.step(self.side, self.side);
        if !self.may_lead_on(from, far) {
            return None;
        }
        let limits = (habits.open_carry, habits.covered_carry);
        doors.nearest_covered(from, limits, ruler, |to| self.covers(from, to))
    }

    /// Whether any covered way can begin at a hole; only a quick way to say no. `far`: the way is
    /// longer than a cell in some direction.
    fn may_lead_on(&self, from: Hole, far: bool) -> bool {
        let Hole { x, y } = self.corner;
        if (from.x - x) % self.side != 0 || (from.y - y) % self.side != 0 {
            return true;
        }
        let at =
            |right: i32, down: i32| self.cells.contains(from.offset(right * self.side, down * self.side));
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
        let (cell, corner) = (i64::from(self.side), self.corner);
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
                    self.cells.contains(corner.offset((column * cell) as i32, (row * cell) as i32))
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
