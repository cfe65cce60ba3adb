//! The ground cloth: its counts, its kind, how thick it is and how open its holes are.

use crate::error::Problem;
use crate::units::{Count, Length, within};

/// Picometres in half an inch: half a fabric thread is this over the count.
const HALF_INCH_PM: f64 = 12.7e9;

/// How the cloth is made; decides the defaults of thickness and hole opening.
///
/// # Sources
/// Common practice, no source: a measured value always wins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FabricKind {
    /// Single threads, counted one by one.
    Evenweave,
    /// Threads woven in blocks with open holes between them.
    BlockWeave,
    /// Stiff open canvas of single threads.
    MonoCanvas,
}

impl FabricKind {
    /// Thickness in pitches (assumption).
    pub fn thickness_in_pitches(self) -> f64 {
        match self {
            FabricKind::Evenweave => 0.5,
            FabricKind::BlockWeave => 0.35,
            FabricKind::MonoCanvas => 0.4,
        }
    }

    /// Hole opening in pitches (assumption).
    pub fn hole_in_pitches(self) -> f64 {
        match self {
            FabricKind::Evenweave => 0.35,
            FabricKind::BlockWeave => 0.2,
            FabricKind::MonoCanvas => 0.55,
        }
    }
}

/// The ground cloth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fabric {
    /// How it is made.
    pub kind: FabricKind,
    /// Threads per inch from left to right.
    pub across: Count,
    /// Threads per inch from top to bottom.
    pub down: Count,
    thickness_mm: Option<f64>,
    hole_mm: Option<f64>,
    /// No passages through the cloth and no leg riding over another: lengths as on paper, for checks.
    pub planar: bool,
}

impl Fabric {
    /// A fabric with the defaults of its kind.
    pub fn new(kind: FabricKind, across: Count, down: Count) -> Self {
        Fabric { kind, across, down, thickness_mm: None, hole_mm: None, planar: false }
    }

    /// The same, with a measured thickness, 0 to 10 mm.
    ///
    /// # Errors
    /// [`crate::error::Code::OutOfRange`].
    pub fn with_thickness_mm(mut self, mm: f64) -> Result<Self, Problem> {
        self.thickness_mm = Some(within("fabric thickness", "mm", mm, 0.0, 10.0)?);
        Ok(self)
    }

    /// The same, with a measured hole opening, 0 to 10 mm.
    ///
    /// # Errors
    /// [`crate::error::Code::OutOfRange`].
    pub fn with_hole_mm(mut self, mm: f64) -> Result<Self, Problem> {
        self.hole_mm = Some(within("hole opening", "mm", mm, 0.0, 10.0)?);
        Ok(self)
    }

    /// The same, planar or not.
    pub fn with_planar(mut self, planar: bool) -> Self {
        self.planar = planar;
        self
    }

    /// Mean distance between neighbouring threads of the two directions, in millimetres.
    pub fn mean_pitch_mm(&self) -> f64 {
        (self.across.pitch_mm() + self.down.pitch_mm()) / 2.0
    }

    /// Thickness in millimetres: measured, or the default of the kind.
    pub fn thickness_mm(&self) -> f64 {
        self.thickness_mm.unwrap_or(self.kind.thickness_in_pitches() * self.mean_pitch_mm())
    }

    /// Hole opening in millimetres: measured, or the default of the kind.
    pub fn hole_mm(&self) -> f64 {
        self.hole_mm.unwrap_or(self.kind.hole_in_pitches() * self.mean_pitch_mm())
    }

    /// The ruler of this cloth.
    pub fn ruler(&self) -> Ruler {
        Ruler {
            half_across_pm: HALF_INCH_PM / self.across.inch(),
            half_down_pm: HALF_INCH_PM / self.down.inch(),
        }
    }
}

/// A place where the needle can pass: half fabric threads to the right and downward.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hole {
    /// Downward, in half threads. First, so that holes order by row, then column.
    pub y: i32,
    /// To the right, in half threads.
    pub x: i32,
}

impl Hole {
    /// The hole at (x, y).
    pub const fn new(x: i32, y: i32) -> Self {
        Hole { y, x }
    }

    /// The hole `(dx, dy)` away.
    pub const fn offset(self, dx: i32, dy: i32) -> Self {
        Hole { y: self.y + dy, x: self.x + dx }
    }
}

/// Measures straight distances between holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ruler {
    half_across_pm: f64,
    half_down_pm: f64,
}

impl Ruler {
    /// Straight length of a step of `(dx, dy)` half threads, rounded once.
    pub fn step(&self, dx: i32, dy: i32) -> Length {
        Length::round_positive_pm(self.square(dx, dy).sqrt())
    }

    /// Straight distance between two holes.
    pub fn between(&self, a: Hole, b: Hole) -> Length {
        self.step(b.x - a.x, b.y - a.y)
    }

    /// Square of a step of `(dx, dy)` half threads, in square picometres, not rounded.
    pub(crate) fn square(&self, dx: i32, dy: i32) -> f64 {
        let x = f64::from(dx) * self.half_across_pm;
        let y = f64::from(dy) * self.half_down_pm;
        x * x + y * y
    }

    /// The most half threads to the right that a length spans.
    pub(crate) fn reach_across(&self, length: Length) -> i32 {
        reach(length, self.half_across_pm)
    }

    /// The most half threads downward that a length spans.
    pub(crate) fn reach_down(&self, length: Length) -> i32 {
        reach(length, self.half_down_pm)
    }
}

fn reach(length: Length, half_pm: f64) -> i32 {
    // `as` saturates; a picometre more, so that rounding cannot lose a hole.
    ((length.pm() + 1) as f64 / half_pm) as i32
}
