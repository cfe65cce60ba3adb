//! Results as JSON: each figure names its unit in its key.
//!
//! Thread is told in three lengths: `_needle_m` as it lies in the needle, `_strand_m` that times
//! strands, `_skein_m` as sold, all strands together.

mod build;
mod problems;

pub use build::{check_result, estimate_result};
pub use problems::{ProblemResult, ProblemsResult};

use crate::wire::FabricKind;
use needleful::spend::Spent;
use serde::Serialize;

/// The version of the results' shape.
pub const VERSION: u32 = 1;

/// What a design takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EstimateResult<'a> {
    /// Version of this shape.
    pub needleful: u32,
    /// What the design is called.
    pub title: &'a str,
    /// The ground cloth.
    pub fabric: FabricResult,
    /// By needle.
    pub needles: Vec<NeedleResult<'a>>,
    /// By layer, over all needles.
    pub layers: Vec<LayerResult<'a>>,
    /// By stitch kind, over all needles; kinds that occur.
    pub stitch_kinds: Vec<KindResult>,
    /// Over all needles.
    pub total: TotalResult,
    /// By shade: what to buy.
    pub shades: Vec<ShadeResult<'a>>,
    /// By bead: what to buy.
    pub beads: Vec<BeadResult<'a>>,
}

/// What a design takes, worked with its kit, and the verdict on the kit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckResult<'a> {
    /// The estimate, with needlefuls as the kit's lengths give them.
    #[serde(flatten)]
    pub estimate: EstimateResult<'a>,
    /// The verdict.
    pub kit: KitResult<'a>,
}

/// The ground cloth.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FabricResult {
    /// How it is made.
    pub kind: FabricKind,
    /// Threads per inch from left to right.
    pub count_across_per_inch: f64,
    /// Threads per inch from top to bottom.
    pub count_down_per_inch: f64,
}

/// Where thread went, metres in the needle. The parts add up to all thread cut.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpentResult {
    /// On the face.
    pub front_needle_m: f64,
    /// Behind, within a stitch and to its neighbours.
    pub back_needle_m: f64,
    /// Through the fabric.
    pub passages_needle_m: f64,
    /// Behind, to a stitch that is no neighbour.
    pub carries_needle_m: f64,
    /// To secure starts and finishes.
    pub tails_needle_m: f64,
    /// Ends too short to use again.
    pub orts_needle_m: f64,
    /// Leftovers kept and never used.
    pub kept_needle_m: f64,
}

impl From<&Spent> for SpentResult {
    fn from(spent: &Spent) -> Self {
        SpentResult {
            front_needle_m: spent.front.metres(),
            back_needle_m: spent.back.metres(),
            passages_needle_m: spent.passages.metres(),
            carries_needle_m: spent.carries.metres(),
            tails_needle_m: spent.tails.metres(),
            orts_needle_m: spent.orts.metres(),
            kept_needle_m: spent.kept.metres(),
        }
    }
}

/// Where the thread of a shade went, metres of single strand. The parts add up to all that is cut.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpentStrandResult {
    /// On the face.
    pub front_strand_m: f64,
    /// Behind, within a stitch and to its neighbours.
    pub back_strand_m: f64,
    /// Through the fabric.
    pub passages_strand_m: f64,
    /// Behind, to a stitch that is no neighbour.
    pub carries_strand_m: f64,
    /// To secure starts and finishes.
    pub tails_strand_m: f64,
    /// Ends too short to use again.
    pub orts_strand_m: f64,
    /// Leftovers kept and never used.
    pub kept_strand_m: f64,
}

impl From<&Spent> for SpentStrandResult {
    fn from(spent: &Spent) -> Self {
        SpentStrandResult {
            front_strand_m: spent.front.metres(),
            back_strand_m: spent.back.metres(),
            passages_strand_m: spent.passages.metres(),
            carries_strand_m: spent.carries.metres(),
            tails_strand_m: spent.tails.metres(),
            orts_strand_m: spent.orts.metres(),
            kept_strand_m: spent.kept.metres(),
        }
    }
}

/// One shade in a needle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ThreadingResult<'a> {
    /// The shade.
    pub shade: &'a str,
    /// Strands of it.
    pub strands: u32,
}

/// What one needle takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NeedleResult<'a> {
    /// Its name.
    pub needle: &'a str,
    /// The shades in it.
    pub thread: Vec<ThreadingResult<'a>>,
    /// Whether there are two or more.
    pub blend: bool,
    /// Stitches of all kinds: cells, legs of lines, knots.
    pub stitches: u64,
    /// Legs.
    pub legs: u64,
    /// Length of a needleful, millimetres.
    pub needleful_mm: f64,
    /// Whether new needlefuls are started with a loop.
    pub loop_start: bool,
    /// Needlefuls cut.
    pub needlefuls: u64,
    /// Starts after the first that the route makes.
    pub new_starts: u64,
    /// Carries.
    pub carries: u64,
    /// The least possible route length.
    pub floor_needle_m: f64,
    /// Route length as you stitch, before needlefuls end.
    pub habit_needle_m: f64,
    /// All thread cut.
    pub cut_needle_m: f64,
    /// Where it went.
    #[serde(flatten)]
    pub spent: SpentResult,
    /// By layer and stitch kind.
    pub rows: Vec<RowResult<'a>>,
}

/// One stitch kind of one needle in one layer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RowResult<'a> {
    /// The layer.
    pub layer: &'a str,
    /// The stitch, as the project file has it.
    pub stitch: &'static str,
    /// Stitches.
    pub stitches: u64,
    /// Where the thread went.
    #[serde(flatten)]
    pub spent: SpentResult,
}

/// What one layer takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LayerResult<'a> {
    /// Its name.
    pub layer: &'a str,
    /// Fabric threads that a cell spans.
    pub over: u32,
    /// Stitches.
    pub stitches: u64,
    /// Where the thread went.
    #[serde(flatten)]
    pub spent: SpentResult,
    /// All thread cut for it.
    pub cut_needle_m: f64,
}

/// What one stitch kind takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KindResult {
    /// The stitch, as the project file has it.
    pub stitch: &'static str,
    /// Stitches.
    pub stitches: u64,
    /// Where the thread went.
    #[serde(flatten)]
    pub spent: SpentResult,
    /// All thread cut for it.
    pub cut_needle_m: f64,
}

/// What all needles take together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TotalResult {
    /// Stitches.
    pub stitches: u64,
    /// Legs.
    pub legs: u64,
    /// Needlefuls cut.
    pub needlefuls: u64,
    /// Starts that the routes make, the first of each needle not counted.
    pub new_starts: u64,
    /// Carries.
    pub carries: u64,
    /// Where the thread went.
    #[serde(flatten)]
    pub spent: SpentResult,
    /// All thread cut.
    pub cut_needle_m: f64,
}

/// What one shade takes, and what to buy of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShadeResult<'a> {
    /// The user's code.
    pub shade: &'a str,
    /// What it is called.
    pub name: &'a str,
    /// Its thread line.
    pub line: &'a str,
    /// The needles with stitches that hold it.
    pub needles: Vec<&'a str>,
    /// Thread cut, as one strand, without unpicking and waste.
    pub cut_strand_m: f64,
    /// Where it went.
    #[serde(flatten)]
    pub spent: SpentStrandResult,
    /// What has to be cut, unpicking and waste included, as one strand.
    pub need_strand_m: f64,
    /// The same as sold: divided by the strands of the thread line.
    pub need_skein_m: f64,
    /// The same in whole cuts, as it leaves the put-up.
    pub whole_cuts_skein_m: f64,
    /// What it is sold in.
    pub put_up: &'static str,
    /// Length of a put-up.
    pub put_up_skein_m: f64,
    /// Put-ups to buy.
    pub put_ups: u64,
    /// What remains of them.
    pub remains_skein_m: f64,
}

/// What one bead takes, and what to buy of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BeadResult<'a> {
    /// The user's code.
    pub bead: &'a str,
    /// What it is called.
    pub name: &'a str,
    /// Pieces needed.
    pub pieces: u64,
    /// Pieces in a packet.
    pub packet_pieces: u32,
    /// Packets to buy.
    pub packets: u64,
}

/// The verdict on a kit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KitResult<'a> {
    /// Whether anything is short.
    pub short: bool,
    /// By shade.
    pub shades: Vec<ShadeVerdict<'a>>,
    /// By bead.
    pub beads: Vec<BeadVerdict<'a>>,
}

/// The verdict on one shade.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShadeVerdict<'a> {
    /// The user's code.
    pub shade: &'a str,
    /// short, tight, enough or over.
    pub verdict: &'static str,
    /// Supplied.
    pub supplied_skein_m: f64,
    /// Missing, in whole cuts.
    pub short_skein_m: f64,
    /// To spare once the need is cut.
    pub spare_skein_m: f64,
}

/// The verdict on one bead.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BeadVerdict<'a> {
    /// The user's code.
    pub bead: &'a str,
    /// short, tight, enough or over.
    pub verdict: &'static str,
    /// Supplied.
    pub supplied_pieces: u64,
    /// Needed.
    pub need_pieces: u64,
}
