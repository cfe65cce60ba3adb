//! Judges a route by rules of its own; shares no code with the planners or the walk.

use needleful::Length;
use needleful::fabric::Hole;
use needleful::habits::Habits;
use needleful::price::Tariff;
use needleful::route::{Join, Stretch, Sweeps};
use needleful::work::Work;
use std::collections::{HashMap, HashSet};

/// The slow floor is quadratic: needles with more legs than this keep only floor ≤ habit.
const FLOOR_RECKONED_TO: u64 = 30_000;

/// What the referee measured, in millimetres, on a fabric of so many threads per inch each way.
#[derive(Debug)]
pub struct Ruling {
    /// Fronts and links, straight, without new starts.
    pub planar_mm: f64,
    /// Starts after the first.
    pub new_starts: u64,
}

/// Checks a route: each leg once, bottom legs first, no back step of length zero, prescribed limits
/// kept. Panics with what is wrong.
pub fn judge(work: &Work, sweeps: &Sweeps, route: &[Stretch], counts: (f64, f64), habits: &Habits) -> Ruling {
    let mm = |a: Hole, b: Hole| {
        let x = f64::from(b.x - a.x) * 12.7 / counts.0;
        let y = f64::from(b.y - a.y) * 12.7 / counts.1;
        (x * x + y * y).sqrt()
    };
    let mut done = HashSet::new();
    let mut at: Option<Hole> = None;
    let mut ruling = Ruling { planar_mm: 0.0, new_starts: 0 };
    for stretch in route {
        let pass = &work.passes[stretch.pass as usize];
        let piece = pass.pieces[stretch.piece as usize];
        let figure = &work.figures[piece.figure as usize];
        let sweep = &sweeps.list[stretch.sweep as usize];
        assert_eq!(sweep.figure, piece.figure, "a sweep of another figure");
        let mut stitches: Vec<u32> =
            (stretch.first.min(stretch.last)..=stretch.first.max(stretch.last)).collect();
        if stretch.last < stretch.first {
            stitches.reverse();
        }
        let mut opens = true;
        for stitch in stitches {
            for sense in &sweep.legs {
                let leg = figure.legs[sense.leg as usize];
                let shift = figure.advance * stitch as i32;
                let place =
                    |(x, y): (i32, i32)| Hole { x: piece.anchor.x + shift + x, y: piece.anchor.y + y };
                let (mut up, mut down) = (place(leg.from), place(leg.to));
                if sense.reversed {
                    std::mem::swap(&mut up, &mut down);
                }
                let key = (stretch.pass, stretch.piece, stitch);
                if figure.advance > 0 {
                    for below in 0..sense.leg {
                        assert!(done.contains(&(key, below)), "{key:?}: leg {} before {below}", sense.leg);
                    }
                }
                assert!(done.insert((key, sense.leg)), "{key:?}: leg {} twice", sense.leg);
                match at {
                    Some(from) if !(opens && stretch.join == Join::NewStart) => {
                        let link = mm(from, up);
                        assert!(link > 0.0, "{key:?}: a back step of length zero");
                        if opens && stretch.first == stitch {
                            assert!(
                                link <= habits.covered_carry.mm() + 1e-6,
                                "{key:?}: a carry of {link} mm"
                            );
                        }
                        let least = figure.back.map_or(0.0, |(x, y)| mm(Hole { x: 0, y: 0 }, Hole { x, y }));
                        ruling.planar_mm += if opens || least == 0.0 { link.max(least) } else { least };
                    }
                    Some(_) => ruling.new_starts += 1,
                    None => {}
                }
                opens = false;
                ruling.planar_mm += mm(up, down);
                at = Some(down);
            }
        }
    }
    let legs = |(p, pass): (usize, &needleful::work::Pass)| {
        let of_piece = |(i, piece): (usize, &needleful::work::Piece)| {
            let legs = work.figures[piece.figure as usize].legs.len() as u32;
            (0..piece.count).flat_map(move |s| (0..legs).map(move |l| ((p as u32, i as u32, s), l)))
        };
        pass.pieces.iter().enumerate().flat_map(of_piece).collect::<Vec<_>>()
    };
    let all: Vec<_> = work.passes.iter().enumerate().flat_map(legs).collect();
    assert_eq!(all.len(), done.len(), "legs left out");
    assert!(all.iter().all(|leg| done.contains(leg)), "legs left out");
    ruling
}

/// Works a design by habit and judges every needle's route; the referee's own measure must agree with
/// the walk's on planar fabric.
pub fn judge_habit(design: &needleful::Design) {
    let works = needleful::work::gather(design);
    let estimate = needleful::estimate(design).unwrap();
    let counts = (design.fabric.across.inch(), design.fabric.down.inch());
    for (shade, used) in design.shades.iter().zip(&estimate.shades) {
        assert_eq!(used.spent.total(), used.strand, "shade '{}' does not add up", shade.code);
    }
    for ((needle, work), used) in design.needles.iter().zip(&works).zip(&estimate.needles) {
        let habits = design.needle_habits(needle);
        let ruler = design.fabric.ruler();
        let sweeps = Sweeps::rows(design, work, &ruler);
        let mut route = Vec::new();
        needleful::route::Planner::default()
            .by_habit(work, &sweeps, &ruler, &habits, |stretch| route.push(stretch));
        let ruling = judge(work, &sweeps, &route, counts, &habits);
        assert_eq!(ruling.new_starts, used.new_starts);
        let spent = used.spent();
        assert_eq!(spent.total(), used.cut(), "needle '{}' does not add up", needle.name);
        let tariff = Tariff::new(design, needle, habits.needleful);
        if used.legs <= FLOOR_RECKONED_TO {
            assert_eq!(used.floor, floor(design, work, &tariff), "the floor of needle '{}'", needle.name);
        }
        assert!(used.floor <= used.habit, "needle '{}' below its floor", needle.name);
        if design.fabric.planar && used.needlefuls > 0 {
            let starts = tariff.new_start().mm() * ruling.new_starts as f64;
            let extra = wraps_and_beads_mm(design, work, &tariff);
            let difference = used.habit.mm() - (ruling.planar_mm + starts + extra);
            assert!(difference.abs() < 1e-9 * (used.legs as f64 + 1.0), "{difference} mm apart");
        }
    }
}

/// What knots and beads add to their legs.
fn wraps_and_beads_mm(design: &needleful::Design, work: &Work, tariff: &Tariff) -> f64 {
    let pieces = work.passes.iter().flat_map(|pass| &pass.pieces);
    let of = |piece: &needleful::work::Piece| {
        let figure = &work.figures[piece.figure as usize];
        let entry = &design.legend[usize::from(figure.entry)];
        let bead = entry.bead.map_or(0.0, |bead| design.beads[bead].size.mm());
        let b = tariff.thread_mm();
        let needle = tariff.habits().knot_needle.mm();
        let wrap = std::f64::consts::PI * if entry.tight { 2.0 * b } else { needle + b };
        let knot = entry.kind.form == needleful::stitch::Form::Knot;
        f64::from(piece.count) * (bead * figure.legs.len() as f64)
            + if knot { f64::from(entry.wraps) * wrap } else { 0.0 }
    };
    pieces.map(of).sum()
}

/// The generic floor reckoned anew: every end of a leg against every hole that another leg ends at.
fn floor(design: &needleful::Design, work: &Work, tariff: &Tariff) -> Length {
    let mut front = Length::ZERO;
    let mut backs: Vec<Length> = Vec::new();
    let mut legs: Vec<[Hole; 2]> = Vec::new();
    for piece in work.passes.iter().flat_map(|pass| &pass.pieces) {
        let figure = &work.figures[piece.figure as usize];
        for stitch in 0..piece.count as i32 {
            for leg in &figure.legs {
                let place = |(x, y): (i32, i32)| Hole {
                    x: piece.anchor.x + figure.advance * stitch + x,
                    y: piece.anchor.y + y,
                };
                legs.push([place(leg.from), place(leg.to)]);
                front += tariff.front(design, figure, leg).total();
                backs.extend(figure.back.map(|back| tariff.link(back).total().min(tariff.new_start())));
            }
        }
    }
    // How many legs end at each hole.
    let mut ends: HashMap<Hole, u32> = HashMap::new();
    for [from, to] in &legs {
        *ends.entry(*from).or_default() += 1;
        *ends.entry(*to).or_default() += u32::from(from != to);
    }
    let mut escapes: Vec<Length> = Vec::new();
    for leg in &legs {
        for (end, other) in [(leg[0], leg[1]), (leg[1], leg[0])] {
            let others = ends.iter().filter(|&(&hole, &count)| hole != end && (hole != other || count > 1));
            // The link grows with the distance, so the nearest is the cheapest.
            let square = |hole: &Hole| {
                let (x, y) = (i64::from(hole.x - end.x), i64::from(hole.y - end.y));
                (x * x, y * y)
            };
            let equal = design.fabric.across == design.fabric.down;
            let nearest = others.map(|(hole, _)| hole).min_by(|a, b| {
                let ((ax, ay), (bx, by)) = (square(a), square(b));
                if equal {
                    (ax + ay).cmp(&(bx + by))
                } else {
                    tariff.ruler.between(end, **a).cmp(&tariff.ruler.between(end, **b))
                }
            });
            let link = nearest.map(|hole| tariff.link((hole.x - end.x, hole.y - end.y)).total());
            escapes.push(link.map_or(tariff.new_start(), |link| link.min(tariff.new_start())));
        }
    }
    let without_largest = |mut prices: Vec<Length>, count: usize| {
        prices.sort();
        let kept = prices.len().saturating_sub(count);
        prices[..kept].iter().copied().sum::<Length>()
    };
    front + without_largest(escapes, 2).half().max(without_largest(backs, 1))
}
