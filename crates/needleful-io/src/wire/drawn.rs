//! The symbol key and the layers of the chart.

use super::{COLOUR, Corner, PngEmpty, stitch_words};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One symbol of the key: its needle and its stitch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LegendEntry {
    /// The symbol: one character for charts in rows, any short text elsewhere.
    pub symbol: String,
    /// The needle.
    pub needle: String,
    /// The stitch.
    #[schemars(schema_with = "stitch_words")]
    pub stitch: String,
    /// The corner of a quarter, three-quarter or petite stitch; lower-left by default.
    pub corner: Option<Corner>,
    /// The bead of a bead stitch.
    pub bead: Option<String>,
    /// Wraps of a knot; 2 by default.
    pub wraps: Option<u32>,
    /// Whether a knot is pulled tight; false by default.
    pub tight: Option<bool>,
    /// Colour of its pixels in a PNG chart, `#rrggbb`.
    #[schemars(regex(pattern = COLOUR))]
    pub pixel: Option<String>,
    /// Palette index of its pixels in an indexed PNG chart; wins over the colour.
    pub pixel_index: Option<u8>,
}

/// An area of the design with one grid. At most one of rows, CSV and PNG is given; a size only
/// where there is none.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Layer {
    /// Its name, for tables and errors.
    pub name: String,
    /// Fabric threads that a cell spans.
    pub over: u32,
    /// Upper left corner: fabric threads from the left, from the top.
    #[serde(default)]
    pub at_threads: [u32; 2],
    /// Rows of symbols, one character a cell; `.` and space are empty cells.
    pub rows: Option<Vec<String>>,
    /// Name of a CSV chart beside the project file: symbols between commas, one row a line.
    pub csv: Option<String>,
    /// Name of a PNG chart beside the project file: a pixel a cell.
    pub png: Option<String>,
    /// What means an empty cell in the PNG, beside fully transparent pixels.
    pub png_empty: Option<PngEmpty>,
    /// Columns and rows of a layer without a chart.
    pub size: Option<[u32; 2]>,
    /// Single stitches; several may share a cell where they leave each other room.
    #[serde(default)]
    pub stitches: Vec<CellStitches>,
    /// Lines.
    #[serde(default)]
    pub lines: Vec<Line>,
    /// Knots.
    #[serde(default)]
    pub knots: Vec<Knots>,
}

/// Single stitches of one symbol.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CellStitches {
    /// The symbol.
    pub symbol: String,
    /// Column and row of each, from 1 at the upper left.
    pub cells: Vec<[u32; 2]>,
}

/// A drawn line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// The symbol.
    pub symbol: String,
    /// Its corners: holes, in cells from the upper left corner of the layer; halves are allowed.
    pub points: Vec<[f64; 2]>,
    /// One stitch from point to point, whatever holes lie between.
    #[serde(default)]
    pub long: bool,
}

/// Knots of one symbol.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Knots {
    /// The symbol.
    pub symbol: String,
    /// The hole of each, in cells from the upper left corner of the layer; halves are allowed.
    pub holes: Vec<[f64; 2]>,
}
