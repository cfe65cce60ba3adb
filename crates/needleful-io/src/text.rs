//! From bytes to text, and places in a text.

use needleful::{Code, Place, Problem};

/// Most characters of a name or a value that a message repeats.
const SHOWN: usize = 200;

/// The text of a file, without a byte order mark.
///
/// # Errors
/// [`Code::NotUtf8`] with the line and column of the first byte that is none.
pub(crate) fn utf8<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, Problem> {
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let sound = error.valid_up_to();
        Problem::new(
            Code::NotUtf8,
            place(name, bytes, sound),
            format!("byte {} is not UTF-8", sound + 1),
            "save the file as UTF-8",
        )
    })?;
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}

/// Line and column, in characters, of a byte of a text that is UTF-8 up to there.
pub(crate) fn place(name: &str, text: &[u8], at: usize) -> Place {
    let before = text.get(..at).unwrap_or(text);
    let line = before.iter().filter(|&&byte| byte == b'\n').count() + 1;
    let start = before.iter().rposition(|&byte| byte == b'\n').map_or(0, |newline| newline + 1);
    // Bytes that continue a character do not count.
    let column = before.iter().skip(start).filter(|&&byte| byte & 0xc0 != 0x80).count() + 1;
    Place::Line { file: name.to_owned(), line, column }
}

/// A text as a message may repeat it: cut short where it is long.
pub(crate) fn clip(text: &str) -> String {
    match text.char_indices().nth(SHOWN) {
        None => text.to_owned(),
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or_default()),
    }
}

/// The owner of a value as places name it: `shade 'Q01'`.
pub(crate) fn owner(kind: &str, name: &str) -> String {
    format!("{kind} '{}'", clip(name))
}

/// A problem at a named part.
pub(crate) fn problem(code: Code, part: &str, what: impl Into<String>, mend: impl Into<String>) -> Problem {
    Problem::new(code, Place::Part(part.to_owned()), what, mend)
}

/// The same problem, with its owner named before its place.
pub(crate) fn of(owner: &str, problem: Problem) -> Problem {
    let place = problem.place.to_string();
    let place = if place.starts_with(owner) { place } else { format!("{owner}, {place}") };
    Problem { place: Place::Part(place), ..problem }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_that_are_not_utf8_are_named_with_line_and_column() {
        let found = utf8("a.toml", b"one\nt\xc3\xa4\xff").unwrap_err();
        assert_eq!(found.code, Code::NotUtf8);
        assert_eq!(
            found.to_string(),
            "a.toml, line 2, column 3: byte 8 is not UTF-8; save the file as UTF-8 [202]"
        );
        assert_eq!(utf8("a.toml", b"\xef\xbb\xbfok").unwrap(), "ok");
    }

    #[test]
    fn long_names_are_cut_short() {
        assert_eq!(clip("ä"), "ä");
        assert_eq!(clip(&"ä".repeat(SHOWN)).chars().count(), SHOWN);
        assert_eq!(clip(&"ä".repeat(SHOWN + 1)).chars().count(), SHOWN + 1);
        assert!(clip(&"ä".repeat(SHOWN + 1)).ends_with('…'));
    }
}
