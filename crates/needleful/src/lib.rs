//! How much of every thread does a counted-thread design take, does that thread cover the fabric,
//! and is what is there enough?
//!
//! The modules, top to bottom, are the flow: a [`design`] is checked, a needle's stitches become
//! [`work`], a [`route`] gives their order, [`spend`] walks the route and cuts needlefuls,
//! [`consumption`] sums per shade, [`supply`] buys put-ups and judges a kit. The model is stated
//! whole in [`model`]. The crate reads no files and draws nothing; lengths are exact integers.

#![forbid(unsafe_code)]

pub mod error;
pub mod limits;
pub mod units;
pub mod fabric;
pub mod habits;
pub mod thread;
pub mod needle;
pub mod stitch;
pub mod legend;
pub mod chart;
pub mod design;
pub mod work;
mod holes;
pub mod route;
pub mod price;
pub mod floor;
pub mod spend;
pub mod consumption;
pub mod supply;

#[doc = include_str!("../MODEL.md")]
pub mod model {}

pub use consumption::{Estimate, estimate};
pub use design::{Design, Parts};
pub use error::{Code, Place, Problem, Problems};
pub use supply::{KitCheck, Supply, check_kit};
pub use units::Length;
