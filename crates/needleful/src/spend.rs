//! Walks a route, spends thread and cuts needlefuls.
//!
//! A run is spent in closed form, stitch by stitch only where a needleful ends; prices are whole
//! picometres, so both ways give the same to the unit.

use crate::design::Parts;
use crate::error::{Code, Place, Problem};
use crate::fabric::Hole;
use crate::price::{Cost, Tariff};
use crate::route::{Join, Sense, Stretch, Sweep, Sweeps};
use crate::stitch::Form;
use crate::units::Length;
use crate::work::{Step, Work};
use std::ops::{AddAssign, Mul};

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

impl Mul<i64> for Spent {
    type Output = Spent;
    fn mul(self, times: i64) -> Spent {
        Spent {
            front: self.front * times,
            back: self.back * times,
            passages: self.passages * times,
            carries: self.carries * times,
            tails: self.tails * times,
            orts: self.orts * times,
            kept: self.kept * times,
        }
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
    /// From stitch to stitch of a run.
    advance: i32,
    /// The places of the first and of the last stitch, as seen from their anchors.
    places: [Area; 2],
    /// The first leg of a stretch without its link, less a stitch's total: what a stretch of n stitches
    /// takes is this, n totals, and its link.
    opening: Length,
    /// How many stitches were worked, in how many stretches.
    stitches: i64,
    stretches: i64,
    /// Links into it: to neighbours, and carries.
    links: [Length; 2],
    link_passages: Length,
    /// The last link into it; the turn between two passes of a run is always the same.
    last_link: (Step, Cost),
}

/// A rectangle of holes: the place of a stitch, when asking whether two are neighbours.
#[derive(Debug, Clone, Copy)]
struct Area {
    upper_left: Hole,
    lower_right: Hole,
}

impl Area {
    fn round(a: Step, b: Step) -> Self {
        Area {
            upper_left: Hole::new(a.0.min(b.0), a.1.min(b.1)),
            lower_right: Hole::new(a.0.max(b.0), a.1.max(b.1)),
        }
    }

    fn at(&self, anchor: Hole) -> Self {
        Area {
            upper_left: anchor.offset(self.upper_left.x, self.upper_left.y),
            lower_right: anchor.offset(self.lower_right.x, self.lower_right.y),
        }
    }

    fn touches(&self, other: &Area) -> bool {
        // By `&`: four cheap questions are quicker than four guesses.
        (self.upper_left.x <= other.lower_right.x)
            & (other.upper_left.x <= self.lower_right.x)
            & (self.upper_left.y <= other.lower_right.y)
            & (other.upper_left.y <= self.lower_right.y)
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
        let cell = Area::round((0, 0), (figure.advance, figure.advance));
        let in_cell = parts.legend[usize::from(figure.entry)].kind.form == Form::Cell;
        let place = |sense: Sense| {
            let (from, to) = sense.ends(figure);
            if in_cell { cell } else { Area::round(from, to) }
        };
        PricedSweep {
            slot: figure.slot,
            front: legs.iter().map(|leg| leg.front.length).sum(),
            back: legs.iter().map(|leg| leg.link.length).sum(),
            passages: legs.iter().map(|leg| leg.front.passage + leg.link.passage).sum(),
            total: legs.iter().map(|leg| Length::from_pm(leg.total())).sum(),
            entry: sweep.entry(figure),
            exit: sweep.exit(figure),
            back_step: figure.back,
            advance: figure.advance,
            places: first_and_last.map(place),
            opening: Length::ZERO - legs[0].link.total(),
            stitches: 0,
            stretches: 0,
            links: [Length::ZERO; 2],
            link_passages: Length::ZERO,
            last_link: ((0, 0), tariff.link_into((0, 0), figure.back)),
            legs,
        }
    }

    /// A link into it from a hole.
    fn link_from(&mut self, from: Hole, to: Hole, tariff: &Tariff) -> Cost {
        let step = (to.x - from.x, to.y - from.y);
        if step != self.last_link.0 {
            self.last_link = (step, tariff.link_into(step, self.back_step));
        }
        self.last_link.1
    }
}

/// With this in the needle nothing can be worked.
const NO_THREAD: Length = Length::from_pm(i64::MIN / 4);

/// A person walking a route with one needle.
pub struct Walk<'a> {
    parts: &'a Parts,
    work: &'a Work,
    tariff: &'a Tariff,
    sweeps: Vec<PricedSweep>,
    /// Thread left in the needle; less than nothing when none is in it.
    left: Length,
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
            left: NO_THREAD,
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
        let sweep = &mut self.sweeps[stretch.sweep as usize];
        let piece = &self.work.passes[stretch.pass as usize].pieces[stretch.piece as usize];
        let first = piece.anchor.offset(sweep.advance * stretch.first as i32, 0);
        let last = piece.anchor.offset(sweep.advance * stretch.last as i32, 0);
        let stitches = i64::from(stretch.first.abs_diff(stretch.last)) + 1;
        self.slot = sweep.slot;
        sweep.stitches += stitches;
        sweep.stretches += 1;

        let before = self.at.replace((last.offset(sweep.exit.0, sweep.exit.1), sweep.places[1].at(last)));
        let Some((hole, area)) = before.filter(|_| stretch.join == Join::Link) else {
            if before.is_some() {
                self.walked.new_starts += 1;
                self.walked.route += self.tariff.new_start();
            }
            self.restart(stretch.sweep as usize, 0);
            self.pull(stretch.sweep as usize, stitches);
            return;
        };
        // As if the thread never ended; what an end changes is corrected there.
        let link = sweep.link_from(hole, first.offset(sweep.entry.0, sweep.entry.1), self.tariff);
        let carried = !area.touches(&sweep.places[0].at(first));
        sweep.links[usize::from(carried)] += link.length;
        sweep.link_passages += link.passage;
        self.walked.carries += u64::from(carried);
        let after = self.left - link.total() - sweep.opening - sweep.total * stitches;
        if after >= self.tariff.habits().unstitchable_end {
            // The usual case: the whole stretch comes out of the needle.
            self.left = after;
            return;
        }
        self.first_leg(stretch.sweep as usize, link, carried);
        self.pull(stretch.sweep as usize, stitches);
    }

    /// Works the first leg of a stretch, if there is thread for it, else with a new start.
    fn first_leg(&mut self, index: usize, link: Cost, carried: bool) {
        let after = self.left - link.total() - self.sweeps[index].legs[0].front.total();
        if after >= self.tariff.habits().unstitchable_end {
            self.left = after;
        } else {
            self.unlink(link, carried);
            self.restart(index, 0);
        }
    }

    /// Draws the thread for all legs of a stretch but the first out of the needle, cutting needlefuls as
    /// they end.
    fn pull(&mut self, index: usize, stitches: i64) {
        let end = self.tariff.habits().unstitchable_end;
        let sweep = &self.sweeps[index];
        let (per_stitch, legs) = (sweep.total.pm(), sweep.legs.len() as i64);
        let mut done = 1; // legs
        while done < legs * stitches && self.problem.is_none() {
            let leg = (done % legs) as usize;
            if leg == 0 {
                let whole = ((self.left - end).pm() / per_stitch).min(stitches - done / legs);
                if whole > 0 {
                    self.left -= Length::from_pm(per_stitch * whole);
                    done += whole * legs;
                    continue;
                }
            }
            let priced = self.sweeps[index].legs[leg];
            let after = self.left - Length::from_pm(priced.total());
            if after >= end {
                self.left = after;
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
        self.left = thread - tail - need;
    }

    /// Secures the thread and puts what is left aside.
    fn finish(&mut self) {
        let left = std::mem::replace(&mut self.left, NO_THREAD);
        if left == NO_THREAD {
            return;
        }
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
        self.book_sweeps();
        if let Some(spent) = self.walked.slots.get_mut(self.slot) {
            spent.kept += self.pile.iter().copied().sum();
        }
        Ok(self.walked)
    }

    /// Books all legs and the links between them, as if the thread never ended.
    fn book_sweeps(&mut self) {
        for sweep in &self.sweeps {
            let (spent, opening) = (&mut self.walked.slots[sweep.slot], sweep.legs[0]);
            let [back, carries] = sweep.links;
            spent.front += sweep.front * sweep.stitches;
            spent.back += back + sweep.back * sweep.stitches - opening.link.length * sweep.stretches;
            spent.carries += carries;
            spent.passages += sweep.link_passages + sweep.passages * sweep.stitches
                - opening.link.passage * sweep.stretches;
            self.walked.route += back + carries + sweep.link_passages + sweep.total * sweep.stitches
                - opening.link.total() * sweep.stretches;
        }
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
