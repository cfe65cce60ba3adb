//! What a hand does by habit: method `rows`, order by shade. The rule is stated whole in
//! [`crate::model`].

use super::doors::{Doors, FORWARD, REVERSE};
use super::nearby::Nearby;
use super::sweep::{Script, Sweeps};
use super::{Join, Stretch};
use crate::fabric::{Hole, Ruler};
use crate::habits::Habits;
use crate::holes::HoleSet;
use crate::stitch::Phase;
use crate::units::Length;
use crate::work::{Pass, Piece, Work};

/// Plans routes. What it works out for one needle serves the next where it can.
#[derive(Debug, Clone, Default)]
pub struct Planner {
    nearby: Option<Nearby>,
    /// Memory of the last doors and of the last cover.
    doors: Vec<u64>,
    cover: Vec<u64>,
}

impl Planner {
    /// Follows the habit through a needle's work and hands every stretch to `follow`, in order.
    pub fn by_habit(
        &mut self,
        work: &Work,
        sweeps: &Sweeps,
        ruler: &Ruler,
        habits: &Habits,
        mut follow: impl FnMut(Stretch),
    ) {
        let mut at: Option<Hole> = None;
        for index in 0..work.passes.len() {
            at = self.work_pass(work, index, sweeps, ruler, habits, at, &mut follow);
        }
    }

    /// The places near a hole: the last ones, if they are those.
    fn nearby(&mut self, step: i32, limit: Length, ruler: &Ruler) -> Option<Nearby> {
        let last = self.nearby.take().filter(|nearby| nearby.is_of(step, limit, ruler));
        last.or_else(|| Nearby::new(step, limit, ruler))
    }

    /// Works one pass from a hole, and tells where it ends.
    #[allow(clippy::too_many_arguments)] // what a pass needs to know
    fn work_pass(
        &mut self,
        work: &Work,
        index: usize,
        sweeps: &Sweeps,
        ruler: &Ruler,
        habits: &Habits,
        mut at: Option<Hole>,
        follow: &mut impl FnMut(Stretch),
    ) -> Option<Hole> {
        let pass = &work.passes[index];
        let entries = [FORWARD, REVERSE]
            .map(|way| pass.pieces.iter().map(move |piece| sweeps.script(piece, way).entry(piece)));
        let mut doors = Doors::new(pass.grid_step, entries, std::mem::take(&mut self.doors));
        let nearby = self.nearby(doors.step(), habits.open_carry, ruler);
        let mut cover = Cover::before(work, pass, &mut self.cover);
        let mut first_unworked = 0;
        for _ in 0..pass.pieces.len() {
            let next = at.and_then(|from| {
                let near = doors.nearest(from, habits.open_carry, ruler, nearby.as_ref());
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
            doors.close(piece);
            let worked = &pass.pieces[piece as usize];
            let script = sweeps.script(worked, way);
            work_piece(script, sweeps, worked, (index as u32, piece), join, follow);
            at = Some(script.exit(worked));
            if let Some(cover) = cover.as_mut().filter(|_| pass.phase == Phase::Ground) {
                cover.add(worked);
            }
        }
        self.nearby = nearby;
        self.doors = doors.into_memory();
        if let Some(mut cover) = cover {
            cover.cells.clear();
            self.cover = cover.cells.into_memory();
        }
        at
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
    /// By column and row.
    cells: HoleSet,
    grid: Grid,
}

/// Where the cells of a layer are.
#[derive(Clone, Copy)]
struct Grid {
    /// The upper left hole of the cell in column 0 and row 0.
    corner: Hole,
    /// Side of a cell, in half threads.
    side: i32,
    /// 2³² over the side, rounded up: a product for a quotient, exact below 2³²/side.
    over_side: u64,
}

impl Grid {
    fn new(corner: Hole, side: i32) -> Self {
        Grid { corner, side, over_side: (1_u64 << 32).div_ceil(side as u64) }
    }

    /// Column and row of the cell at its upper left hole.
    fn cell_at(&self, hole: Hole) -> Hole {
        let cell = |at: i32| ((at.max(0) as u64 * self.over_side) >> 32) as i32;
        Hole::new(cell(hole.x - self.corner.x), cell(hole.y - self.corner.y))
    }

    /// The upper left hole of a cell.
    fn hole_of(&self, cell: Hole) -> Hole {
        self.corner.offset(cell.x * self.side, cell.y * self.side)
    }
}

impl Cover {
    /// What covers the fabric before a pass begins: in its layer nothing, if it works the ground
    /// itself, else all of the needle's ground. `None` where the needle has no ground there.
    fn before(work: &Work, pass: &Pass, memory: &mut Vec<u64>) -> Option<Self> {
        let ground = work.passes.iter().find(|p| p.phase == Phase::Ground && p.layer == pass.layer)?;
        let (first, side) = (ground.pieces.first()?.anchor, ground.cell);
        let grid = Grid::new(Hole::new(first.x % side, first.y % side), side);
        let run = |piece: &Piece| {
            let first = grid.cell_at(piece.anchor);
            (first, first.offset(piece.count as i32 - 1, 0))
        };
        let cells = HoleSet::with_room_for_runs(1, ground.pieces.iter().map(run), std::mem::take(memory));
        let mut cover = Cover { cells, grid };
        if pass.phase != Phase::Ground {
            ground.pieces.iter().for_each(|piece| cover.add(piece));
        }
        Some(cover)
    }

    /// Adds the cells of a piece.
    fn add(&mut self, piece: &Piece) {
        self.cells.insert_run(self.grid.cell_at(piece.anchor), piece.count);
    }

    /// The nearest entry beyond the open carry and within the covered one to which the way is covered.
    fn nearest(&self, from: Hole, doors: &Doors, ruler: &Ruler, habits: &Habits) -> Option<(usize, u32)> {
        // No way of fewer steps is longer than the open carry; a picometre for rounding.
        let side = self.grid.side;
        let least = habits.open_carry.pm() / (ruler.step(side, side).pm() + 1) + 1;
        let reach = self.reach(from).map(|reach| if i64::from(reach) < least { 0 } else { reach });
        let [right, left, down, up] = reach;
        if right.max(left).max(down).max(up) == 0 {
            return None;
        }
        // A way leads as far to a side at the most as it leads ahead.
        let (across, steep) = (right.max(left), down.max(up));
        let most = [right.max(steep), left.max(steep), down.max(across), up.max(across)]
            .map(|most| most.saturating_mul(side));
        let limits = (habits.open_carry, habits.covered_carry);
        doors.nearest_covered(from, limits, most, ruler, |to| {
            let (dx, dy) = (to.x - from.x, to.y - from.y);
            let towards = if dx.abs() >= dy.abs() { [dx, -dx, 0, 0] } else { [0, 0, dy, -dy] };
            let near = towards.into_iter().zip(reach).all(|(far, reach)| far <= reach.saturating_mul(side));
            near && self.covers(from, to)
        })
    }

    /// How many steps of a cell a covered way from a hole may have to the right, to the left, downward
    /// and upward; only a quick way to say no. The middle of its step `i` lies beside the hole's column
    /// or row in the `i`th cell, and no more cells to a side.
    fn reach(&self, from: Hole) -> [i32; 4] {
        let cell = self.grid.cell_at(from);
        if self.grid.hole_of(cell) != from {
            return [i32::MAX; 4];
        }
        // In words of 32 columns, the hole before the 15th of them.
        const SEEN: usize = 15;
        let pairs = self.cells.lay_pairs::<16>(cell, SEEN as i32);
        let mut reach = [0; 4];
        let mut columns = 0;
        for i in 0..SEEN {
            let (lower, upper) = ((pairs[i] >> 32) as u32, pairs[i + 1] as u32);
            let (right, left) = (1 << (SEEN + i), 1 << (SEEN - 1 - i));
            // Cells of these rows count for the ways to the sides from the `i`th column on.
            let middle = ((1_u32 << (2 * i + 2)) - 1) << (SEEN - 1 - i);
            columns |= (lower | upper) & (!middle | right | left);
            let steps = [columns & right, columns & left, lower & middle, upper & middle];
            for (reach, cells) in reach.iter_mut().zip(steps) {
                *reach += i32::from(*reach == i as i32 && cells != 0);
            }
            if reach.iter().all(|&reach| reach <= i as i32) {
                return reach;
            }
        }
        reach.map(|reach| if reach < SEEN as i32 { reach } else { i32::MAX })
    }

    /// Whether every middle of the steps from hole to hole lies in or on the edge of a stitched cell.
    fn covers(&self, from: Hole, to: Hole) -> bool {
        let (first, last) = (self.grid.cell_at(from), self.grid.cell_at(to));
        if self.grid.hole_of(first) == from && self.grid.hole_of(last) == to {
            return self.covers_from_corner(first, (last.x - first.x, last.y - first.y));
        }
        let (cell, corner) = (i64::from(self.grid.side), self.grid.corner);
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
                columns
                    .iter()
                    .flatten()
                    .any(|&column| self.cells.contains(Hole::new(column as i32, row as i32)))
            })
        })
    }

    /// The same between corners of cells, a step of so many cells: each middle lies in the middle of a
    /// column, or of a row where the way is steep.
    fn covers_from_corner(&self, corner: Hole, (dx, dy): (i32, i32)) -> bool {
        let steps = dx.abs().max(dy.abs());
        (0..steps).all(|i| {
            let stitched = |along: i32, across: i32| {
                let cell = if dx.abs() >= dy.abs() {
                    Hole::new(ahead(corner.x, dx, along), ahead(corner.y, dy, across))
                } else {
                    Hole::new(ahead(corner.x, dx, across), ahead(corner.y, dy, along))
                };
                self.cells.contains(cell)
            };
            let across = dx.abs().min(dy.abs()) * (2 * i + 1);
            let (cell, beyond) = (across / (2 * steps), across % (2 * steps));
            // On the line between two cells either will do.
            stitched(i, cell) || beyond == 0 && stitched(i, cell - 1)
        })
    }
}

/// The `i`th cell from a corner on, in a direction.
fn ahead(corner: i32, towards: i32, i: i32) -> i32 {
    if towards > 0 { corner + i } else { corner - 1 - i }
}

/// The cells that a coordinate lies in or on the edge of.
fn cells_at(at: i64, side: i64) -> [Option<i64>; 2] {
    let cell = at.div_euclid(side);
    [Some(cell), (at.rem_euclid(side) == 0).then_some(cell - 1)]
}
