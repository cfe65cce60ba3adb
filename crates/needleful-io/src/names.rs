//! Names to indexes, and fields of which one must be chosen.

use crate::text::{clip, problem};
use needleful::{Code, Problem};
use std::collections::HashMap;

/// The names of one kind of part, each with its index; of equal names the first counts.
#[derive(Debug)]
pub(crate) struct Names<'a> {
    kind: &'static str,
    indexes: HashMap<&'a str, usize>,
}

impl<'a> Names<'a> {
    /// The names in the order of the file; `kind` is what they name.
    pub(crate) fn new(kind: &'static str, names: impl Iterator<Item = &'a str>) -> Self {
        let mut indexes = HashMap::new();
        for (index, name) in names.enumerate() {
            indexes.entry(name).or_insert(index);
        }
        Names { kind, indexes }
    }

    /// The index of a name that `owner` uses.
    ///
    /// # Errors
    /// [`Code::UnknownName`].
    pub(crate) fn find(&self, name: &str, owner: &str) -> Result<usize, Problem> {
        self.indexes.get(name).copied().ok_or_else(|| {
            let what = format!("there is no {} '{}'", self.kind, clip(name));
            problem(Code::UnknownName, owner, what, format!("define the {}, or name another", self.kind))
        })
    }
}

/// The one that is given of several fields, if any.
///
/// # Errors
/// `code` when more than one is given.
pub(crate) fn at_most_one<T, const N: usize>(
    code: Code,
    owner: &str,
    fields: [(&str, Option<T>); N],
) -> Result<Option<T>, Problem> {
    let names = fields.each_ref().map(|(name, _)| *name);
    let mut given: Vec<(&str, T)> =
        fields.into_iter().filter_map(|(name, value)| Some((name, value?))).collect();
    if given.len() > 1 {
        let all: Vec<&str> = given.iter().map(|(name, _)| *name).collect();
        let what = format!("{} are given together", all.join(" and "));
        return Err(problem(code, owner, what, format!("give only one of {}", names.join(", "))));
    }
    Ok(given.pop().map(|(_, value)| value))
}

/// The one that is given of several fields.
///
/// # Errors
/// `code` when none or more than one is given.
pub(crate) fn exactly_one<T, const N: usize>(
    code: Code,
    owner: &str,
    fields: [(&str, Option<T>); N],
) -> Result<T, Problem> {
    let names = fields.each_ref().map(|(name, _)| *name).join(", ");
    at_most_one(code, owner, fields)?
        .ok_or_else(|| problem(code, owner, format!("none of {names} is given"), "give one of them"))
}
