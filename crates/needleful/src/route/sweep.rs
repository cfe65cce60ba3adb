//! Which legs are worked in one go over a run, in which sense, and in which order a piece is swept.

use crate::design::Parts;
use crate::fabric::Ruler;
use crate::units::Length;
use crate::work::{Figure, FigureLeg, Step, Work, is_double_running};

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
}

/// The ways to work each figure by the method `rows`: forward and in reverse.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sweeps {
    /// All sweeps.
    pub list: Vec<Sweep>,
    /// Forward and reverse script of each figure.
    pub scripts: Vec<[Script; 2]>,
}

impl Sweeps {
    /// Works out the sweeps of every figure.
    pub fn rows(parts: &Parts, work: &Work, ruler: &Ruler) -> Self {
        let mut sweeps = Sweeps { list: Vec::new(), scripts: Vec::with_capacity(work.figures.len()) };
        for (index, figure) in work.figures.iter().enumerate() {
            let line = figure.advance == 0;
            let scripts = [false, true].map(|reverse| {
                let legs = if !line {
                    rows(figure, ruler, reverse)
                } else if is_double_running(parts, figure) {
                    vec![double_running(figure.legs.len(), reverse)]
                } else {
                    vec![backstitch(figure.legs.len(), reverse)]
                };
                let mut rightward = !reverse;
                let add = |legs| {
                    sweeps.list.push(Sweep { figure: index as u32, legs, rightward });
                    rightward = !rightward;
                    sweeps.list.len() as u32 - 1
                };
                Script { sweeps: legs.into_iter().map(add).collect() }
            });
            sweeps.scripts.push(scripts);
        }
        sweeps
    }
}

/// Under pass out, over pass back; or all legs in one sweep where there is no over pass.
fn rows(figure: &Figure, ruler: &Ruler, reverse: bool) -> Vec<Vec<Sense>> {
    let all = figure.legs.len();
    let under = senses(figure, 0..figure.bottom, ruler, !reverse);
    if figure.bottom == all {
        vec![under]
    } else {
        vec![under, senses(figure, figure.bottom..all, ruler, reverse)]
    }
}

/// The senses with the shortest links along the run, none of them of length zero; ties to the least
/// number of the reversed legs read as bits. Prescribed backs are worked against the direction.
fn senses(figure: &Figure, legs: std::ops::Range<usize>, ruler: &Ruler, rightward: bool) -> Vec<Sense> {
    let with = |reversed: u32| -> Vec<Sense> {
        let sense = |(bit, leg)| Sense { leg: leg as u32, reversed: reversed >> bit & 1 == 1 };
        legs.clone().enumerate().map(sense).collect()
    };
    if figure.back.is_some() {
        return with(if rightward { u32::MAX } else { 0 });
    }
    let advance = if rightward { figure.advance } else { -figure.advance };
    let cost = |senses: &Vec<Sense>| -> Option<Length> {
        let mut sum = Length::ZERO;
        for (i, sense) in senses.iter().enumerate() {
            let end = sense.ends(figure).1;
            let (next, shift) = if i + 1 < senses.len() { (i + 1, 0) } else { (0, advance) };
            let start = senses[next].ends(figure).0;
            let link = (start.0 + shift - end.0, start.1 - end.1);
            if link == (0, 0) {
                return None;
            }
            sum += ruler.step(link.0, link.1);
        }
        Some(sum)
    };
    let choices = (0..1_u32 << legs.len()).map(with);
    let best = choices.filter_map(|senses| Some((cost(&senses)?, senses))).min_by_key(|(cost, _)| *cost);
    best.map_or_else(|| with(0), |(_, senses)| senses)
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
        let legs = |n, reverse| {
            double_running(n, reverse).iter().map(|s| (s.leg, s.reversed)).collect::<Vec<_>>()
        };
        assert_eq!(legs(4, false), [(0, false), (2, false), (3, true), (1, true)]);
        assert_eq!(legs(3, true), [(2, true), (0, true), (1, false)]);
        assert_eq!(legs(1, false), [(0, false)]);
    }
}
