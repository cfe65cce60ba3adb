//! Thread as it is made and sold: lines of thread, their shades and put-ups, and beads.

use crate::error::{Code, Place, Problem};
use crate::habits::HabitChanges;
use crate::limits;
use crate::units::{Length, LinearDensity, within};

/// Diameter in mm of a round strand of 1 tex, packing 1 and density 1 g/cm³: sqrt(4 / (1000·π))
/// *(derived: 1 tex is 1e-6 g/mm; Peirce's cotton rule d = 1/(28·sqrt(Ne)) inch is the case
/// 1/(packing·density) = 1.1, cited: F. T. Peirce, J. Textile Inst. 28 (1937) T45)*.
pub const ROUND_STRAND_MM: f64 = 0.035_682_482_323_055_424;

/// What a thread is spun from; gives the density.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fibre {
    /// Cotton.
    Cotton,
    /// Viscose rayon.
    Viscose,
    /// Wool.
    Wool,
    /// Silk.
    Silk,
    /// Polyester.
    Polyester,
    /// Any other, by its density in g/cm³.
    Density(f64),
}

impl Fibre {
    /// Density in g/cm³ at 65 % relative humidity.
    ///
    /// # Sources
    /// Morton & Hearle, Physical Properties of Textile Fibres, 4th ed., Table 5.1.
    pub fn density(self) -> f64 {
        match self {
            Fibre::Cotton => 1.52,
            Fibre::Viscose => 1.49,
            Fibre::Wool => 1.31,
            Fibre::Silk => 1.34,
            Fibre::Polyester => 1.39,
            Fibre::Density(density) => density,
        }
    }
}

/// The form a thread is wound in when sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Winding {
    /// Skein.
    Skein,
    /// Hank.
    Hank,
    /// Ball.
    Ball,
    /// Card.
    Card,
    /// Spool.
    Spool,
    /// Cone, sold by mass.
    Cone,
}

impl Winding {
    /// The word, for one and for several.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Winding::Skein => ("skein", "skeins"),
            Winding::Hank => ("hank", "hanks"),
            Winding::Ball => ("ball", "balls"),
            Winding::Card => ("card", "cards"),
            Winding::Spool => ("spool", "spools"),
            Winding::Cone => ("cone", "cones"),
        }
    }
}

/// How a thread is sold: the winding and the length of thread on it, all strands together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PutUp {
    /// The form.
    pub winding: Winding,
    /// As sold, all its strands together.
    pub length: Length,
}

impl PutUp {
    /// A put-up of so many metres, 0.01 to 100,000.
    ///
    /// # Errors
    /// [`Code::OutOfRange`].
    pub fn of_metres(winding: Winding, metres: f64) -> Result<Self, Problem> {
        let metres = within("put-up length", "m", metres, 0.01, 100_000.0)?;
        Ok(PutUp { winding, length: Length::from_mm(metres * 1000.0) })
    }

    /// A cone of so many grams of thread: length through the linear density of all strands.
    ///
    /// # Errors
    /// [`Code::OutOfRange`], in metres.
    pub fn cone(grams: f64, strand: LinearDensity, strands: u32) -> Result<Self, Problem> {
        let metres = grams * 1000.0 / (strand.tex() * f64::from(strands));
        PutUp::of_metres(Winding::Cone, metres)
    }
}

/// One product of thread: what is the same for all its shades.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreadLine {
    /// Its name.
    pub name: String,
    /// Strands in the thread as sold; 1 where it is not divisible.
    pub strands: u32,
    /// Of one strand.
    pub density: LinearDensity,
    /// What it is spun from.
    pub fibre: Fibre,
    /// Share of a strand's section that is fibre.
    pub packing: f64,
    /// Measured width of one strand; wins over the computed diameter.
    pub measured_width_mm: Option<f64>,
    /// How it is sold.
    pub put_up: PutUp,
    /// Habits that differ for this line.
    pub habits: HabitChanges,
}

impl ThreadLine {
    /// Linear density of a strand where none is given, tex (assumption: common practice, no source).
    pub const DEFAULT_TEX: f64 = 40.0;
    /// Packing where none is given (assumption; with cotton it gives 1.096, Peirce's 1.1).
    pub const DEFAULT_PACKING: f64 = 0.6;

    /// Diameter of one strand in millimetres, measured or computed.
    pub fn strand_mm(&self) -> f64 {
        self.measured_width_mm.unwrap_or_else(|| {
            ROUND_STRAND_MM * (self.density.tex() / (self.packing * self.fibre.density())).sqrt()
        })
    }

    /// Says whether the numbers are within their limits.
    ///
    /// # Errors
    /// [`Code::OutOfRange`] for the first that is not.
    pub fn check(&self) -> Result<(), Problem> {
        within("packing", "", self.packing, 0.05, 1.0)?;
        within("fibre density", "g/cm3", self.fibre.density(), 0.1, 25.0)?;
        if let Some(width) = self.measured_width_mm {
            within("strand width", "mm", width, 0.005, 10.0)?;
        }
        within("strands", "", f64::from(self.strands), 1.0, f64::from(limits::STRANDS))?;
        Ok(())
    }
}

/// One colour of one thread line, with the user's own code.
#[derive(Debug, Clone, PartialEq)]
pub struct Shade {
    /// The code.
    pub code: String,
    /// What it is called; may be empty.
    pub name: String,
    /// Index of its thread line.
    pub line: usize,
}

/// A bead that is sewn on, counted in pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Bead {
    /// The code.
    pub code: String,
    /// What it is called; may be empty.
    pub name: String,
    /// How much longer a leg becomes by the bead on it.
    pub size: Length,
    /// Pieces in a packet.
    pub packet: u32,
}

impl Bead {
    /// A bead of a size of 0.1 to 50 mm.
    ///
    /// # Errors
    /// [`Code::OutOfRange`].
    pub fn new(code: String, name: String, size_mm: f64, packet: u32) -> Result<Self, Problem> {
        let size = Length::from_mm(within("bead size", "mm", size_mm, 0.1, 50.0)?);
        if packet == 0 || packet > limits::PIECES {
            return Err(Problem::new(
                Code::OutOfRange,
                Place::Part(format!("bead '{code}'")),
                format!("a packet of {packet} pieces"),
                format!("give 1 to {} pieces", limits::PIECES),
            ));
        }
        Ok(Bead { code, name, size, packet })
    }
}
