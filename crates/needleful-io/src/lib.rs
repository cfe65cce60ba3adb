//! Project files, charts and results, as bytes.
//!
//! [`project`] reads a project file, TOML or JSON, and the CSV and PNG charts beside it, into a
//! checked [`needleful::Design`] and its kit; [`result`] puts what the core computes into structs
//! whose JSON names the unit of every figure; [`schema`] is the JSON Schema of the project file.
//! The format is stated in [`project_file`]; its fields are those of [`wire`]. Nothing is computed
//! here, and nothing is written to disk.

#![forbid(unsafe_code)]

pub mod wire;
mod text;
mod file;
mod parse;
mod names;
mod grid;
mod chart_rows;
mod chart_csv;
mod chart_png;
mod material;
mod legend;
mod layers;
mod kit;
pub mod project;
pub mod result;
pub mod schema;

#[doc = include_str!("../PROJECT-FILE.md")]
pub mod project_file {}

pub use project::{FileKind, Project, read, read_path};

#[cfg(test)]
mod tests;
