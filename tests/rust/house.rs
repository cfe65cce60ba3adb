//! Rules of the house: the module list is the data flow, files stay small, one version, nothing newer
//! than the declared Rust.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(sources(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}

/// The modules of a crate in the order of its front page.
fn modules(lib: &str) -> Vec<String> {
    let name = |line: &str| Some(line.trim().trim_start_matches("pub ").strip_prefix("mod ")?.to_owned());
    let names = lib.lines().filter(|line| !line.starts_with(' ')).filter_map(name);
    names.filter_map(|name| name.strip_suffix(';').map(str::to_owned)).collect()
}

/// The modules that a source names after `crate::`, in `use` lines and inline.
fn named(source: &str) -> BTreeSet<String> {
    let code = source.lines().filter(|line| !line.trim_start().starts_with("//"));
    let code: String = code.collect::<Vec<_>>().join("\n");
    let names = code.split("crate::").skip(1).flat_map(|rest| {
        let group = rest.strip_prefix('{').map(|group| group.split('}').next().unwrap_or(""));
        let names = group.map_or_else(|| vec![rest], |group| group.split(',').collect());
        names
            .into_iter()
            .map(|name| {
                let name = name.trim_start();
                let end = name.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(name.len());
                name[..end].to_owned()
            })
            .collect::<Vec<_>>()
    });
    names.filter(|name| !name.is_empty()).collect()
}

#[test]
fn a_module_uses_only_those_above_it() {
    for folder in ["crates/needleful/src", "crates/needleful-io/src"] {
        let folder = root().join(folder);
        let order = modules(&std::fs::read_to_string(folder.join("lib.rs")).unwrap());
        assert!(order.len() > 10);
        let rank = |name: &str| order.iter().position(|module| module == name);
        for file in sources(&folder) {
            let inside = file.strip_prefix(&folder).unwrap();
            let module = inside.components().next().unwrap().as_os_str().to_string_lossy().replace(".rs", "");
            if ["lib", "tests"].contains(&module.as_str()) || inside.ends_with("tests.rs") {
                continue;
            }
            let own = rank(&module).unwrap_or_else(|| panic!("{module} is not on the front page"));
            for used in named(&std::fs::read_to_string(&file).unwrap()) {
                let used_rank = rank(&used).unwrap_or_else(|| panic!("{}: crate::{used}", inside.display()));
                assert!(used_rank <= own, "{} uses {used}, which stands below it", inside.display());
            }
        }
    }
}

#[test]
fn files_stay_small() {
    for folder in ["crates", "bindings", "tests", "benches"] {
        for file in sources(&root().join(folder)) {
            let lines = std::fs::read_to_string(&file).unwrap().lines().count();
            assert!(lines <= 800, "{} has {lines} lines", file.display());
        }
    }
}

fn metadata() -> Value {
    let mut cargo = Command::new(std::env::var("CARGO").unwrap_or_else(|_| "cargo".into()));
    cargo.args(["metadata", "--format-version", "1", "--locked"]).current_dir(root());
    let output = cargo.output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn one_version_for_everything() {
    let metadata = metadata();
    let own: Vec<&Value> = metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|package| package["source"].is_null())
        .collect();
    assert!(own.len() >= 5);
    let version = own[0]["version"].as_str().unwrap();
    for package in &own {
        assert_eq!(package["version"], version, "{}", package["name"]);
    }
    let log = std::fs::read_to_string(root().join("CHANGELOG.md")).unwrap();
    let newest = log.lines().find(|line| line.starts_with("## ")).unwrap();
    assert!(newest.contains(version), "the changelog begins with {newest}");
}

#[test]
fn nothing_asks_for_a_newer_rust_than_declared() {
    let metadata = metadata();
    let packages = metadata["packages"].as_array().unwrap();
    let number =
        |version: &str| -> Vec<u32> { version.split('.').map(|part| part.parse().unwrap()).collect() };
    let own = packages.iter().find(|package| package["name"] == "needleful").unwrap();
    let declared = number(own["rust_version"].as_str().unwrap());
    for package in packages {
        if let Some(asked) = package["rust_version"].as_str() {
            let mut asked = number(asked);
            asked.truncate(2);
            assert!(asked <= declared, "{} asks for Rust {asked:?}", package["name"]);
        }
    }
}

#[test]
fn the_core_has_next_to_no_dependencies() {
    let metadata = metadata();
    let packages = metadata["packages"].as_array().unwrap();
    let core = packages.iter().find(|package| package["name"] == "needleful").unwrap();
    let normal = core["dependencies"].as_array().unwrap().iter().filter(|d| d["kind"].is_null());
    let names: Vec<&str> = normal.map(|dependency| dependency["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["thiserror"]);
}
