//! The project file, field by field: what stands in it, before any of it is believed.
//!
//! One set of structs for TOML and JSON; the schema is generated from them.

use needleful::stitch::KINDS;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserializer, Visitor};
use serde::{Deserialize, Serialize};
use std::fmt;

mod drawn;
mod words;

pub use drawn::{CellStitches, Knots, Layer, LegendEntry, Line};
pub use words::{Corner, FabricKind, Fibre, Start, TopLeg, Winding};

/// The version of the format that is read.
pub const VERSION: u32 = 1;

/// One counted-thread design, its thread and, if there is one, its supply.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "needleful project file")]
pub struct ProjectFile {
    /// Version of this format.
    #[schemars(extend("const" = VERSION))]
    pub needleful: u32,
    /// What the design is called.
    #[serde(default)]
    pub title: String,
    /// The ground cloth.
    pub fabric: Fabric,
    /// How the person works.
    pub habits: Option<Habits>,
    /// Products of thread.
    pub thread_lines: Vec<ThreadLine>,
    /// Colours of thread.
    pub shades: Vec<Shade>,
    /// What is threaded at once.
    pub needles: Vec<Needle>,
    /// Beads that are sewn on.
    #[serde(default)]
    pub beads: Vec<Bead>,
    /// The symbol key.
    pub legend: Vec<LegendEntry>,
    /// Areas with a grid each.
    pub layers: Vec<Layer>,
    /// What is supplied.
    pub kit: Option<Kit>,
}

/// The ground cloth. Exactly one count is given, and at most one more for the other direction.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fabric {
    /// How it is made; decides the defaults of thickness and hole opening.
    pub kind: FabricKind,
    /// Threads or blocks per inch, in both directions unless a count downward is given.
    pub count_per_inch: Option<f64>,
    /// The same per 10 cm.
    pub count_per_10_cm: Option<f64>,
    /// Threads or blocks per inch from top to bottom, where they differ.
    pub count_down_per_inch: Option<f64>,
    /// The same per 10 cm.
    pub count_down_per_10_cm: Option<f64>,
    /// Measured thickness, millimetres.
    pub thickness_mm: Option<f64>,
    /// Measured opening of a hole, millimetres.
    pub hole_mm: Option<f64>,
    /// No passages through the cloth and no leg riding over another: for checks.
    #[serde(default)]
    pub planar: bool,
}

/// How a person works; a field that is left out keeps what stands.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Habits {
    /// Length of thread cut for the needle, millimetres; 450 by default.
    pub needleful_mm: Option<f64>,
    /// Spent to secure a start, millimetres; 30 by default.
    pub start_tail_mm: Option<f64>,
    /// Spent to secure a finish, millimetres; 30 by default.
    pub finish_tail_mm: Option<f64>,
    /// Thread left in the needle with which no stitch can be made any more, the finish included,
    /// millimetres; 75 by default.
    pub unstitchable_end_mm: Option<f64>,
    /// A leftover of this length or more is kept for the same needle, millimetres; 120 by default.
    pub keep_leftover_mm: Option<f64>,
    /// Unpicking and waste, per cent of all thread cut; 2 by default.
    pub waste_percent: Option<f64>,
    /// Longest carry behind open fabric, millimetres; 13 by default.
    pub open_carry_mm: Option<f64>,
    /// Longest carry under stitches already there, millimetres; 38 by default.
    pub covered_carry_mm: Option<f64>,
    /// How a new needleful is secured; by a tail by default.
    pub start: Option<Start>,
    /// Which way top legs lean, in the whole design; not among the habits of a thread line or needle.
    pub top_leg: Option<TopLeg>,
    /// Thickness of the needle that knots are wound round, millimetres; 0.8 by default.
    pub knot_needle_mm: Option<f64>,
}

/// One product of thread: what is the same for all its shades.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ThreadLine {
    /// Its name, by which shades refer to it.
    pub line: String,
    /// Strands in the thread as sold; 1 where it is not divisible.
    pub strands: u32,
    /// Linear density of one strand, tex; 40 where no linear density is given.
    pub tex: Option<f64>,
    /// The same as English cotton count.
    pub ne: Option<f64>,
    /// The same as metric count.
    pub nm: Option<f64>,
    /// The same in denier.
    pub denier: Option<f64>,
    /// What it is spun from; cotton where neither fibre nor density is given.
    pub fibre: Option<Fibre>,
    /// Density of any other fibre, g/cm³.
    pub density_g_per_cm3: Option<f64>,
    /// Share of a strand's section that is fibre; 0.6 by default.
    pub packing: Option<f64>,
    /// Measured width of one strand, millimetres; wins over the computed diameter.
    pub strand_width_mm: Option<f64>,
    /// Metallic: needlefuls of 350 mm and 5 % waste unless the habits say otherwise.
    #[serde(default)]
    pub metallic: bool,
    /// How it is sold.
    pub put_up: PutUp,
    /// Habits that differ for this line.
    pub habits: Option<Habits>,
}

/// How a thread is sold: a cone by its mass, all others by their length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PutUp {
    /// The form.
    pub kind: Winding,
    /// Length of thread, all strands together, metres.
    pub length_m: Option<f64>,
    /// Mass of thread on a cone, grams.
    pub mass_g: Option<f64>,
}

/// One colour of one thread line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Shade {
    /// Your own code.
    pub shade: String,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Its thread line.
    pub line: String,
}

/// What is threaded at once.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Needle {
    /// Its name, by which the legend refers to it.
    pub needle: String,
    /// The shades in it; two or more make a blend.
    pub thread: Vec<Threading>,
    /// Habits that differ for this needle; they win over the thread line's.
    pub habits: Option<Habits>,
}

/// One shade in a needle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Threading {
    /// The shade.
    pub shade: String,
    /// Strands of it.
    pub strands: u32,
}

/// A bead that is sewn on, counted in pieces.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bead {
    /// Your own code, by which the legend refers to it.
    pub bead: String,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// How much longer a leg becomes by the bead on it, millimetres.
    pub size_mm: f64,
    /// Pieces in a packet.
    pub packet_pieces: u32,
}

/// What is supplied for the design.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Kit {
    /// A supply below this many times the need is tight; 1.1 by default.
    pub tight_below: Option<f64>,
    /// Whether supplies from another dye lot count; true by default.
    pub count_other_lots: Option<bool>,
    /// Thread; items of one shade add up.
    #[serde(default)]
    pub thread: Vec<ThreadSupply>,
    /// Beads; items of one bead add up.
    #[serde(default)]
    pub beads: Vec<BeadSupply>,
}

/// One supplied item of thread. Exactly one of put-ups, lengths and metres is given.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ThreadSupply {
    /// The shade.
    pub shade: String,
    /// So many put-ups, as sold.
    pub put_ups: Option<u32>,
    /// Cut lengths.
    pub lengths: Option<CutLengths>,
    /// One piece of so many metres, with the strands of the thread line.
    pub metres: Option<f64>,
    /// From another dye lot than the rest.
    #[serde(default)]
    pub other_lot: bool,
}

/// Cut lengths that are all equal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CutLengths {
    /// How many.
    pub count: u32,
    /// Each, metres.
    pub length_m: f64,
    /// Strands in each.
    pub strands: u32,
}

/// One supplied item of beads: packets, pieces, or both.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BeadSupply {
    /// The bead.
    pub bead: String,
    /// Whole packets.
    pub packets: Option<u32>,
    /// Single pieces.
    pub pieces: Option<u32>,
}

/// What means an empty cell in a PNG chart: a colour, or a palette index.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub enum PngEmpty {
    /// A colour, `#rrggbb`.
    Colour(String),
    /// An index into the palette of an indexed PNG.
    Index(u8),
}

impl<'de> Deserialize<'de> for PngEmpty {
    // By hand, because an untagged enum says neither what was found nor where.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct ColourOrIndex;
        impl Visitor<'_> for ColourOrIndex {
            type Value = PngEmpty;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a colour such as \"#ffffff\" or a palette index from 0 to 255")
            }
            fn visit_str<E: de::Error>(self, colour: &str) -> Result<PngEmpty, E> {
                Ok(PngEmpty::Colour(colour.to_owned()))
            }
            fn visit_u64<E: de::Error>(self, index: u64) -> Result<PngEmpty, E> {
                let wrong = |_| E::invalid_value(de::Unexpected::Unsigned(index), &self);
                u8::try_from(index).map(PngEmpty::Index).map_err(wrong)
            }
            fn visit_i64<E: de::Error>(self, index: i64) -> Result<PngEmpty, E> {
                let wrong = |_| E::invalid_value(de::Unexpected::Signed(index), &self);
                u8::try_from(index).map(PngEmpty::Index).map_err(wrong)
            }
        }
        deserializer.deserialize_any(ColourOrIndex)
    }
}

/// The pattern of a colour.
const COLOUR: &str = "^#[0-9a-fA-F]{6}$";

impl JsonSchema for PngEmpty {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "PngEmpty".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "What means an empty cell in a PNG chart: a colour, or a palette index.",
            "anyOf": [
                { "type": "string", "pattern": COLOUR },
                { "type": "integer", "minimum": 0, "maximum": 255 },
            ],
        })
    }
}

/// The words for stitches come from the table of kinds.
fn stitch_words(_: &mut SchemaGenerator) -> Schema {
    let words: Vec<&str> = KINDS.iter().map(|kind| kind.name).collect();
    json_schema!({ "type": "string", "enum": words })
}
