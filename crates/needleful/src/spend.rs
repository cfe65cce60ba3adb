//! Walks a route, spends thread and cuts needlefuls.
//!
//! A run is spent in closed form, stitch by stitch only where a needleful ends; prices are whole
//! picometres, so both ways give the same to the unit.

use crate::design::Parts;
use crate::error::{Code, Place, Problem};
use crate::fabric::Hole;
use crate::price::{Cost, Tariff};
use crate::route::{Join, Stretch, Sweep, Sweeps};
use crate::stitch::Form;
use crate::units::Length;
use crate::work::{Step, Work};
use std::ops::AddAssign;

/// What thread in the needle went into. Their sum is all thread cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Spent {
    /// On the face, riding over, wraps and beads included.
    pub front: Length,
    /// Behind, within a stitch and to its neighbours.
    pub back: Length,
    /// Through the fabric.
    pub passages: Length,
    /// Behind, to a stitch that is no neighbour.
    pub carries: Length,
    /// To secure starts and finishes.
    pub tails: Length,
    /// Ends too short to use again.
    pub orts: Length,
    /// Leftovers kept for the same needle and never used.
    pub kept: Length,
}

impl Spent {
    /// All of it.
    pub fn total(&self) -> Length {
        self.front + self.back + self.passages + self.carries + self.tails + self.orts + self.kept
    }
}

impl AddAssign for Spent {
    fn add_assign(&mut self, other: Spent) {
        self.front += other.front;
        self.back += other.back;
        self.passages += other.passages;
        self.carries += other.carries;
        self.tails += other.tails;
        self.orts += other.orts;
        self.kept += other.kept;
    }
}

/// What a walk along a route came to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Walked {
    /// Needlefuls cut.
    pub needlefuls: u64,
    /// Starts the route makes after the first, not those that a needleful's end forces.
    pub new_starts: u64,
    /// Links to stitches that are no neighbours.
    pub carries: u64,
    /// Route length: legs, links and new starts, before needlefuls end.
    pub route: Length,
    /// Where the thread went, by slot of the work.
    pub slots: Vec<Spent>,
}

/// A leg with what precedes it inside its sweep.
#[derive(Debug, Clone, Copy)]
struct PricedLeg {
    /// From the leg before in the sweep; for the first leg, from the stitch before.
    link: Cost,
    front: Cost,
}

impl PricedLeg {
    fn total(&self) -> i64 {
        (self.link.total() + self.front.total()).pm()
    }
}

/// A sweep with its prices.
#[derive(Debug)]
struct PricedSweep {
    slot: usize,
    legs: Vec<PricedLeg>,
    /// Sums over one stitch, its link from the stitch before included.
    front: Length,
    back: Length,
    passages: Length,
    total: Length,
    entry: Step,
    exit: Step,
    back_step: Option<Step>,
    boxes: Boxes,
}

/// What counts as the place of a stitch when asking whether two are neighbours.
#[derive(Debug, Clone, Copy)]
enum Boxes {
    /// The cell, of this side, of which the anchor is the upper left hole.
    Cell(i32),
    /// The first and the last leg.
    Legs([(Step, Step); 2]),
}

/// A rectangle of holes.
#[derive(Debug, Clone, Copy)]
struct Area {
    upper_left: Hole,
    lower_right: Hole,
}

impl Area {
    fn round(a: Hole, b: Hole) -> Self {
        Area {
            upper_left: Hole::new(a.x.min(b.x), a.y.min(b.y)),
            lower_right: Hole::new(a.x.max(b.x), a.y.max(b.y)),
        }
    }

    fn touches(&self, other: &Area) -> bool {
        self.upper_left.x <= other.lower_right.x
            && other.upper_left.x <= self.lower_right.x
            && self.upper_left.y <= other.lower_right.y
            && other.upper_left.y <= self.lower_right.y
    }
}

impl PricedSweep {
    fn new(parts: &Parts, work: &Work, sweep: &Sweep, tariff: &Tariff) -> Self {
        let figure = &work.figures[sweep.figure as usize];
        let advance = sweep.advance(figure);
        let mut before = sweep.exit(figure);
        let mut shift = advance;
        let mut legs = Vec::with_capacity(sweep.legs.len());
        for sense in &sweep.legs {
            let (start, end) = sense.ends(figure);
            let link = match figure.back {
                Some(back) => tariff.link(back),
                None => tariff.link((start.0 + shift - before.0, start.1 - before.1)),
            };
            legs.push(PricedLeg {
                link,
                front: tariff.front(parts, figure, &figure.legs[sense.leg as usize]),
            });
            (before, shift) = (end, 0);
        }
        let first_and_last = [sweep.legs[0], sweep.legs[sweep.legs.len() - 1]];
        let in_cell = parts.legend[usize::from(figure.entry)].kind.form == Form::Cell;
        PricedSweep {
            slot: figure.slot,
            front: legs.iter().map(|leg| leg.front.length).sum(),
            back: legs.iter().map(|leg| leg.link.length).sum(),
            passages: legs.iter().map(|leg| leg.front.passage + leg.link.passage).sum(),
            total: legs.iter().map(|leg| Length::from_pm(leg.total())).sum(),
            legs,
            entry: sweep.entry(figure),
            exit: sweep.exit(figure),
            back_step: figure.back,
            boxes: if in_cell {
                Boxes::Cell(figure.advance)
            } else {
                Boxes::Legs(first_and_last.map(|sense| sense.ends(figure)))
            },
        }
    }

    /// The place of the stitch at an anchor: its first leg's, or its last leg's.
    fn area(&self, anchor: Hole, last: bool) -> Area {
        match self.boxes {
            Boxes::Cell(side) => Area::round(anchor, anchor.offset(side, side)),
            Boxes::Legs(legs) => {
                let (from, to) = legs[usize::from(last)];
                Area::round(anchor.offset(from.0, from.1), anchor.offset(to.0, to.1))
            }
        }
    }
}

/// A person walking a route with one needle.
pub struct Walk<'a> {
    parts: &'a Parts,
    work: &'a Work,
    tariff: &'a Tariff,
    sweeps: Vec<PricedSweep>,
    /// Thread left in the needle, if there is any in it.
    left: Option<Length>,
    /// Leftovers kept, the last one on top.
    pile: Vec<Length>,
    /// Hole and place of the last stitch worked.
    at: Option<(Hole, Area)>,
    walked: Walked,
    slot: usize,
    problem: Option<Problem>,
}

impl<'a> Walk<'a> {
    /// At the beginning, with nothing cut.
    pub fn new(parts: &'a Parts, work: &'a Work, sweeps: &Sweeps, tariff: &'a Tariff) -> Self {
        Walk {
            parts,
            work,
            tariff,
            sweeps: sweeps.list.iter().map(|sweep| PricedSweep::new(parts, work, sweep, tariff)).collect(),
            left: None,
            pile: Vec::new(),
            at: None,
            walked: Walked { slots: vec![Spent::default(); work.slots.len()], ..Walked::default() },
            slot: 0,
            problem: None,
        }
    }

    /// Works one stretch. After a problem nothing more is done.
    pub fn follow(&mut self, stretch: Stretch) {
        if self.problem.is_some() {
            return;
        }
        let sweep = &self.sweeps[stretch.sweep as usize];
        let piece = &self.work.passes[stretch.pass as usize].pieces[stretch.piece as usize];
        let step = self.work.figures[piece.figure as usize].advance;
        let first = piece.anchor.offset(step * stretch.first as i32, 0);
        let last = piece.anchor.offset(step * stretch.last as i32, 0);
        let stitches = i64::from(stretch.first.abs_diff(stretch.last)) + 1;
        let (entry, exit) =
            (first.offset(sweep.entry.0, sweep.entry.1), last.offset(sweep.exit.0, sweep.exit.1));

        // As if the thread never ended; what an end changes is corrected there.
        self.slot = sweep.slot;
        let spent = &mut self.walked.slots[sweep.slot];
        let opening = sweep.legs[0];
        spent.front += sweep.front * stitches;
        spent.back += sweep.back * stitches - opening.link.length;
        spent.passages += sweep.passages * stitches - opening.link.passage;
        self.walked.route += sweep.total * stitches - opening.link.total();
        let link = match self.at {
            Some((hole, area)) if stretch.join == Join::Link => {
                let link = self.tariff.link_into(hole, entry, sweep.back_step);
                let carried = !area.touches(&sweep.area(first, false));
                if carried {
                    spent.carries += link.length;
                    self.walked.carries += 1;
                } else {
                    spent.back += link.length;
                }
                spent.passages += link.passage;
                self.walked.route += link.total();
                Some((link, carried))
            }
            Some(_) => {
                self.walked.new_starts += 1;
                self.walked.route += self.tariff.new_start();
                None
            }
            None => None,
        };
        self.at = Some((exit, sweep.area(last, true)));
        self.pull(stretch.sweep as usize, link, stitches);
    }

    /// Draws the thread of a stretch out of the needle, cutting needlefuls as they end.
    fn pull(&mut self, index: usize, join: Option<(Cost, bool)>, stitches: i64) {
        let end = self.tariff.habits().unstitchable_end;
        let sweep = &self.sweeps[index];
        let per_stitch = sweep.total.pm();
        let legs = sweep.legs.len() as i64;
        let opening = sweep.legs[0].front.total();

        let need = join.map(|(link, _)| link.total() + opening);
        let mut done = 1; // legs
        match (need, self.left) {
            (Some(need), Some(left)) if left - need >= end => {
                // The usual case: the whole stretch comes out of the needle.
                let rest = per_stitch * stitches - sweep.legs[0].total();
                let after = left - need - Length::from_pm(rest);
                if after >= end {
                    self.left = Some(after);
                    return;
                }
                self.left = Some(left - need);
            }
            _ => {
                if let Some((link, carried)) = join {
                    self.unlink(link, carried);
                }
                self.restart(index, 0);
            }
        }
        while done < legs * stitches && self.problem.is_none() {
            let left = self.left.unwrap_or(Length::ZERO);
            let leg = (done % legs) as usize;
            if leg == 0 {
                let whole = ((left - end).pm() / per_stitch).min(stitches - done / legs);
                if whole > 0 {
                    self.left = Some(left - Length::from_pm(per_stitch * whole));
                    done += whole * legs;
                    continue;
                }
            }
            let priced = self.sweeps[index].legs[leg];
            let after = left - Length::from_pm(priced.total());
            if after >= end {
                self.left = Some(after);
            } else {
                self.unlink(priced.link, false);
                self.restart(index, leg);
            }
            done += 1;
        }
    }

    /// A link booked already that is not made after all.
    fn unlink(&mut self, link: Cost, carried: bool) {
        let spent = &mut self.walked.slots[self.slot];
        spent.passages -= link.passage;
        if carried {
            spent.carries -= link.length;
            self.walked.carries -= 1;
        } else {
            spent.back -= link.length;
        }
    }

    /// Finishes, if there is thread in the needle, and starts again with a leg.
    fn restart(&mut self, index: usize, leg: usize) {
        self.finish();
        let habits = *self.tariff.habits();
        let need = self.sweeps[index].legs[leg].front.total() + self.tariff.long_passage();
        let fits = |thread: Length, tail: Length| thread - tail - need >= habits.unstitchable_end;
        let (thread, tail) = match self.pile.last() {
            Some(&kept) if fits(kept, habits.start_tail) => {
                self.pile.pop();
                (kept, habits.start_tail)
            }
            _ => {
                self.walked.needlefuls += 1;
                (habits.needleful, self.tariff.first_tail())
            }
        };
        if !fits(thread, tail) {
            self.problem = Some(self.too_long(index, need));
            return;
        }
        if i128::from(habits.needleful.pm()) * i128::from(self.walked.needlefuls) > i128::from(i64::MAX / 2) {
            self.problem = Some(too_much());
            return;
        }
        let spent = &mut self.walked.slots[self.slot];
        spent.tails += tail;
        spent.passages += self.tariff.long_passage();
        self.left = Some(thread - tail - need);
    }

    /// Secures the thread and puts what is left aside.
    fn finish(&mut self) {
        let Some(left) = self.left.take() else { return };
        let habits = self.tariff.habits();
        let spent = &mut self.walked.slots[self.slot];
        spent.tails += habits.finish_tail;
        let rest = left - habits.finish_tail;
        if rest >= habits.keep_leftover {
            self.pile.push(rest);
        } else {
            spent.orts += rest;
        }
    }

    /// Finishes for good and hands out the account.
    ///
    /// # Errors
    /// [`Code::StitchTooLong`] when a leg did not fit a needleful, [`Code::SumTooLarge`].
    pub fn end(mut self) -> Result<Walked, Problem> {
        if let Some(problem) = self.problem {
            return Err(problem);
        }
        self.finish();
        if let Some(spent) = self.walked.slots.get_mut(self.slot) {
            spent.kept += self.pile.iter().copied().sum();
        }
        Ok(self.walked)
    }

    fn too_long(&self, index: usize, need: Length) -> Problem {
        let slot = &self.work.slots[self.sweeps[index].slot];
        let habits = self.tariff.habits();
        let layer = &self.parts.layers[slot.layer].name;
        Problem::new(
            Code::StitchTooLong,
            Place::Part(format!("layer '{layer}', {}", slot.kind.print)),
            format!(
                "a leg takes {:.1} mm, with its tails more than the needleful of {} mm leaves for stitching",
                need.mm(),
                habits.needleful.mm()
            ),
            "split the stitch, or cut longer needlefuls",
        )
    }
}

fn too_much() -> Problem {
    let mend = "work a smaller design, or shorter needlefuls";
    Problem::new(Code::SumTooLarge, Place::Design, "it takes more than 4,600 km of one needle's thread", mend)
}
