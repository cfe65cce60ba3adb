//! Which legs are worked in one go over a run, in which sense, and in which order a piece is swept.

use crate::design::Parts;
use crate::fabric::{Hole, Ruler};
use crate::stitch::Form;
use crate::units::Length;
use crate::work::{Figure, FigureLeg, Piece, Step, Work};
use std::ops::Range;

/// A leg with the sense in which it is worked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sense {
    /// Index of the leg in its figure.
    pub leg: u32,
    /// From its second end to its first.
    pub reversed: bool,
}

impl Sense {
    /// Where the leg comes up and goes down.
    pub fn ends(self, figure: &Figure) -> (Step, Step) {
        let FigureLeg { from, to, .. } = figure.legs[self.leg as usize];
        if self.reversed { (to, from) } else { (from, to) }
    }
}

/// Legs worked stitch by stitch along a run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sweep {
    /// Index of the figure.
    pub figure: u32,
    /// The legs worked in each stitch, in order.
    pub legs: Vec<Sense>,
    /// Towards the last stitch of the run, or back to the first.
    pub rightward: bool,
}

impl Sweep {
    /// Where the first leg comes up, in the stitch it starts with.
    pub fn entry(&self, figure: &Figure) -> Step {
        self.legs[0].ends(figure).0
    }

    /// Where the last leg goes down, in the stitch it ends with.
    pub fn exit(&self, figure: &Figure) -> Step {
        self.legs[self.legs.len() - 1].ends(figure).1
    }

    /// From one stitch of a run to the next in working order.
    pub fn advance(&self, figure: &Figure) -> i32 {
        if self.rightward { figure.advance } else { -figure.advance }
    }
}

/// The sweeps that work a whole piece, from one of its ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Script {
    /// Indices of the sweeps, in order.
    pub sweeps: Vec<u32>,
    entry: Door,
    exit: Door,
}

/// Where a piece is entered or left: a step from the anchor of its first stitch or of its last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Door {
    step: Step,
    /// The distance from stitch to stitch where the door is at the last one, else 0.
    along: i32,
}

impl Door {
    fn of(&self, piece: &Piece) -> Hole {
        piece.anchor.offset(self.step.0 + self.along * (piece.count as i32 - 1), self.step.1)
    }
}

impl Script {
    fn new(list: &[Sweep], sweeps: Range<u32>, figure: &Figure) -> Self {
        let (first, last) = (&list[sweeps.start as usize], &list[sweeps.end as usize - 1]);
        let along = |at_last| if at_last { figure.advance } else { 0 };
        Script {
            entry: Door { step: first.entry(figure), along: along(!first.rightward) },
            exit: Door { step: last.exit(figure), along: along(last.rightward) },
            sweeps: sweeps.collect(),
        }
    }

    /// Where the thread comes up first in a piece.
    pub fn entry(&self, piece: &Piece) -> Hole {
        self.entry.of(piece)
    }

    /// Where it goes down last.
    pub fn exit(&self, piece: &Piece) -> Hole {
        self.exit.of(piece)
    }
}

/// The ways to work each figure by the method `rows`: forward and in reverse.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sweeps {
    /// All sweeps.
    pub list: Vec<Sweep>,
    /// Forward and reverse script of each figure, in a run.
    runs: Vec<[Script; 2]>,
    /// The same for a stitch that stands alone.
    lone: Vec<[Script; 2]>,
}

impl Sweeps {
    /// Works out the sweeps of every figure.
    pub fn rows(parts: &Parts, work: &Work, ruler: &Ruler) -> Self {
        let mut sweeps = Sweeps { list: Vec::new(), runs: Vec::new(), lone: Vec::new() };
        for (index, figure) in work.figures.iter().enumerate() {
            let entry = &parts.legend[usize::from(figure.entry)];
            // Mirrored stitches are worked in the mirror: forward is to the left.
            let forward = !entry.kind.is_mirrored(parts.top_leg);
            let runs = [forward, !forward].map(|rightward| match entry.kind.form {
                Form::Cell => rows(figure, ruler, rightward),
                Form::DoubleRunning => vec![double_running(figure.legs.len(), !rightward)],
                Form::Backstitch | Form::Knot => vec![backstitch(figure.legs.len(), !rightward)],
            });
            let runs = sweeps.add(index as u32, figure, forward, runs);
            let lone = if figure.turns() {
                let lone = [forward, !forward].map(|rightward| alone(figure, ruler, rightward));
                sweeps.add(index as u32, figure, forward, lone)
            } else {
                runs.clone()
            };
            sweeps.runs.push(runs);
            sweeps.lone.push(lone);
        }
        sweeps
    }

    /// Lists the sweeps of the two ways; they change direction by turns.
    fn add(&mut self, index: u32, figure: &Figure, forward: bool, ways: [Vec<Vec<Sense>>; 2]) -> [Script; 2] {
        let mut start = forward;
        ways.map(|way| {
            let first = self.list.len() as u32;
            let directions = [start, !start].into_iter().cycle();
            start = !start;
            let sweeps = way.into_iter().zip(directions);
            self.list.extend(sweeps.map(|(legs, rightward)| Sweep { figure: index, legs, rightward }));
            Script::new(&self.list, first..self.list.len() as u32, figure)
        })
    }

    /// How a piece is worked, forward (0) or in reverse (1).
    pub fn script(&self, piece: &Piece, way: usize) -> &Script {
        let scripts = if piece.count == 1 { &self.lone } else { &self.runs };
        &scripts[piece.figure as usize][way]
    }
}

/// Under pass out, over pass back; or all legs in one sweep where there is no over pass.
fn rows(figure: &Figure, ruler: &Ruler, rightward: bool) -> Vec<Vec<Sense>> {
    let under = senses(figure, 0..figure.bottom, ruler, rightward);
    if !figure.turns() {
        return vec![under];
    }
    vec![under, senses(figure, figure.bottom..figure.legs.len(), ruler, !rightward)]
}

/// The same for a stitch that stands alone: the over pass begins wherever it is nearest.
fn alone(figure: &Figure, ruler: &Ruler, rightward: bool) -> Vec<Vec<Sense>> {
    let under = senses(figure, 0..figure.bottom, ruler, rightward);
    let end = under.last().map_or((0, 0), |sense| sense.ends(figure).1);
    let cost = |senses: &Vec<Sense>| {
        let start = senses.first().map_or(end, |sense| sense.ends(figure).0);
        Some((links(figure, senses, end, ruler)?, start.1, start.0))
    };
    let over = cheapest(figure.bottom..figure.legs.len(), cost);
    vec![under, over]
}

/// All links of a chain of legs that follows a hole; none if one of them has no length.
fn links(figure: &Figure, senses: &[Sense], from: Step, ruler: &Ruler) -> Option<Length> {
    let mut at = from;
    let mut sum = Length::ZERO;
    for sense in senses {
        let (start, end) = sense.ends(figure);
        if start == at {
            return None;
        }
        sum += ruler.step(start.0 - at.0, start.1 - at.1);
        at = end;
    }
    Some(sum)
}

/// The cheapest combination of senses; ties to the least number of the reversed legs read as bits.
fn cheapest<C: Ord>(legs: Range<usize>, cost: impl Fn(&Vec<Sense>) -> Option<C>) -> Vec<Sense> {
    let choices = (0..1_u32 << legs.len()).map(|reversed| with(legs.clone(), reversed));
    let best = choices.filter_map(|senses| Some((cost(&senses)?, senses)));
    best.min_by(|(a, _), (b, _)| a.cmp(b)).map_or_else(|| with(legs, 0), |(_, senses)| senses)
}

/// Legs with the senses that the bits of a number say.
fn with(legs: Range<usize>, reversed: u32) -> Vec<Sense> {
    let sense = |(bit, leg)| Sense { leg: leg as u32, reversed: reversed >> bit & 1 == 1 };
    legs.enumerate().map(sense).collect()
}

/// The senses with the shortest links along a run. Prescribed backs are worked against the direction.
fn senses(figure: &Figure, legs: Range<usize>, ruler: &Ruler, rightward: bool) -> Vec<Sense> {
    if figure.back.is_some() {
        return with(legs, if rightward { u32::MAX } else { 0 });
    }
    let advance = if rightward { figure.advance } else { -figure.advance };
    cheapest(legs, |senses| {
        // The chain is entered from the stitch before.
        let (x, y) = senses.last()?.ends(figure).1;
        links(figure, senses, (x - advance, y), ruler)
    })
}

/// Each leg from its far end to its near one; in reverse the same from the line's other end.
fn backstitch(legs: usize, reverse: bool) -> Vec<Sense> {
    let sense = |leg| Sense { leg: leg as u32, reversed: !reverse };
    if reverse { (0..legs).rev().map(sense).collect() } else { (0..legs).map(sense).collect() }
}

/// Every other leg on the way out, the others on the way back.
fn double_running(legs: usize, reverse: bool) -> Vec<Sense> {
    let out = (0..legs).step_by(2).map(|leg| (leg, false));
    let back = (0..legs).skip(1).step_by(2).map(|leg| (leg, true)).collect::<Vec<_>>();
    let way = out.chain(back.into_iter().rev());
    let turn = |(leg, reversed): (usize, bool)| {
        if reverse {
            Sense { leg: (legs - 1 - leg) as u32, reversed: !reversed }
        } else {
            Sense { leg: leg as u32, reversed }
        }
    };
    way.map(turn).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn double_running_returns_through_the_gaps() {
        let legs =
            |n, reverse| double_running(n, reverse).iter().map(|s| (s.leg, s.reversed)).collect::<Vec<_>>();
        assert_eq!(legs(4, false), [(0, false), (2, false), (3, true), (1, true)]);
        assert_eq!(legs(3, true), [(2, true), (0, true), (1, false)]);
        assert_eq!(legs(1, false), [(0, false)]);
    }
}
