//! What every needle and every shade takes.

use crate::design::{Design, Parts};
use crate::error::{Code, Place, Problem, Problems};
use crate::floor::floor;
use crate::needle::Threading;
use crate::price::Tariff;
use crate::route::{Planner, Sweeps};
use crate::spend::{Spent, Walk};
use crate::stitch::Kind;
use crate::units::{Length, Share};
use crate::work::{self, Work};

/// A row of a needle's account: a stitch kind in a layer.
#[derive(Debug, Clone, PartialEq)]
pub struct NeedleRow {
    /// Index of the layer.
    pub layer: usize,
    /// The kind.
    pub kind: &'static Kind,
    /// Stitches: cells, legs of lines, knots.
    pub stitches: u64,
    /// Where the thread in the needle went.
    pub spent: Spent,
}

/// What one needle takes. Lengths are of thread in the needle.
#[derive(Debug, Clone, PartialEq)]
pub struct NeedleUse {
    /// Stitches of all kinds.
    pub stitches: u64,
    /// Legs of all kinds.
    pub legs: u64,
    /// Length of a needleful.
    pub needleful: Length,
    /// Whether new needlefuls are started with a loop, cut double with half the strands.
    pub loop_start: bool,
    /// Needlefuls cut.
    pub needlefuls: u64,
    /// Starts after the first that the route makes.
    pub new_starts: u64,
    /// Carries.
    pub carries: u64,
    /// The least possible route length.
    pub floor: Length,
    /// Route length as you stitch, comparable with the floor: before needlefuls end.
    pub habit: Length,
    /// Unpicking and waste that will be added to what is cut.
    pub waste: Share,
    /// By layer and stitch kind; the rows add up to all thread cut.
    pub rows: Vec<NeedleRow>,
}

impl NeedleUse {
    /// Where the thread in the needle went.
    pub fn spent(&self) -> Spent {
        self.rows.iter().fold(Spent::default(), |mut sum, row| {
            sum += row.spent;
            sum
        })
    }

    /// All thread cut for the needle, as long as it lies in the needle.
    pub fn cut(&self) -> Length {
        self.needleful * self.needlefuls as i64
    }

    /// The cuts of one of its shades: length, and how many strands of that length.
    fn strands(&self, threading: &Threading) -> Cuts {
        let strands = self.needlefuls * u64::from(threading.strands);
        if self.loop_start {
            Cuts { length: self.needleful * 2, strands: strands / 2 }
        } else {
            Cuts { length: self.needleful, strands }
        }
    }
}

/// Strands of one length to be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cuts {
    /// Length of each.
    pub length: Length,
    /// How many single strands.
    pub strands: u64,
}

/// What one shade takes, over all needles that hold it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShadeUse {
    /// Indices of the needles with stitches.
    pub needles: Vec<usize>,
    /// Thread cut, as one strand, without unpicking and waste.
    pub strand: Length,
    /// Where it went, as one strand; the parts add up to it.
    pub spent: Spent,
    /// What has to be cut, unpicking and waste included, longest first.
    pub need: Vec<Cuts>,
}

impl ShadeUse {
    /// What has to be cut, unpicking and waste included, in whole cuts of a thread with so many strands, all together as sold.
    pub fn whole_cuts(&self, strands: u32) -> Length {
        self.need.iter().map(|cuts| cuts.length * cuts.strands.div_ceil(u64::from(strands)) as i64).sum()
    }

    /// What has to be cut, as one strand, unpicking and waste included.
    pub fn need_strand(&self) -> Length {
        self.need.iter().map(|cuts| cuts.length * cuts.strands as i64).sum()
    }
}

/// What a design takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// By needle.
    pub needles: Vec<NeedleUse>,
    /// By shade.
    pub shades: Vec<ShadeUse>,
    /// Pieces, by bead.
    pub beads: Vec<u64>,
}

/// What a design takes, worked by its habits.
///
/// # Errors
/// [`Code::StitchTooLong`], [`Code::SumTooLarge`], each with its needle.
pub fn estimate(design: &Design) -> Result<Estimate, Problems> {
    estimate_with(design, &|needle| design.needle_habits(&design.needles[needle]).needleful)
}

/// The same, with the length of each needle's needlefuls given.
pub(crate) fn estimate_with(
    design: &Design,
    needleful: &dyn Fn(usize) -> Length,
) -> Result<Estimate, Problems> {
    let works = work::gather(design);
    let (mut problems, mut planner) = (Problems::new(), Planner::default());
    let mut needles = Vec::with_capacity(works.len());
    for (index, work) in works.iter().enumerate() {
        let used = estimate_needle(design, index, work, needleful(index), &mut planner);
        needles.extend(problems.note(used));
    }
    let needles = problems.or(needles)?;
    Ok(Estimate { shades: by_shade(design, &needles)?, beads: count_beads(design, &works), needles })
}

/// What one needle takes for its work.
///
/// # Errors
/// [`Code::StitchTooLong`], [`Code::SumTooLarge`].
pub fn estimate_needle(
    parts: &Parts,
    index: usize,
    work: &Work,
    needleful: Length,
    planner: &mut Planner,
) -> Result<NeedleUse, Problem> {
    let needle = &parts.needles[index];
    let tariff = Tariff::new(parts, needle, needleful);
    let sweeps = Sweeps::rows(parts, work, &tariff.ruler);
    let mut walk = Walk::new(parts, work, &sweeps, &tariff);
    planner.by_habit(work, &sweeps, &tariff.ruler, tariff.habits(), |stretch| walk.follow(stretch));
    let in_needle = |problem: Problem| Problem {
        place: Place::Part(format!("needle '{}', {}", needle.name, problem.place)),
        ..problem
    };
    let walked = walk.end().map_err(in_needle)?;
    let rows = work.slots.iter().zip(walked.slots).map(|(slot, spent)| NeedleRow {
        layer: slot.layer,
        kind: slot.kind,
        stitches: slot.stitches,
        spent,
    });
    Ok(NeedleUse {
        stitches: work.stitches(),
        legs: work.legs(),
        needleful,
        loop_start: tariff.starts_with_loop(),
        needlefuls: walked.needlefuls,
        new_starts: walked.new_starts,
        carries: walked.carries,
        floor: floor(parts, work, &tariff),
        habit: walked.route,
        waste: tariff.habits().waste,
        rows: rows.collect(),
    })
}

fn by_shade(parts: &Parts, needles: &[NeedleUse]) -> Result<Vec<ShadeUse>, Problems> {
    let mut wanted: Vec<Vec<(Cuts, Share)>> = vec![Vec::new(); parts.shades.len()];
    let mut shades = vec![ShadeUse::default(); parts.shades.len()];
    for (index, (needle, used)) in parts.needles.iter().zip(needles).enumerate() {
        for threading in needle.threads.iter().filter(|_| used.needlefuls > 0) {
            let shade = &mut shades[threading.shade];
            shade.needles.push(index);
            let cuts = used.strands(threading);
            let cut = total(&[cuts]);
            shade.strand =
                cut.and_then(|cut| cut.plus(shade.strand)).ok_or_else(|| too_much(parts, threading))?;
            shade.spent += used.spent() * i64::from(threading.strands);
            wanted[threading.shade].push((cuts, used.waste));
        }
    }
    for (index, (shade, wanted)) in shades.iter_mut().zip(wanted).enumerate() {
        shade.need = with_waste(wanted);
        if total(&shade.need).is_none() {
            return Err(too_much(parts, &Threading { shade: index, strands: 0 }).into());
        }
    }
    Ok(shades)
}

/// Cuts of one length put together, with unpicking and waste added once.
fn with_waste(mut wanted: Vec<(Cuts, Share)>) -> Vec<Cuts> {
    wanted.sort_by_key(|(cuts, waste)| (std::cmp::Reverse(cuts.length), *waste));
    let mut need: Vec<Cuts> = Vec::new();
    for same in wanted.chunk_by(|(a, share_a), (b, share_b)| a.length == b.length && share_a == share_b) {
        let (cuts, waste) = same[0];
        let strands = waste.added_to(same.iter().map(|(cuts, _)| cuts.strands).sum());
        match need.last_mut() {
            Some(last) if last.length == cuts.length => last.strands += strands,
            _ => need.push(Cuts { strands, ..cuts }),
        }
    }
    need
}

fn total(cuts: &[Cuts]) -> Option<Length> {
    cuts.iter()
        .try_fold(Length::ZERO, |sum, cuts| sum.plus(cuts.length.times(i64::try_from(cuts.strands).ok()?)?))
}

fn too_much(parts: &Parts, threading: &Threading) -> Problem {
    let place = Place::Part(format!("shade '{}'", parts.shades[threading.shade].code));
    Problem::new(
        Code::SumTooLarge,
        place,
        "it takes more strand than 9,200 km",
        "work a smaller design, or fewer strands",
    )
}

fn count_beads(parts: &Parts, works: &[Work]) -> Vec<u64> {
    let mut beads = vec![0; parts.beads.len()];
    for work in works {
        for piece in work.passes.iter().flat_map(|pass| &pass.pieces) {
            if let Some(bead) = parts.legend[usize::from(work.figure(piece).entry)].bead {
                beads[bead] += u64::from(piece.count);
            }
        }
    }
    beads
}
