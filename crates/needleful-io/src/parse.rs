//! From the text of a project file to its fields.

use crate::file::FileKind;
use crate::text::{self, clip};
use crate::wire::{ProjectFile, VERSION};
use needleful::{Code, Place, Problem};
use serde::Deserialize;
use serde_json::error::Category;
use toml::de::{DeInteger, DeTable};

/// The fields of a project file.
///
/// # Errors
/// [`Code::Syntax`], [`Code::Version`], [`Code::WrongShape`]: the first that is found, with its line.
pub(crate) fn parse(name: &str, kind: FileKind, text: &str) -> Result<ProjectFile, Problem> {
    match kind {
        FileKind::Toml => parse_toml(name, text),
        FileKind::Json => parse_json(name, text),
    }
}

fn parse_toml(name: &str, text: &str) -> Result<ProjectFile, Problem> {
    let place = |at: usize| text::place(name, text.as_bytes(), at);
    let table = DeTable::parse(text).map_err(|error| {
        let at = error.span().map_or(0, |span| span.start);
        syntax(place(at), error.message(), "TOML")
    })?;
    // Before all else: a later version may have fields that this one does not know.
    if let Some(field) = table.get_ref().get("needleful")
        && let Some(version) = field.get_ref().as_integer().and_then(integer)
        && version != i64::from(VERSION)
    {
        return Err(unknown_version(place(field.span().start), version));
    }
    serde_path_to_error::deserialize(toml::Deserializer::from(table)).map_err(|error| {
        let at = error.inner().span().map_or(0, |span| span.start);
        wrong_shape(place(at), &error.path().to_string(), error.inner().message())
    })
}

fn integer(number: &DeInteger<'_>) -> Option<i64> {
    i64::from_str_radix(number.as_str(), number.radix()).ok()
}

fn parse_json(name: &str, text: &str) -> Result<ProjectFile, Problem> {
    let place = |error: &serde_json::Error| Place::Line {
        file: name.to_owned(),
        line: error.line().max(1),
        column: error.column().max(1),
    };
    let in_json = || Place::Part(format!("{name}, needleful"));
    let mut json = serde_json::Deserializer::from_str(text);
    let file: ProjectFile = serde_path_to_error::deserialize(&mut json).map_err(|error| {
        let message = json_message(error.inner());
        match (error.inner().classify(), json_version(text)) {
            // Before all else, as above.
            (Category::Data, Some(version)) if version != i64::from(VERSION) => {
                unknown_version(in_json(), version)
            }
            (Category::Data, _) => wrong_shape(place(error.inner()), &error.path().to_string(), &message),
            _ => syntax(place(error.inner()), &message, "JSON"),
        }
    })?;
    json.end().map_err(|error| syntax(place(&error), &json_message(&error), "JSON"))?;
    if file.needleful == VERSION { Ok(file) } else { Err(unknown_version(in_json(), file.needleful.into())) }
}

/// The message without the place that follows it.
fn json_message(error: &serde_json::Error) -> String {
    let message = error.to_string();
    let place = format!(" at line {} column {}", error.line(), error.column());
    message.strip_suffix(&place).unwrap_or(&message).to_owned()
}

/// The version, whatever the other fields are.
fn json_version(text: &str) -> Option<i64> {
    #[derive(Deserialize)]
    struct Peek {
        needleful: i64,
    }
    Some(serde_json::from_str::<Peek>(text).ok()?.needleful)
}

fn unknown_version(place: Place, version: i64) -> Problem {
    let what = format!("version {version} of the project file is not known");
    Problem::new(Code::Version, place, what, format!("write it as version {VERSION}"))
}

fn syntax(place: Place, message: &str, language: &str) -> Problem {
    Problem::new(Code::Syntax, place, clip(message), format!("write it as {language} has it"))
}

/// What the library says of a field, in the words of this crate.
fn wrong_shape(place: Place, path: &str, message: &str) -> Problem {
    let (what, expected) = message.rsplit_once(", expected ").unwrap_or((message, ""));
    let mend = match expected {
        "" if what.starts_with("missing field") => "add it".to_owned(),
        "" if what.starts_with("duplicate") => "give it once".to_owned(),
        "" => "give it as the format's page says".to_owned(),
        expected if what.starts_with("unknown") => format!("use {}", expected.replace('`', "'")),
        expected => format!("give {}", plain(expected)),
    };
    // The path of an unknown field ends in its name, which is told anyway.
    let unknown = what.strip_prefix("unknown field `").and_then(|rest| rest.strip_suffix('`'));
    let path = path.strip_suffix(unknown.unwrap_or(".")).unwrap_or(path);
    let path = path.strip_suffix('.').unwrap_or(path);
    let what = clip(&what.replace('`', "'"));
    let what = if path.is_empty() { what } else { format!("{}: {what}", clip(path)) };
    Problem::new(Code::WrongShape, place, what, mend)
}

/// What was expected, without the words of the language this is written in.
fn plain(expected: &str) -> String {
    let whole = |most: u64| format!("a whole number from 0 to {most}");
    match expected {
        "f64" => "a number".to_owned(),
        "u8" => whole(u8::MAX.into()),
        "u32" => whole(u32::MAX.into()),
        "a sequence" => "a list".to_owned(),
        "a string" => "a text".to_owned(),
        "a boolean" => "true or false".to_owned(),
        "an array of length 2" => "a pair".to_owned(),
        _ if expected.starts_with("struct ") => "a table of fields".to_owned(),
        _ => expected.to_owned(),
    }
}
