//! How large a design may be, in one table. Beyond these a check says so before anything is built.

/// Cells of all layers together.
pub const CELLS: u64 = 1 << 24;
/// Columns or rows of a layer.
pub const SIDE: u32 = 32_767;
/// Area of the fabric that the layers reach, in square fabric threads.
pub const FABRIC_AREA: u64 = 1 << 26;
/// Fabric threads from the design's left or upper edge to a layer's far edge.
pub const FABRIC_SIDE: u64 = 400_000;
/// Entries of the legend.
pub const LEGEND: usize = 65_535;
/// Needles, and shades, and beads.
pub const NAMES: usize = 65_535;
/// Layers of a design.
pub const LAYERS: usize = 256;
/// Fabric threads that a cell spans.
pub const OVER: u32 = 12;
/// Stitches of the sparse list, legs of lines after splitting, and knots, together.
pub const SINGLES: usize = 1 << 22;
/// Shades in one needle.
pub const BLEND: usize = 16;
/// Strands of one shade in a needle, and of a thread as sold.
pub const STRANDS: u32 = 64;
/// Pieces of one kind in a supply.
pub const PIECES: u32 = 1_000_000;
/// Characters of a name, code or symbol.
pub const NAME_CHARS: usize = 200;
/// Bytes of one file.
pub const FILE_BYTES: u64 = 64 << 20;
