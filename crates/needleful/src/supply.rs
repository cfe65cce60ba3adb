//! What to buy, and whether a kit's supply is enough.
//!
//! Thread is cut, not divided. A put-up, a supplied length or a piece gives whole cuts, all its
//! strands together, and a rest. Needles take the strands they need; odd strands of one length
//! recombine, only those of the last cut are lost. Longer cuts are served first, so that their
//! rests can still serve shorter ones. Where a shade comes in lengths that are all equal, they are
//! divided into equal needlefuls: length / round(length / needleful), and the needles that hold the
//! shade work with those (with the shortest, where several shades are supplied so).

use crate::consumption::{Cuts, Estimate, ShadeUse, estimate_with};
use crate::design::{Design, Parts};
use crate::error::{Code, Place, Problem, Problems};
use crate::habits::Start;
use crate::limits;
use crate::thread::PutUp;
use crate::units::{Length, Share};

/// How thread is supplied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// So many put-ups.
    PutUps(u32),
    /// So many cut lengths, of so many strands.
    Lengths {
        /// How many.
        count: u32,
        /// Each.
        length: Length,
        /// In each.
        strands: u32,
    },
    /// One piece, with the strands of its thread line.
    Metres(Length),
}

/// One supplied item of thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Supply {
    /// Index of the shade.
    pub shade: usize,
    /// How it comes.
    pub form: Form,
    /// From another dye lot than the rest.
    pub other_lot: bool,
}

/// What is supplied for a design.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// Thread; items of one shade add up.
    pub thread: Vec<Supply>,
    /// Pieces, by bead.
    pub beads: Vec<u64>,
    /// A supply below this many times the need is tight.
    pub tight_below: Share,
    /// Whether items of another dye lot count.
    pub count_other_lots: bool,
}

impl Kit {
    /// Where nothing else is said (assumption: common practice, no source).
    pub const TIGHT_BELOW: Share = Share::from_millionths(1_100_000);
}

/// What a supply is worth against a need.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Less than the need.
    Short,
    /// The need, but less than the bound above it.
    Tight,
    /// The rest.
    Enough,
    /// At or above the bound even with one put-up or supplied length less.
    Over,
}

impl Verdict {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Short => "short",
            Verdict::Tight => "tight",
            Verdict::Enough => "enough",
            Verdict::Over => "over",
        }
    }
}

/// What to buy of a shade.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Purchase {
    /// Whole put-ups.
    pub put_ups: u64,
    /// What remains of them, as sold: all strands together.
    pub remains: Length,
}

/// The verdict on one shade. Lengths are as sold: all strands of the thread line together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ShadeCheck {
    /// What it is worth.
    pub verdict: Verdict,
    /// Supplied.
    pub supplied: Length,
    /// Missing, in whole cuts.
    pub short: Length,
    /// To spare once the need is cut.
    pub spare: Length,
}

/// The verdict on one bead, in pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BeadCheck {
    /// What it is worth.
    pub verdict: Verdict,
    /// Supplied.
    pub supplied: u64,
}

/// A kit against what its design takes.
#[derive(Debug, Clone, PartialEq)]
pub struct KitCheck {
    /// The estimate, with needlefuls as the kit's lengths give them.
    pub estimate: Estimate,
    /// By shade.
    pub shades: Vec<ShadeCheck>,
    /// By bead.
    pub beads: Vec<BeadCheck>,
}

impl KitCheck {
    /// Whether anything is short.
    pub fn is_short(&self) -> bool {
        let shades = self.shades.iter().map(|shade| shade.verdict);
        shades.chain(self.beads.iter().map(|bead| bead.verdict)).any(|verdict| verdict == Verdict::Short)
    }
}

/// Equal pieces of thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Pieces {
    length: Length,
    strands: u32,
    count: u64,
}

/// Cuts the need from pieces, longest first; gives the rests, and the strands not served by length.
fn cut(mut pieces: Vec<Pieces>, need: &[Cuts]) -> (Vec<Pieces>, Vec<Cuts>) {
    let mut unserved = Vec::new();
    for wanted in need {
        let mut strands = wanted.strands;
        let mut rests = Vec::with_capacity(pieces.len());
        for group in pieces {
            let per_piece = (group.length.pm() / wanted.length.pm()) as u64;
            let cuts = strands.div_ceil(u64::from(group.strands)).min(per_piece.saturating_mul(group.count));
            if cuts == 0 {
                rests.push(group);
                continue;
            }
            strands = strands.saturating_sub(cuts * u64::from(group.strands));
            let (whole, odd) = (cuts / per_piece, cuts % per_piece);
            let used = |count, cuts: u64| {
                let length = group.length - wanted.length * cuts as i64;
                Pieces { length, count, ..group }
            };
            let parts = [
                used(whole, per_piece),
                used(u64::from(odd > 0), odd),
                Pieces { count: group.count - whole - u64::from(odd > 0), ..group },
            ];
            rests.extend(parts.into_iter().filter(|part| part.count > 0 && part.length > Length::ZERO));
        }
        pieces = rests;
        if strands > 0 {
            unserved.push(Cuts { strands, ..*wanted });
        }
    }
    (pieces, unserved)
}

/// Length of pieces as sold with so many strands.
fn as_sold(pieces: &[Pieces], strands: u32) -> Length {
    let strand = |p: &Pieces| i128::from(p.length.pm()) * i128::from(p.count) * i128::from(p.strands);
    let total: i128 = pieces.iter().map(strand).sum();
    Length::from_pm(i64::try_from(total / i128::from(strands)).unwrap_or(i64::MAX))
}

/// Whole put-ups to buy of a shade, and what remains of them.
///
/// # Errors
/// [`Code::HabitsDisagree`] where a cut is longer than the put-up.
pub fn purchase(parts: &Parts, shade: usize, used: &ShadeUse) -> Result<Purchase, Problem> {
    let line = &parts.lines[parts.shades[shade].line];
    // More than can ever be needed: a put-up for every strand.
    let count = used.need.iter().map(|cuts| cuts.strands).sum();
    let (rests, unserved) =
        cut(vec![Pieces { length: line.put_up.length, strands: line.strands, count }], &used.need);
    if let Some(cuts) = unserved.first() {
        return Err(Problem::new(
            Code::HabitsDisagree,
            Place::Part(format!("shade '{}'", parts.shades[shade].code)),
            format!("a cut of {} mm is longer than its put-up", cuts.length.mm()),
            "shorten the needleful for this thread line",
        ));
    }
    let untouched = rests.iter().filter(|rest| rest.length == line.put_up.length).map(|rest| rest.count);
    let put_ups = count - untouched.sum::<u64>();
    let touched: Vec<Pieces> = rests.into_iter().filter(|rest| rest.length != line.put_up.length).collect();
    Ok(Purchase { put_ups, remains: as_sold(&touched, line.strands) })
}

/// Judges a kit.
///
/// # Errors
/// [`Code::OutOfRange`], [`Code::UnknownName`] for a supply that cannot be, and those of
/// [`crate::estimate`] with the kit's own lengths.
pub fn check_kit(design: &Design, kit: &Kit) -> Result<KitCheck, Problems> {
    check_supply(design, kit).or(())?;
    let by_shade = supplies_by_shade(design, kit);
    let estimate = estimate_with(design, &|needle| needleful(design, needle, &by_shade))?;
    let judge = |(shade, used): (usize, &ShadeUse)| judge(design, kit, shade, used, &by_shade[shade]);
    let shades = estimate.shades.iter().enumerate().map(judge).collect();
    let beads = estimate.beads.iter().enumerate().map(|(bead, &need)| {
        let supplied = kit.beads.get(bead).copied().unwrap_or(0);
        let packet = u64::from(design.beads[bead].packet);
        BeadCheck { verdict: bead_verdict(need, supplied, packet, kit.tight_below), supplied }
    });
    Ok(KitCheck { shades, beads: beads.collect(), estimate })
}

fn check_supply(parts: &Parts, kit: &Kit) -> Problems {
    let mut found = Problems::new();
    for supply in &kit.thread {
        let Some(shade) = parts.shades.get(supply.shade) else {
            let what = "it names a shade that is not defined";
            found.push(Problem::new(Code::UnknownName, Place::Part("kit".into()), what, "name one that is"));
            continue;
        };
        let place = || Place::Part(format!("kit, shade '{}'", shade.code));
        let (count, length, strands) = match supply.form {
            Form::PutUps(count) => (count, parts.lines[shade.line].put_up.length, 1),
            Form::Lengths { count, length, strands } => (count, length, strands),
            Form::Metres(length) => (1, length, 1),
        };
        if count > limits::PIECES {
            let mend = format!("give at most {}", limits::PIECES);
            found.push(Problem::new(Code::OutOfRange, place(), format!("{count} pieces"), mend));
        }
        if !(10.0..=1e8).contains(&length.mm()) {
            let what = format!("a length of {} m is outside its limits", length.metres());
            found.push(Problem::new(Code::OutOfRange, place(), what, "give 0.01 to 100000 m"));
        }
        if strands == 0 || strands > limits::STRANDS {
            let mend = format!("give 1 to {}", limits::STRANDS);
            found.push(Problem::new(Code::OutOfRange, place(), format!("{strands} strands"), mend));
        }
    }
    found
}

fn supplies_by_shade(parts: &Parts, kit: &Kit) -> Vec<Vec<Supply>> {
    let mut by_shade = vec![Vec::new(); parts.shades.len()];
    for supply in kit.thread.iter().filter(|supply| kit.count_other_lots || !supply.other_lot) {
        by_shade[supply.shade].push(*supply);
    }
    by_shade
}

/// The needleful of a needle: by habit, or as equal supplied lengths divide.
fn needleful(parts: &Parts, index: usize, by_shade: &[Vec<Supply>]) -> Length {
    let needle = &parts.needles[index];
    let habits = parts.needle_habits(needle);
    let double = if habits.start == Start::Loop && needle.can_loop() { 2 } else { 1 };
    let by_lengths = needle.threads.iter().filter_map(|threading| {
        let mut lengths = by_shade[threading.shade].iter().map(|supply| match supply.form {
            Form::Lengths { length, .. } => Some(length),
            _ => None,
        });
        let first = lengths.next()??;
        lengths.all(|length| length == Some(first)).then(|| {
            let cut = habits.needleful.pm() * double;
            let pieces = ((first.pm() + cut / 2) / cut).max(1);
            // More may have to be bought: a cut must come out of a put-up too.
            let put_up = parts.lines[parts.shades[threading.shade].line].put_up.length;
            Length::from_pm((first.pm() / pieces).min(put_up.pm()) / double)
        })
    });
    by_lengths.min().unwrap_or(habits.needleful)
}

fn pieces_of(supply: &Supply, put_up: &PutUp, strands: u32) -> Pieces {
    match supply.form {
        Form::PutUps(count) => Pieces { length: put_up.length, strands, count: u64::from(count) },
        Form::Lengths { count, length, strands } => Pieces { length, strands, count: u64::from(count) },
        Form::Metres(length) => Pieces { length, strands, count: 1 },
    }
}

fn judge(parts: &Parts, kit: &Kit, shade: usize, used: &ShadeUse, supplies: &[Supply]) -> ShadeCheck {
    let line = &parts.lines[parts.shades[shade].line];
    let pieces = |supplies: &[Supply]| -> Vec<Pieces> {
        let all = supplies.iter().map(|supply| pieces_of(supply, &line.put_up, line.strands));
        all.filter(|pieces| pieces.count > 0).collect()
    };
    let bound: Vec<Cuts> = used
        .need
        .iter()
        .map(|cuts| Cuts { strands: kit.tight_below.of(cuts.strands).max(cuts.strands), ..*cuts })
        .collect();
    let (rests, unserved) = cut(pieces(supplies), &used.need);
    let serves = |pieces: Vec<Pieces>| cut(pieces, &bound).1.is_empty();
    let verdict = if !unserved.is_empty() {
        Verdict::Short
    } else if !serves(pieces(supplies)) {
        Verdict::Tight
    } else if one_less(supplies, &line.put_up).is_some_and(|less| serves(pieces(&less))) {
        Verdict::Over
    } else {
        Verdict::Enough
    };
    let short =
        unserved.iter().map(|cuts| cuts.length * cuts.strands.div_ceil(u64::from(line.strands)) as i64).sum();
    ShadeCheck {
        verdict,
        supplied: as_sold(&pieces(supplies), line.strands),
        short,
        spare: as_sold(&rests, line.strands),
    }
}

/// The supply less its shortest put-up or supplied length; of a piece in metres, a put-up's length.
fn one_less(supplies: &[Supply], put_up: &PutUp) -> Option<Vec<Supply>> {
    let length = |supply: &Supply| match supply.form {
        Form::PutUps(count) => (count > 0).then_some(put_up.length),
        Form::Lengths { count, length, .. } => (count > 0).then_some(length),
        Form::Metres(length) => Some(length.min(put_up.length)),
    };
    let candidates = supplies.iter().enumerate().filter_map(|(i, supply)| Some((length(supply)?, i)));
    let (_, shortest) = candidates.min()?;
    let mut less = supplies.to_vec();
    less[shortest].form = match less[shortest].form {
        Form::PutUps(count) => Form::PutUps(count - 1),
        Form::Lengths { count, length, strands } => Form::Lengths { count: count - 1, length, strands },
        Form::Metres(length) => Form::Metres(length - length.min(put_up.length)),
    };
    Some(less)
}

fn bead_verdict(need: u64, supplied: u64, packet: u64, tight_below: Share) -> Verdict {
    let bound = tight_below.of(need).max(need);
    if supplied < need {
        Verdict::Short
    } else if supplied < bound {
        Verdict::Tight
    } else if supplied >= packet && supplied - packet >= bound {
        Verdict::Over
    } else {
        Verdict::Enough
    }
}
