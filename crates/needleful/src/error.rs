//! What can be wrong, where, and how to mend it.
//!
//! Every problem carries a [`Code`] with a stable number (core 1xx, files 2xx, faces 3xx), a
//! [`Place`] and a sentence with the mend. A check returns [`Problems`]: all of them, not the first.

use std::fmt;

/// How many problems a check keeps; it counts the rest.
pub const PROBLEMS_KEPT: usize = 100;

/// The boundaries through which callers reach the library.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// This crate and the file crate, called from Rust.
    Rust,
    /// The `needleful` command.
    Shell,
}

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $number:literal, $text:literal, [$($face:ident)*];)*) => {
        /// Stable error numbers. A number is never given a new meaning.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[non_exhaustive]
        #[repr(u16)]
        pub enum Code {
            $($(#[$doc])* #[doc = concat!($text, ".")] $name = $number,)*
        }

        impl Code {
            /// The whole table, by number.
            pub const ALL: &'static [Code] = &[$(Code::$name,)*];

            /// The stable number.
            pub fn number(self) -> u16 {
                self as u16
            }

            /// What the number means, in a few words.
            pub fn text(self) -> &'static str {
                match self { $(Code::$name => $text,)* }
            }

            /// The faces where it can arise.
            pub fn faces(self) -> &'static [Face] {
                match self { $(Code::$name => &[$(Face::$face),*],)* }
            }
        }
    };
}

codes! {
    OutOfRange = 101, "a value is outside its limits", [Rust Shell];
    TooLarge = 102, "the design is larger than the limits allow", [Rust Shell];
    RaggedRows = 103, "the rows of a chart differ in length", [Rust Shell];
    UnknownSymbol = 104, "a symbol is missing from the legend", [Rust Shell];
    Duplicate = 105, "a name or symbol is given twice", [Rust Shell];
    UnknownName = 106, "a name refers to nothing", [Rust Shell];
    EmptyNeedle = 107, "a needle holds no strand", [Rust Shell];
    ZeroLength = 108, "a line has no length", [Rust Shell];
    OffFabric = 109, "something lies outside its layer", [Rust Shell];
    Overlap = 110, "stitches overlap", [Rust Shell];
    OffGrid = 111, "a place is not a hole of the fabric", [Rust Shell];
    WrongStitch = 112, "a stitch stands where its kind cannot", [Rust Shell];
    DoublesBack = 113, "a line doubles back on itself", [Rust Shell];
    StitchTooLong = 114, "a stitch is too long for the needleful", [Rust Shell];
    HabitsDisagree = 115, "two habits contradict each other", [Rust Shell];
    SumTooLarge = 116, "the thread of the design exceeds what can be counted", [Rust Shell];
    CannotRead = 201, "a file cannot be read", [Rust Shell];
    NotUtf8 = 202, "a text is not UTF-8", [Rust Shell];
    Syntax = 203, "a file is not well-formed", [Rust Shell];
    WrongShape = 204, "a field is unknown, missing or of the wrong type", [Rust Shell];
    Version = 205, "the file's version is not known", [Rust Shell];
    FileTooLarge = 206, "a file exceeds the size limit", [Rust Shell];
    BadPng = 207, "a PNG chart cannot be used", [Rust Shell];
    UnknownPixel = 208, "a pixel's colour is not in the legend", [Rust Shell];
    BadCsv = 209, "a CSV chart cannot be used", [Rust Shell];
    ChartChoice = 210, "a layer needs one chart, or a size", [Rust Shell];
    FileKind = 211, "the kind of file is not known", [Rust Shell];
    Usage = 301, "the command is not used rightly", [Shell];
    CannotWrite = 302, "the result cannot be written", [Shell];
}

/// Where in the design a problem sits. Cells are shown counted from 1, column and row; holes
/// from 0, in cells.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Place {
    /// The design as a whole.
    Design,
    /// A named part: a field, a shade, a needle, a legend entry.
    Part(String),
    /// A cell of a layer, from 0.
    Cell {
        /// Name of the layer.
        layer: String,
        /// Column from 0.
        column: u32,
        /// Row from 0.
        row: u32,
    },
    /// A hole of a layer, in cells from the layer's upper left corner.
    Hole {
        /// Name of the layer.
        layer: String,
        /// From the left, in cells.
        x: f64,
        /// From the top, in cells.
        y: f64,
    },
    /// A line of a file, from 1.
    Line {
        /// Name of the file.
        file: String,
        /// Line from 1.
        line: usize,
        /// Column from 1.
        column: usize,
    },
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::Design => f.write_str("design"),
            Place::Part(name) => f.write_str(name),
            Place::Cell { layer, column, row } => {
                write!(f, "layer '{layer}', column {}, row {}", column + 1, row + 1)
            }
            Place::Hole { layer, x, y } => write!(f, "layer '{layer}', hole [{x}, {y}]"),
            Place::Line { file, line, column } => write!(f, "{file}, line {line}, column {column}"),
        }
    }
}

/// One thing that is wrong: its code, its place, what was found and how to mend it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{place}: {what}; {mend} [{}]", code.number())]
pub struct Problem {
    /// Stable number.
    pub code: Code,
    /// Where.
    pub place: Place,
    /// What was found.
    pub what: String,
    /// What to do about it.
    pub mend: String,
}

impl Problem {
    /// A problem at a place.
    pub fn new(code: Code, place: Place, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Problem { code, place, what: what.into(), mend: mend.into() }
    }
}

/// All problems of a check, in the order found; at most [`PROBLEMS_KEPT`] are kept, all are counted.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Problems {
    kept: Vec<Problem>,
    total: usize,
}

impl Problems {
    /// No problem yet.
    pub fn new() -> Self {
        Problems::default()
    }

    /// Adds one.
    pub fn push(&mut self, problem: Problem) {
        if self.kept.len() < PROBLEMS_KEPT {
            self.kept.push(problem);
        }
        self.total += 1;
    }

    /// Adds the problem of a failed step, or hands out its value.
    pub fn note<T>(&mut self, step: Result<T, Problem>) -> Option<T> {
        step.map_err(|problem| self.push(problem)).ok()
    }

    /// The problems kept.
    pub fn list(&self) -> &[Problem] {
        &self.kept
    }

    /// How many there were.
    pub fn total(&self) -> usize {
        self.total
    }

    /// `value` if there was no problem, else all of them.
    ///
    /// # Errors
    /// The problems themselves, when there is at least one.
    pub fn or<T>(self, value: T) -> Result<T, Problems> {
        if self.total == 0 { Ok(value) } else { Err(self) }
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Problems { kept: vec![problem], total: 1 }
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.kept.iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{problem}")?;
        }
        if self.total > self.kept.len() {
            write!(f, "\n… and {} more", self.total - self.kept.len())?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}
