//! Files: read no further than the limit, and only beside the project file.

use crate::text::{clip, problem};
use needleful::{Code, Problem, limits};
use std::fs::File;
use std::io::{self, Read};
use std::path::{Component, Path};

/// What a project file is written in; its ending says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// `.toml`
    Toml,
    /// `.json`
    Json,
}

impl FileKind {
    /// The kind by the ending of a file's name, in capitals or not.
    ///
    /// # Errors
    /// [`Code::FileKind`] for any other ending.
    pub fn of(name: &str) -> Result<FileKind, Problem> {
        let ending = Path::new(name).extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        match ending.to_ascii_lowercase().as_str() {
            "toml" => Ok(FileKind::Toml),
            "json" => Ok(FileKind::Json),
            _ => {
                let what = format!("the ending '{}' says nothing of its kind", clip(ending));
                Err(problem(Code::FileKind, &clip(name), what, "name the file .toml or .json"))
            }
        }
    }
}

/// The bytes of a file, if they are no more than the limit.
///
/// # Errors
/// [`Code::CannotRead`], [`Code::FileTooLarge`].
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, Problem> {
    let name = path.display().to_string();
    let cannot = |error: io::Error| cannot_read(&name, error.kind(), &error.to_string());
    // Asked before it is opened: opening a pipe would wait.
    let about = std::fs::metadata(path).map_err(cannot)?;
    if !about.is_file() {
        return Err(problem(Code::CannotRead, &name, "it is not a file", "name a file"));
    }
    check_size(&name, about.len())?;
    let mut bytes = Vec::new();
    // It may have grown since.
    File::open(path).map_err(cannot)?.take(limits::FILE_BYTES + 1).read_to_end(&mut bytes).map_err(cannot)?;
    check_size(&name, bytes.len() as u64)?;
    Ok(bytes)
}

fn cannot_read(name: &str, kind: io::ErrorKind, error: &str) -> Problem {
    let (what, mend) = match kind {
        io::ErrorKind::NotFound => ("there is no such file", "check its name"),
        io::ErrorKind::PermissionDenied => ("reading it is not permitted", "change its permissions"),
        _ => (error, "check the file and the disk it is on"),
    };
    problem(Code::CannotRead, name, what, mend)
}

/// Says whether a file is within the size limit.
///
/// # Errors
/// [`Code::FileTooLarge`].
pub(crate) fn check_size(name: &str, bytes: u64) -> Result<(), Problem> {
    if bytes <= limits::FILE_BYTES {
        return Ok(());
    }
    let mend = format!("give a file of at most {} bytes", limits::FILE_BYTES);
    Err(problem(Code::FileTooLarge, &clip(name), "it is too large", mend))
}

/// Says whether a chart's name stays beside the project file.
///
/// # Errors
/// [`Code::CannotRead`].
pub(crate) fn check_beside(name: &str) -> Result<(), Problem> {
    // A backslash or a colon would lead elsewhere on some systems only.
    let foreign = name.contains(['\\', ':', '\0']);
    let inside = |part| matches!(part, Component::Normal(_) | Component::CurDir);
    if !foreign && !name.is_empty() && Path::new(name).components().all(inside) {
        return Ok(());
    }
    let what = format!("the chart '{}' does not lie beside the project file", clip(name));
    let mend = "name a file in the same folder or below it, with '/' and without '..'";
    Err(problem(Code::CannotRead, &clip(name), what, mend))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ending_says_the_kind() {
        assert_eq!(FileKind::of("a/b.toml").unwrap(), FileKind::Toml);
        assert_eq!(FileKind::of("B.JSON").unwrap(), FileKind::Json);
        for bad in ["a.yaml", "toml", ".toml", ""] {
            let found = FileKind::of(bad).unwrap_err();
            assert_eq!(found.code, Code::FileKind);
            assert!(found.to_string().contains(".toml or .json"), "{found}");
        }
    }

    #[test]
    fn charts_lie_beside_the_project() {
        for good in ["a.csv", "./a.csv", "charts/a.png", "..a.csv"] {
            check_beside(good).unwrap();
        }
        for bad in
            ["", "..", "/a.csv", "../a.csv", "charts/../../a.csv", "c:\\a.csv", "..\\a.csv", "c:a", "a\0"]
        {
            let found = check_beside(bad).unwrap_err();
            assert_eq!(found.code, Code::CannotRead);
            assert!(found.to_string().contains("without '..'"), "{found}");
        }
    }

    #[test]
    fn sizes_at_the_limit_pass() {
        check_size("a", limits::FILE_BYTES).unwrap();
        let found = check_size("a", limits::FILE_BYTES + 1).unwrap_err();
        assert_eq!(found.code, Code::FileTooLarge);
        assert!(found.to_string().contains("at most 67108864 bytes"), "{found}");
    }

    #[test]
    fn what_is_no_file_is_not_read() {
        let found = read(Path::new(".")).unwrap_err();
        assert_eq!((found.code, found.what.as_str()), (Code::CannotRead, "it is not a file"));
        let found = read(Path::new("no-such-file.toml")).unwrap_err();
        assert!(found.to_string().contains("no-such-file.toml: there is no such file"), "{found}");
    }
}
