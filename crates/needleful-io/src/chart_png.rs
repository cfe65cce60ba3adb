//! Charts as PNG: a pixel a cell.

use crate::grid::{Colour, Grid, Room, Symbols, cell};
use crate::text::{owner, problem};
use needleful::{Code, Problem, Problems, limits};
use png::{BitDepth, ColorType, Decoder, Limits, OutputInfo, Transformations};
use std::io::Cursor;

/// What means an empty cell, beside fully transparent pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Empty {
    /// A colour.
    Colour(Colour),
    /// An index into the palette.
    Index(u8),
}

/// One pixel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Pixel {
    /// Where the image has a palette.
    index: Option<u8>,
    /// None where the palette ends before the index.
    colour: Option<Colour>,
    alpha: u8,
}

/// An image as it was decoded: rows of whole bytes, indexes still packed.
struct Image {
    shape: OutputInfo,
    bytes: Vec<u8>,
    palette: Vec<Pixel>,
}

/// The cells of a PNG chart; every problem goes to `found`.
pub(crate) fn read(
    layer: &str,
    name: &str,
    bytes: &[u8],
    empty: Option<Empty>,
    symbols: &Symbols<'_>,
    room: &mut Room,
    found: &mut Problems,
) -> Option<Grid> {
    let part = format!("{}, {name}", owner("layer", layer));
    let bad = |what: String, mend: &str| problem(Code::BadPng, &part, what, mend);
    let image = found.note(decode(layer, bytes, room, &bad))?;
    if matches!(empty, Some(Empty::Index(_))) && image.shape.color_type != ColorType::Indexed {
        let what = "it has no palette, but png_empty is a palette index".to_owned();
        found.push(bad(what, "give png_empty as a colour, or save the PNG indexed"));
        return None;
    }
    let (columns, rows) = (image.shape.width, image.shape.height);
    let mut cells = Vec::with_capacity(columns as usize * rows as usize);
    let mut row_pixels = Vec::with_capacity(columns as usize);
    let mut last = None;
    for (r, row) in image.bytes.chunks_exact(image.shape.line_size.max(1)).enumerate() {
        unpack(&image, row, &mut row_pixels);
        for (c, &pixel) in row_pixels.iter().enumerate() {
            let value = match last {
                Some((same, value)) if same == pixel => value,
                _ => meaning(pixel, empty, symbols),
            };
            if value.is_none() {
                let what = describe(pixel);
                let mend = "give a symbol of the legend this pixel, or make the pixel transparent";
                found.push(Problem::new(Code::UnknownPixel, cell(layer, c, r), what, mend));
            }
            last = Some((pixel, value));
            cells.push(value.unwrap_or(0));
        }
    }
    Some(Grid { columns, rows, cells })
}

/// Decodes an image once its header has been found to be within the limits.
fn decode(
    layer: &str,
    bytes: &[u8],
    room: &mut Room,
    bad: &dyn Fn(String, &str) -> Problem,
) -> Result<Image, Problem> {
    let unsound =
        |error: png::DecodingError| bad(format!("it is no sound PNG: {error}"), "save it anew as PNG");
    let limits = Limits { bytes: usize::try_from(limits::FILE_BYTES).unwrap_or(usize::MAX) };
    let mut decoder = Decoder::new_with_limits(Cursor::new(bytes), limits);
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    let header = decoder.read_header_info().map_err(unsound)?;
    let size = header.size();
    room.take(layer, size.0 as usize, size.1 as usize)?;
    if header.bit_depth == BitDepth::Sixteen {
        return Err(bad("it has 16 bits a channel".to_owned(), "save it with 8 bits a channel"));
    }
    // A palette stays one: its indexes may mean symbols.
    let indexed = header.color_type == ColorType::Indexed;
    decoder.set_transformations(if indexed { Transformations::IDENTITY } else { Transformations::EXPAND });
    let mut reader = decoder.read_info().map_err(unsound)?;
    let length = reader.output_buffer_size().unwrap_or(0);
    let mut pixels = vec![0; length];
    let shape = reader.next_frame(&mut pixels).map_err(unsound)?;
    if (shape.width, shape.height) != size {
        return Err(bad("its first image does not fill it".to_owned(), "save it without animation"));
    }
    let palette = if indexed { palette(reader.info()) } else { Vec::new() };
    Ok(Image { shape, bytes: pixels, palette })
}

fn palette(info: &png::Info<'_>) -> Vec<Pixel> {
    let colours = info.palette.as_deref().unwrap_or_default();
    let alphas = info.trns.as_deref().unwrap_or_default().iter().copied().chain(std::iter::repeat(u8::MAX));
    let entries = (0..=u8::MAX).zip(colours.as_chunks().0).zip(alphas);
    entries.map(|((i, &colour), alpha)| Pixel { index: Some(i), colour: Some(colour), alpha }).collect()
}

/// The pixels of one row.
fn unpack(image: &Image, row: &[u8], pixels: &mut Vec<Pixel>) {
    let solid = |colour| Pixel { index: None, colour: Some(colour), alpha: u8::MAX };
    pixels.clear();
    match image.shape.color_type {
        ColorType::Indexed => {
            let bits = image.shape.bit_depth as u32;
            let indexes = row.iter().flat_map(|&byte| {
                // The leftmost pixel stands in the highest bits.
                (0..8 / bits).map(move |i| (byte << (i * bits)) >> (8 - bits))
            });
            let entry = |index: u8| {
                let missing = Pixel { index: Some(index), colour: None, alpha: u8::MAX };
                image.palette.get(usize::from(index)).copied().unwrap_or(missing)
            };
            pixels.extend(indexes.take(image.shape.width as usize).map(entry));
        }
        ColorType::Grayscale => pixels.extend(row.iter().map(|&v| solid([v, v, v]))),
        ColorType::GrayscaleAlpha => {
            let (values, _) = row.as_chunks();
            pixels.extend(values.iter().map(|&[v, alpha]| Pixel { alpha, ..solid([v, v, v]) }));
        }
        ColorType::Rgb => pixels.extend(row.as_chunks().0.iter().map(|&colour| solid(colour))),
        ColorType::Rgba => {
            let (values, _) = row.as_chunks();
            pixels.extend(values.iter().map(|&[r, g, b, alpha]| Pixel { alpha, ..solid([r, g, b]) }));
        }
    }
}

/// What a pixel stands for: legend entry plus one, 0 for empty, none where it is unknown.
fn meaning(pixel: Pixel, empty: Option<Empty>, symbols: &Symbols<'_>) -> Option<u16> {
    let is_empty = match empty {
        Some(Empty::Index(index)) => pixel.index == Some(index),
        Some(Empty::Colour(colour)) => pixel.colour == Some(colour),
        None => false,
    };
    if is_empty || pixel.alpha == 0 {
        return Some(0);
    }
    let by_index = pixel.index.and_then(|index| symbols.by_palette.get(&index));
    let solid = pixel.colour.filter(|_| pixel.alpha == u8::MAX);
    let entry = by_index.or_else(|| symbols.by_colour.get(&solid?));
    entry.map(|entry| entry + 1)
}

/// A pixel in words, with the colour that the legend would have to name.
fn describe(pixel: Pixel) -> String {
    let colour = match pixel.colour {
        Some([r, g, b]) => format!("the colour #{r:02x}{g:02x}{b:02x}"),
        None => "a colour that the palette lacks".to_owned(),
    };
    let index = pixel.index.map(|index| format!(", palette index {index},")).unwrap_or_default();
    let alpha = if pixel.alpha == u8::MAX { "" } else { ", half transparent," };
    format!("{colour}{index}{alpha} is not in the legend")
}
