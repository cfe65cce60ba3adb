//! The JSON Schema of the project file.

use crate::wire::ProjectFile;
use schemars::generate::SchemaSettings;

/// The JSON Schema of the project file, as JSON; it is kept in `project.schema.json`.
///
/// What a schema does not say (that only one of several fields is given, that names refer to
/// something) is checked when a project is read.
pub fn project_schema() -> String {
    let schema = SchemaSettings::default().into_generator().into_root_schema_for::<ProjectFile>();
    format!("{:#}\n", schema.as_value())
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/project.schema.json");

    #[test]
    fn the_schema_file_is_that_of_the_structs() {
        if std::env::var_os("UPDATE_SCHEMA").is_some_and(|update| update == "1") {
            std::fs::write(FILE, project_schema()).unwrap();
        }
        let kept = std::fs::read_to_string(FILE).unwrap_or_default();
        assert!(kept == project_schema(), "project.schema.json is stale: run this test with UPDATE_SCHEMA=1");
    }
}
