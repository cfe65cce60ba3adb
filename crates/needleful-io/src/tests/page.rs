//! The page that states the format is held to what is read.

use super::*;
use crate::schema::project_schema;
use needleful::habits::Habits;
use needleful::supply::Kit;
use serde_json::Value;

const PAGE: &str = include_str!("../../PROJECT-FILE.md");

fn block() -> &'static str {
    let (_, rest) = PAGE.split_once("```toml\n").unwrap();
    rest.split_once("```").unwrap().0
}

#[test]
fn the_page_s_project_is_read() {
    let project = read_with(block(), &[]).unwrap_or_else(|problems| panic!("{problems}"));
    let design = &project.design;
    assert_eq!(design.habits, Habits::default());
    assert_eq!(project.kit.unwrap().tight_below, Kit::TIGHT_BELOW);
    let layer = &design.layers[0];
    assert_eq!((layer.grid.len(), layer.singles.len(), layer.lines.len(), layer.knots.len()), (12, 3, 1, 2));
    let estimate = needleful::estimate(design).unwrap();
    assert_eq!(estimate.needles.iter().map(|used| used.stitches).sum::<u64>(), 6 + 3 + 5 + 2);
}

/// Lines of the page behind a `#` that show a field.
fn shown() -> impl Iterator<Item = (&'static str, &'static str)> {
    block().lines().filter_map(|line| {
        let field = line.strip_prefix("# ")?;
        let field = field.split("  #").next()?.trim();
        Some((line, field))
    })
}

#[test]
fn fields_behind_a_hash_are_read_where_they_may_stand() {
    // Each alone in its place, where it does not stand for the one before it.
    let alone = [
        "count_down_per_inch",
        "thickness_mm",
        "hole_mm",
        "planar",
        "strand_width_mm",
        "metallic",
        "habits = { n",
    ];
    let alone = alone.iter().chain(&["pixel ", "pixel_index", "long", "other_lot"]);
    for name in alone {
        let (line, field) = shown().find(|(_, field)| field.starts_with(name)).unwrap();
        let toml = block().replacen(line, field, 1);
        read_with(&toml, &[]).unwrap_or_else(|problems| panic!("{field}: {problems}"));
    }
}

#[test]
fn every_field_stands_on_the_page() {
    fn fields<'a>(schema: &'a Value, names: &mut Vec<&'a str>) {
        match schema {
            Value::Object(map) => {
                if let Some(Value::Object(properties)) = map.get("properties") {
                    names.extend(properties.keys().map(String::as_str));
                }
                map.values().for_each(|value| fields(value, names));
            }
            Value::Array(list) => list.iter().for_each(|value| fields(value, names)),
            _ => {}
        }
    }
    let schema: Value = serde_json::from_str(&project_schema()).unwrap();
    let mut names = Vec::new();
    fields(&schema, &mut names);
    assert!(names.len() > 80, "{}", names.len());
    let words: Vec<&str> = PAGE.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').collect();
    for name in names {
        assert!(words.contains(&name), "'{name}' is not on the page");
    }
}

#[test]
fn every_stitch_stands_on_the_page() {
    for kind in needleful::stitch::KINDS {
        assert!(PAGE.contains(&format!("`{}`", kind.name)), "{}", kind.name);
    }
}
