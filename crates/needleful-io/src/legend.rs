//! The symbol key, from its fields to entries, and to what charts look up.

use crate::chart_png::Empty;
use crate::grid::{Colour, Symbols};
use crate::names::Names;
use crate::text::{clip, owner, problem};
use crate::wire;
use needleful::legend::Entry;
use needleful::stitch::{Form, KINDS, Kind};
use needleful::{Code, Problem, Problems};
use std::collections::HashMap;
use std::collections::hash_map::Entry as Slot;
use std::hash::Hash;

/// One entry; every problem goes to `found`.
pub(crate) fn entry(
    wire: &wire::LegendEntry,
    needles: &Names<'_>,
    beads: &Names<'_>,
    found: &mut Problems,
) -> Option<Entry> {
    let owner = owner("symbol", &wire.symbol);
    if wire.symbol == "." || wire.symbol.trim() != wire.symbol {
        let what = "'.' and spaces stand for empty cells";
        found.push(problem(
            Code::OutOfRange,
            &owner,
            what,
            "give another symbol, without spaces at its ends",
        ));
    }
    let needle = found.note(needles.find(&wire.needle, &owner));
    let bead = wire.bead.as_ref().map(|bead| found.note(beads.find(bead, &owner)));
    let kind = found.note(kind(&wire.stitch, &owner))?;
    let mut misplaced = |field: &str, given: bool, kinds: &str| {
        if given {
            let what = format!("{field} is given for a {}, which has none", kind.print);
            let mend = format!("leave it out; it is for {kinds}");
            found.push(problem(Code::WrongStitch, &owner, what, mend));
        }
    };
    misplaced("corner", wire.corner.is_some() && !kind.has_corner, "quarter, three-quarter and petite");
    let is_knot = kind.form == Form::Knot;
    misplaced("wraps", wire.wraps.is_some() && !is_knot, "french-knot");
    misplaced("tight", wire.tight.is_some() && !is_knot, "french-knot");
    let plain = Entry::new(wire.symbol.clone(), needle?, kind);
    Some(Entry {
        corner: wire.corner.map_or(plain.corner, Into::into),
        bead: match bead {
            Some(bead) => Some(bead?),
            None => None,
        },
        wraps: wire.wraps.unwrap_or(plain.wraps),
        tight: wire.tight.unwrap_or(plain.tight),
        ..plain
    })
}

fn kind(stitch: &str, owner: &str) -> Result<&'static Kind, Problem> {
    Kind::named(stitch).ok_or_else(|| {
        let words: Vec<&str> = KINDS.iter().map(|kind| kind.name).collect();
        let what = format!("there is no stitch '{}'", clip(stitch));
        problem(Code::UnknownName, owner, what, format!("use one of {}", words.join(", ")))
    })
}

/// What charts look up, for a legend within the limits. Of equal symbols the first counts; equal
/// pixels are a problem, because the core, which knows no pixels, cannot find them.
pub(crate) fn symbols<'a>(legend: &'a [wire::LegendEntry], found: &mut Problems) -> Symbols<'a> {
    let mut symbols = Symbols::default();
    for (wire, index) in legend.iter().zip(0..) {
        symbols.by_text.entry(wire.symbol.as_str()).or_insert(index);
        let mut chars = wire.symbol.chars();
        if let (Some(only), None) = (chars.next(), chars.next()) {
            symbols.by_char.entry(only).or_insert(index);
        }
        let owner = owner("symbol", &wire.symbol);
        let pixel =
            wire.pixel.as_ref().and_then(|pixel| found.note(colour(pixel, &format!("{owner}, pixel"))));
        if let Some(pixel) = pixel {
            found.note(claim(&mut symbols.by_colour, pixel, index, "pixel", &owner, legend));
        }
        if let Some(palette) = wire.pixel_index {
            found.note(claim(&mut symbols.by_palette, palette, index, "pixel_index", &owner, legend));
        }
    }
    symbols
}

fn claim<K: Hash + Eq>(
    taken: &mut HashMap<K, u16>,
    key: K,
    index: u16,
    field: &str,
    owner: &str,
    legend: &[wire::LegendEntry],
) -> Result<(), Problem> {
    match taken.entry(key) {
        Slot::Vacant(slot) => {
            slot.insert(index);
            Ok(())
        }
        Slot::Occupied(slot) => {
            let other = legend.get(usize::from(*slot.get())).map_or("", |entry| entry.symbol.as_str());
            let what = format!("its {field} is that of symbol '{}' too", clip(other));
            Err(problem(Code::Duplicate, owner, what, "give each symbol a pixel of its own"))
        }
    }
}

/// A colour written `#rrggbb`.
///
/// # Errors
/// [`Code::WrongShape`].
fn colour(text: &str, owner: &str) -> Result<Colour, Problem> {
    let digits = text.strip_prefix('#').filter(|digits| digits.len() == 6);
    // Digits only: a sign would be read as part of the number.
    let digits = digits.filter(|digits| digits.bytes().all(|digit| digit.is_ascii_hexdigit()));
    let number = digits.and_then(|digits| u32::from_str_radix(digits, 16).ok());
    let [_, r, g, b] = number
        .ok_or_else(|| {
            let what = format!("'{}' is no colour", clip(text));
            problem(Code::WrongShape, owner, what, "write it as #rrggbb, such as #c8a040")
        })?
        .to_be_bytes();
    Ok([r, g, b])
}

/// What means an empty cell in a PNG.
///
/// # Errors
/// [`Code::WrongShape`].
pub(crate) fn png_empty(wire: &wire::PngEmpty, layer: &str) -> Result<Empty, Problem> {
    match wire {
        wire::PngEmpty::Colour(text) => colour(text, &format!("{layer}, png_empty")).map(Empty::Colour),
        wire::PngEmpty::Index(index) => Ok(Empty::Index(*index)),
    }
}
