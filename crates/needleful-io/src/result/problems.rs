//! Problems as JSON.

use needleful::{Problem, Problems};
use serde::Serialize;

/// All problems of a check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ProblemsResult<'a> {
    /// Those that were kept, in the order found.
    pub problems: Vec<ProblemResult<'a>>,
    /// How many there were.
    pub total: usize,
}

/// One problem.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ProblemResult<'a> {
    /// Stable number.
    pub code: u16,
    /// Where, in words.
    pub place: String,
    /// What was found.
    pub what: &'a str,
    /// What to do about it.
    pub mend: &'a str,
}

impl<'a> From<&'a Problems> for ProblemsResult<'a> {
    fn from(problems: &'a Problems) -> Self {
        ProblemsResult {
            problems: problems.list().iter().map(ProblemResult::from).collect(),
            total: problems.total(),
        }
    }
}

impl<'a> From<&'a Problem> for ProblemResult<'a> {
    fn from(problem: &'a Problem) -> Self {
        ProblemResult {
            code: problem.code.number(),
            place: problem.place.to_string(),
            what: &problem.what,
            mend: &problem.mend,
        }
    }
}
