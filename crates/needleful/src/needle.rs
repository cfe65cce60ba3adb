//! What is threaded at once: shades and strands; two or more shades make a blend.

use crate::habits::HabitChanges;
use crate::thread::{Shade, ThreadLine};

/// One shade in a needle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Threading {
    /// Index of the shade.
    pub shade: usize,
    /// Strands of it.
    pub strands: u32,
}

/// What is threaded at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Needle {
    /// Its name.
    pub name: String,
    /// The shades in it.
    pub threads: Vec<Threading>,
    /// Habits that differ for this needle.
    pub habits: HabitChanges,
}

impl Needle {
    /// Whether two or more shades are in the needle.
    pub fn is_blend(&self) -> bool {
        self.threads.len() > 1
    }

    /// Whether a loop start is possible: every shade has an even number of strands.
    pub fn can_loop(&self) -> bool {
        self.threads.iter().all(|t| t.strands % 2 == 0)
    }

    /// Thickness of all strands as one round bundle, in millimetres: the root of the summed squares.
    pub fn thickness_mm(&self, shades: &[Shade], lines: &[ThreadLine]) -> f64 {
        let square = |t: &Threading| {
            let d = lines[shades[t.shade].line].strand_mm();
            f64::from(t.strands) * (d * d)
        };
        self.threads.iter().map(square).sum::<f64>().sqrt()
    }
}
