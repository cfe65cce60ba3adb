//! What keeps a file from being read as fields.

use super::*;
use needleful::limits;

fn json(text: &str) -> Result<Project, Problems> {
    read("p.json", FileKind::Json, text.as_bytes(), &|_| unreachable!())
}

/// `SMALL` in JSON.
fn small_json() -> String {
    let table: toml::Table = toml::from_str(SMALL).unwrap();
    serde_json::to_string_pretty(&table).unwrap()
}

#[test]
fn toml_and_json_give_the_same_project() {
    assert_eq!(read_with(SMALL, &[]).unwrap(), json(&small_json()).unwrap());
    let marked = format!("\u{feff}{SMALL}").replace('\n', "\r\n");
    assert_eq!(read_with(SMALL, &[]).unwrap(), read_with(&marked, &[]).unwrap());
}

#[test]
fn the_fields_survive_being_written() {
    let file = crate::parse::parse("p.toml", FileKind::Toml, SMALL).unwrap();
    let text = serde_json::to_string(&file).unwrap();
    assert_eq!(crate::parse::parse("p.json", FileKind::Json, &text).unwrap(), file);
    let text = toml::to_string(&file).unwrap();
    assert_eq!(crate::parse::parse("p.toml", FileKind::Toml, &text).unwrap(), file);
}

#[test]
fn text_that_is_not_utf8() {
    let found = read("p.toml", FileKind::Toml, b"needleful = 1\ntitle = \"\xe4\"", &|_| unreachable!());
    says(
        &found.unwrap_err(),
        Code::NotUtf8,
        &["p.toml, line 2, column 10", "byte 24", "save the file as UTF-8"],
    );
}

#[test]
fn files_that_are_not_well_formed() {
    refused("title =", "title", Code::Syntax, &["p.toml, line 3, column", "as TOML has it"]);
    refused("title =", "needleful = 1\ntitle =", Code::Syntax, &["line 3", "duplicate key"]);
    let found = json("{\n  \"needleful\": 1,\n}").unwrap_err();
    says(&found, Code::Syntax, &["p.json, line 3, column 1", "trailing comma", "as JSON has it"]);
    says(&json("").unwrap_err(), Code::Syntax, &["p.json, line 1, column 1", "EOF"]);
    let found = json(&(small_json() + "x")).unwrap_err();
    says(&found, Code::Syntax, &["trailing characters"]);
}

#[test]
fn nesting_that_is_too_deep() {
    let deep = "[".repeat(100_000);
    let found = read_with(&format!("title = {deep}"), &[]).unwrap_err();
    assert_eq!(found.list()[0].code, Code::Syntax, "{found}");
    let found = read_with(&format!("{}b = 1", "a.".repeat(100_000)), &[]).unwrap_err();
    assert!(matches!(found.list()[0].code, Code::Syntax | Code::WrongShape), "{found}");
    let found = json(&deep).unwrap_err();
    assert!(matches!(found.list()[0].code, Code::Syntax | Code::WrongShape), "{found}");
    let found = json(&format!("{{\"title\": {deep}")).unwrap_err();
    assert!(matches!(found.list()[0].code, Code::Syntax | Code::WrongShape), "{found}");
}

#[test]
fn fields_of_the_wrong_shape() {
    let wrong = Code::WrongShape;
    refused(
        "title",
        "titel",
        wrong,
        &["p.toml, line 3, column 1", "unknown field 'titel'", "use one of", "'title'"],
    );
    refused("strands = 6", "strand = 6", wrong, &["line 5", "thread_lines[0]: unknown field 'strand'"]);
    refused("strands = 6, ", "", wrong, &["line 5", "thread_lines[0]", "missing field 'strands'", "add it"]);
    refused(
        "over = 2",
        "over = \"two\"",
        wrong,
        &[
            "line 10, column 37",
            "layers[0].over",
            "string \"two\"",
            "give a whole number from 0 to 4294967295",
        ],
    );
    refused("over = 2", "over = -2", wrong, &["layers[0].over", "-2", "give a whole number"]);
    refused("over = 2", "over = 2.5", wrong, &["layers[0].over", "2.5", "give a whole number"]);
    refused("\"small\"", "3", wrong, &["title", "integer '3'", "give a text"]);
    refused("over = 2", "over = 2, at_threads = [1]", wrong, &["layers[0].at_threads", "give a pair"]);
    refused("28", "\"28\"", wrong, &["fabric.count_per_inch", "give a number"]);
    refused("\"evenweave\"", "\"linen\"", wrong, &["fabric.kind", "'linen'", "'block-weave'"]);
    refused("needleful = 1", "", wrong, &["missing field 'needleful'", "add it"]);
    refused("needleful = 1", "needleful = \"1\"", wrong, &["line 2", "needleful", "give a whole number"]);
    refused(
        "rows = [",
        "png = \"a.png\", png_empty = 256, rows = [",
        wrong,
        &["png_empty", "palette index from 0 to 255"],
    );
    refused(
        "rows = [",
        "png = \"a.png\", png_empty = true, rows = [",
        wrong,
        &["png_empty", "a colour such as"],
    );
}

#[test]
fn fields_of_the_wrong_shape_in_json() {
    let found = json(&small_json().replace("\"over\": 2", "\"over\": \"two\"")).unwrap_err();
    says(&found, Code::WrongShape, &["p.json, line", "layers[0].over", "string \"two\"", "a whole number"]);
    let found = json(&small_json().replace("\"over\": 2", "\"ober\": 2")).unwrap_err();
    says(&found, Code::WrongShape, &["p.json, line", "layers[0]: unknown field 'ober'", "'over'"]);
    let found = json(&small_json().replace("\"over\": 2", "\"over\": 2, \"over\": 2")).unwrap_err();
    says(&found, Code::WrongShape, &["duplicate field 'over'", "give it once"]);
    let found = json(&small_json().replace("\"over\": 2,", "")).unwrap_err();
    says(&found, Code::WrongShape, &["missing field 'over'", "add it"]);
    says(&json("[1]").unwrap_err(), Code::WrongShape, &["p.json, line 1"]);
    says(&json("3").unwrap_err(), Code::WrongShape, &["give a table of fields"]);
}

#[test]
fn versions_that_are_not_known() {
    let words = ["version 2 of the project file", "version 1"];
    refused(
        "needleful = 1",
        "needleful = 2",
        Code::Version,
        &["p.toml, line 2, column 13", words[0], words[1]],
    );
    refused("needleful = 1", "needleful = 2\nsleeves = 3", Code::Version, &words);
    refused("needleful = 1", "needleful = -1", Code::Version, &["version -1"]);
    for later in ["\"needleful\": 2", "\"needleful\": 2, \"sleeves\": 3"] {
        let found = json(&small_json().replace("\"needleful\": 1", later)).unwrap_err();
        says(&found, Code::Version, &["p.json, needleful", words[0], words[1]]);
    }
}

#[test]
fn bytes_beyond_the_limit() {
    let bytes = vec![b'#'; limits::FILE_BYTES as usize + 1];
    let found = read("p.toml", FileKind::Toml, &bytes, &|_| unreachable!()).unwrap_err();
    says(&found, Code::FileTooLarge, &["p.toml", "at most 67108864 bytes"]);
}
