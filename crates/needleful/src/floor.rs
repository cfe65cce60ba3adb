//! The least a route can possibly take: no order of the legs can do with less.
//!
//! # Sources
//! Derived: every link behind the fabric, or new start, joins two leg ends and costs at least half of
//! each end's cheapest escape; an open route leaves two ends unused.

use crate::chart::greatest_divisor;
use crate::design::Parts;
use crate::fabric::Hole;
use crate::holes::HoleSet;
use crate::price::Tariff;
use crate::units::Length;
use crate::work::{Figure, FigureLeg, Piece, Work};

/// A lower bound on the route length of a needle's work, tails of the first start and the last finish
/// left out.
///
/// # Units
/// Thread in the needle.
pub fn floor(parts: &Parts, work: &Work, tariff: &Tariff) -> Length {
    let front = front_sum(parts, work, tariff);
    let escapes = escapes(work, tariff);
    let behind = (escapes.sum - escapes.largest[0] - escapes.largest[1]).half();
    front + behind.max(prescribed(work, tariff))
}

/// All fronts with their passages.
fn front_sum(parts: &Parts, work: &Work, tariff: &Tariff) -> Length {
    let figure_sum = |figure: &Figure| {
        figure.legs.iter().map(|leg| tariff.front(parts, figure, leg).total()).sum::<Length>()
    };
    let sums: Vec<Length> = work.figures.iter().map(figure_sum).collect();
    let pieces = work.passes.iter().flat_map(|pass| &pass.pieces);
    pieces.map(|piece| sums[piece.figure as usize] * i64::from(piece.count)).sum()
}

/// The backs that stitches prescribe: each such leg is entered at that price or by a new start; the
/// first leg of all has no back.
fn prescribed(work: &Work, tariff: &Tariff) -> Length {
    let (mut sum, mut largest) = (Length::ZERO, Length::ZERO);
    for piece in work.passes.iter().flat_map(|pass| &pass.pieces) {
        let figure = work.figure(piece);
        if let Some(back) = figure.back {
            let price = tariff.link(back).total().min(tariff.new_start());
            sum += price * (i64::from(piece.count) * figure.legs.len() as i64);
            largest = largest.max(price);
        }
    }
    sum - largest
}

/// The cheapest ways on from the ends of all legs.
#[derive(Default)]
struct Escapes {
    sum: Length,
    /// The two dearest.
    largest: [Length; 2],
}

impl Escapes {
    fn add(&mut self, price: Length) {
        self.sum += price;
        if price > self.largest[1] {
            self.largest = [self.largest[0].max(price), self.largest[0].min(price).max(self.largest[1])];
        }
    }
}

fn escapes(work: &Work, tariff: &Tariff) -> Escapes {
    let step = common_step(work);
    let mut ends = HoleSet::with_room_for(step, leg_ends(work), Vec::new());
    let mut shared = HoleSet::with_room_for(step, leg_ends(work), Vec::new());
    legs(work).for_each(|(from, to)| {
        // A knot's two ends are one hole, but of one leg.
        for hole in [Some(from), (to != from).then_some(to)].into_iter().flatten() {
            let spot = ends.spot(hole);
            if ends.has(spot) {
                shared.insert(spot);
            }
            ends.insert(spot);
        }
    });
    let new_start = tariff.new_start();
    let (across, down) = (tariff.link((step, 0)).total(), tariff.link((0, step)).total());
    // Nothing is nearer than the next hole of the grid, in the direction of the smaller pitch.
    let least = across.min(down).min(new_start);
    let next = if across <= down { (step, 0) } else { (0, step) };
    let mut escapes = Escapes::default();
    legs(work).for_each(|(from, to)| {
        for (end, other) in [(from, to), (to, from)] {
            let taken = |hole: Hole| ends.contains(hole) && (hole != other || shared.contains(hole));
            if taken(end.offset(next.0, next.1)) || taken(end.offset(-next.0, -next.1)) {
                escapes.add(least);
                continue;
            }
            // The leg's own other end counts only where another leg ends too.
            let hide = other != end && !shared.contains(other);
            if hide {
                ends.remove(ends.spot(other));
            }
            let nearest = ends.nearest(end, new_start, &tariff.ruler);
            let link = nearest.map(|(_, hole)| tariff.link((hole.x - end.x, hole.y - end.y)).total());
            escapes.add(link.map_or(new_start, |link| link.min(new_start)));
            if hide {
                ends.insert(ends.spot(other));
            }
        }
    });
    escapes
}

/// The largest step of which all distances between leg ends are multiples.
fn common_step(work: &Work) -> i32 {
    let first = work.passes.first().and_then(|pass| pass.pieces.first()).map(|piece| piece.anchor);
    let Some(first) = first else { return 1 };
    let of_pass = work.passes.iter().filter_map(|pass| {
        let anchor = pass.pieces.first()?.anchor;
        Some([pass.grid_step, anchor.x - first.x, anchor.y - first.y])
    });
    of_pass.flatten().fold(0, greatest_divisor)
}

fn legs_of<'a>(figure: &'a Figure, piece: &'a Piece) -> impl Iterator<Item = (Hole, Hole)> + Clone + 'a {
    (0..piece.count as i32).flat_map(move |i| {
        let anchor = piece.anchor.offset(i * figure.advance, 0);
        let ends =
            move |leg: &FigureLeg| (anchor.offset(leg.from.0, leg.from.1), anchor.offset(leg.to.0, leg.to.1));
        figure.legs.iter().map(ends)
    })
}

fn legs(work: &Work) -> impl Iterator<Item = (Hole, Hole)> + Clone + '_ {
    let pieces = work.passes.iter().flat_map(|pass| &pass.pieces);
    pieces.flat_map(|piece| legs_of(work.figure(piece), piece))
}

fn leg_ends(work: &Work) -> impl Iterator<Item = Hole> + Clone + '_ {
    legs(work).flat_map(|(from, to)| [from, to])
}
