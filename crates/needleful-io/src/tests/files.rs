//! Files on disk.

use super::*;
use crate::read_path;
use needleful::limits;
use std::fs::{self, File};
use std::path::PathBuf;

/// A folder of its own that goes when it is dropped.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("needleful-io-{name}-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        Folder(folder)
    }

    fn write(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.0.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, bytes).unwrap();
        path
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

#[test]
fn a_project_and_the_chart_beside_it() {
    let folder = Folder::new("beside");
    folder.write("charts/ground.csv", b"a,a,\n,a,.\n");
    let with_csv = changed("rows = [\"aa.\", \".a \"]", "csv = \"charts/ground.csv\"");
    let path = folder.write("p.toml", with_csv.as_bytes());
    assert_eq!(read_path(&path).unwrap(), read_with(SMALL, &[]).unwrap());
}

#[test]
fn files_that_cannot_be_read() {
    let folder = Folder::new("missing");
    let found = read_path(&folder.0.join("p.toml")).unwrap_err();
    says(&found, Code::CannotRead, &["p.toml: there is no such file", "check its name"]);
    fs::create_dir_all(folder.0.join("d.toml")).unwrap();
    says(&read_path(&folder.0.join("d.toml")).unwrap_err(), Code::CannotRead, &["it is not a file"]);
    let path = folder.write("p.yaml", b"");
    says(&read_path(&path).unwrap_err(), Code::FileKind, &["'yaml'", ".toml or .json"]);

    let path = folder.write("q.toml", changed("rows = [\"aa.\", \".a \"]", "csv = \"no.csv\"").as_bytes());
    says(&read_path(&path).unwrap_err(), Code::CannotRead, &["no.csv: there is no such file"]);
}

#[test]
fn charts_outside_the_folder_are_refused() {
    for name in ["../ground.csv", "/etc/ground.csv", "a/../../ground.csv"] {
        let toml = changed("rows = [\"aa.\", \".a \"]", &format!("csv = \"{name}\""));
        let found = read_with(&toml, &[(name, b"a")]).unwrap_err();
        says(&found, Code::CannotRead, &[name, "does not lie beside the project file", "without '..'"]);
    }
}

#[test]
fn files_beyond_the_limit_are_refused_unread() {
    let folder = Folder::new("large");
    // Sparse: they take no room on the disk, and their contents are no TOML.
    for (name, chart) in [("p.toml", false), ("large.csv", true), ("large.png", true)] {
        File::create(folder.0.join(name)).unwrap().set_len(limits::FILE_BYTES + 1).unwrap();
        let mut path = folder.0.join(name);
        if chart {
            let field = if name.ends_with("csv") { "csv" } else { "png" };
            let toml = changed("rows = [\"aa.\", \".a \"]", &format!("{field} = \"{name}\""));
            path = folder.write("q.toml", toml.as_bytes());
        }
        says(&read_path(&path).unwrap_err(), Code::FileTooLarge, &[name, "at most 67108864 bytes"]);
    }
}

#[test]
fn a_file_at_the_limit_is_read() {
    let folder = Folder::new("limit");
    let mut bytes = SMALL.as_bytes().to_vec();
    bytes.resize(limits::FILE_BYTES as usize, b' ');
    let path = folder.write("p.toml", &bytes);
    assert_eq!(read_path(&path).unwrap(), read_with(SMALL, &[]).unwrap());
}
