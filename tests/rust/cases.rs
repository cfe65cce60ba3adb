//! The cases of `tests/cases`, through Rust and through the shell, and that both say the same.

// A test that cannot go on stops.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use needleful::error::Face;
use needleful::{Code, Problems, check_kit, estimate};
use needleful_io::result::{ProblemsResult, check_result, estimate_result};
use needleful_tests::needleful;
use serde_json::Value;
use std::path::{Path, PathBuf};

type Told = Result<Value, Value>;

fn rust(file: &Path, run: &str) -> Told {
    let said = |problems: Problems| serde_json::to_value(ProblemsResult::from(&problems)).unwrap();
    let project = needleful_io::read_path(file).map_err(said)?;
    if run == "check" {
        let check = check_kit(&project.design, &project.kit.unwrap()).map_err(said)?;
        return Ok(serde_json::to_value(check_result(&project.design, &check).map_err(said)?).unwrap());
    }
    let estimate = estimate(&project.design).map_err(said)?;
    Ok(serde_json::to_value(estimate_result(&project.design, &estimate).map_err(said)?).unwrap())
}

fn shell(file: &Path, run: &str) -> Told {
    let output = needleful().arg(run).arg("--json").arg(file).output().unwrap();
    if output.status.success() {
        assert!(output.stderr.is_empty());
        return Ok(serde_json::from_slice(&output.stdout).unwrap());
    }
    assert_eq!(output.status.code(), Some(3));
    assert!(output.stdout.is_empty(), "something on standard output beside a problem");
    Err(serde_json::from_slice(&output.stderr).unwrap())
}

/// A case, ready to run in a folder of its own.
struct Case {
    name: String,
    table: toml::Table,
    file: PathBuf,
}

fn cases() -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    let work = std::env::temp_dir().join(format!("needleful-cases-{}", std::process::id()));
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|f| f.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|ending| ending == "toml"));
    files.sort();
    let mut cases = Vec::new();
    for file in files {
        let corpus = std::fs::read_to_string(&file).unwrap().parse::<toml::Table>();
        let corpus = corpus.unwrap_or_else(|error| panic!("{}: {}", file.display(), error.message()));
        let base = corpus["base"].as_str().unwrap();
        for case in corpus["case"].as_array().unwrap() {
            let table = case.as_table().unwrap().clone();
            let name = format!("{}: {}", file.file_stem().unwrap().display(), text(&table, "name"));
            let place = work.join(cases.len().to_string());
            let file = lay(base, &table, &place, &name);
            cases.push(Case { name, table, file });
        }
    }
    cases
}

fn text(table: &toml::Table, key: &str) -> String {
    table.get(key).unwrap_or_else(|| panic!("no {key} in {table}")).as_str().unwrap().to_owned()
}

/// Writes the files of a case into a folder and names the project file.
fn lay(base: &str, case: &toml::Table, place: &Path, name: &str) -> PathBuf {
    std::fs::create_dir_all(place).unwrap();
    let mut project = base.to_owned();
    for pair in case.get("replace").map_or(&Vec::new(), |pairs| pairs.as_array().unwrap()) {
        let (from, to) = (pair[0].as_str().unwrap(), pair[1].as_str().unwrap());
        assert!(project.contains(from), "{name}: nothing to replace: {from}");
        project = project.replace(from, to);
    }
    let file = place.join(case.get("file").map_or("project.toml", |file| file.as_str().unwrap()));
    if !case.get("missing").is_some_and(|missing| missing.as_bool().unwrap()) {
        std::fs::write(&file, project).unwrap();
    }
    if let Some(bytes) = case.get("size_bytes") {
        let stretched = std::fs::OpenOptions::new().write(true).open(&file).unwrap();
        stretched.set_len(bytes.as_integer().unwrap() as u64).unwrap();
    }
    for (name, text) in case.get("files").map_or(&toml::Table::new(), |files| files.as_table().unwrap()) {
        std::fs::write(place.join(name), text.as_str().unwrap()).unwrap();
    }
    for (name, hex) in case.get("hex").map_or(&toml::Table::new(), |files| files.as_table().unwrap()) {
        let digits: Vec<u8> = hex.as_str().unwrap().bytes().filter(u8::is_ascii_hexdigit).collect();
        let byte = |pair: &[u8]| u8::from_str_radix(std::str::from_utf8(pair).unwrap(), 16).unwrap();
        std::fs::write(place.join(name), digits.chunks(2).map(byte).collect::<Vec<u8>>()).unwrap();
    }
    file
}

fn at<'a>(value: &'a Value, path: &str) -> &'a Value {
    path.split('.').fold(value, |value, step| match step.parse::<usize>() {
        Ok(index) => &value[index],
        Err(_) => &value[step],
    })
}

fn judge(case: &Case, told: &Told, face: &str) {
    let name = format!("{} ({face})", case.name);
    if let Some(code) = case.table.get("fails") {
        let said = told.as_ref().expect_err(&name);
        let first = &said["problems"][0];
        assert_eq!(first["code"].as_i64(), code.as_integer(), "{name}: {said}");
        let sentence = format!("{}: {}; {}", first["place"], first["what"], first["mend"]);
        for words in case.table["says"].as_array().unwrap() {
            assert!(sentence.contains(words.as_str().unwrap()), "{name}: {words} not in {sentence}");
        }
        return;
    }
    let result = told.as_ref().unwrap_or_else(|said| panic!("{name}: {said}"));
    assert!(!text(&case.table, "source").is_empty());
    for expected in case.table["expect"].as_array().unwrap() {
        let path = expected["at"].as_str().unwrap();
        let found = at(result, path);
        match (&expected["is"], expected.get("within")) {
            (toml::Value::Float(number), within) => {
                let within = within.map_or(0.0, |within| within.as_float().unwrap());
                let found = found.as_f64().unwrap_or_else(|| panic!("{name}: no number at {path}"));
                assert!((found - number).abs() <= within * number.abs(), "{name}: {path} is {found}");
            }
            (toml::Value::Integer(number), _) => assert_eq!(found.as_i64(), Some(*number), "{name}: {path}"),
            (toml::Value::Boolean(truth), _) => assert_eq!(found.as_bool(), Some(*truth), "{name}: {path}"),
            (text, _) => assert_eq!(found.as_str(), text.as_str(), "{name}: {path}"),
        }
    }
}

#[test]
fn every_case_through_rust_and_shell() {
    let cases = cases();
    assert!(cases.len() > 30);
    for case in &cases {
        let run = case.table.get("run").map_or("estimate", |run| run.as_str().unwrap());
        let (by_rust, by_shell) = (rust(&case.file, run), shell(&case.file, run));
        judge(case, &by_rust, "Rust");
        judge(case, &by_shell, "shell");
        assert_eq!(by_rust, by_shell, "{}: the faces differ", case.name);
    }
}

#[test]
fn every_code_of_the_rust_column_has_a_case() {
    let cases = cases();
    let fails: Vec<i64> = cases.iter().filter_map(|case| case.table.get("fails")?.as_integer()).collect();
    for code in Code::ALL.iter().filter(|code| code.faces().contains(&Face::Rust)) {
        assert!(fails.contains(&i64::from(code.number())), "no case for {} ({})", code.number(), code.text());
    }
}
