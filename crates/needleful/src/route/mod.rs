//! The order in which a hand works: a list of stretches, without lengths, so that one route can be
//! priced many times.

mod doors;
mod habit;
mod nearby;
mod sweep;

pub use habit::Planner;
pub use sweep::{Script, Sense, Sweep, Sweeps};

/// How a stretch follows the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Join {
    /// The thread goes on behind the fabric.
    Link,
    /// Finish, and start again here.
    NewStart,
}

/// Stitches of one piece worked one after another in one sweep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// Index of the pass.
    pub pass: u32,
    /// Index of the piece in the pass.
    pub piece: u32,
    /// Index of the sweep: which legs, and in which sense.
    pub sweep: u32,
    /// First stitch worked.
    pub first: u32,
    /// Last stitch worked; below `first` when the sweep goes to the left.
    pub last: u32,
    /// How it follows the stretch before.
    pub join: Join,
}
