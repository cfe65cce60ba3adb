//! Charts in rows, CSV and PNG.

use super::*;
use crate::grid::Room;
use needleful::limits;
use png::{BitDepth, ColorType, Encoder};

const ROWS: &str = "rows = [\"aa.\", \".a \"]";

#[track_caller]
fn grid(toml: &str, charts: &[(&str, &[u8])]) -> Vec<u16> {
    read_with(toml, charts).unwrap_or_else(|problems| panic!("{problems}")).design.layers[0].grid.clone()
}

#[test]
fn rows_of_symbols() {
    let toml = changed("symbol = \"a\"", "symbol = \"ä\"").replace("aa.", "ää.").replace(".a ", ".ä ");
    assert_eq!(grid(&toml, &[]), [1, 1, 0, 0, 1, 0]);
    refused(
        ROWS,
        "rows = [\"aa.\", \"a\"]",
        Code::RaggedRows,
        &["layer 'ground', row 2", "1 cells", "first row has 3", "same number"],
    );
    refused(
        ROWS,
        "rows = [\"aa.\", \".b \"]",
        Code::UnknownSymbol,
        &["layer 'ground', column 2, row 2", "symbol 'b'", "add it"],
    );
    let found = read_with(&changed(ROWS, "rows = [\"aa\", \"b\", \"cd\", \"aaa\"]"), &[]).unwrap_err();
    let codes: Vec<_> = found.list().iter().map(|problem| problem.code).collect();
    assert_eq!(codes, [Code::RaggedRows, Code::UnknownSymbol, Code::UnknownSymbol, Code::RaggedRows]);
    for empty in ["rows = []", "rows = [\"\"]"] {
        let found = read_with(&changed(ROWS, empty), &[]).unwrap_err();
        assert!(found.list().iter().all(|problem| problem.code == Code::TooLarge), "{found}");
    }
}

#[test]
fn more_problems_than_are_kept_are_counted() {
    let row = "b".repeat(200);
    let found = read_with(&changed(ROWS, &format!("rows = [\"{row}\"]")), &[]).unwrap_err();
    assert_eq!((found.list().len(), found.total()), (100, 200));
    assert!(found.to_string().contains("… and 100 more"));
}

#[test]
fn room_at_the_limits() {
    let mut room = Room::all();
    assert_eq!(room.take("a", 4096, 4096).unwrap(), (4096, 4096));
    says(
        &room.take("b", 1, 1).unwrap_err().into(),
        Code::TooLarge,
        &["layer 'b'", "16777216 cells in all layers"],
    );
    Room::all().take("a", limits::SIDE as usize, 1).unwrap();
    let found = Room::all().take("a", 1, limits::SIDE as usize + 1).unwrap_err();
    says(&found.into(), Code::TooLarge, &["1 by 32768 cells", "at most 32767 columns and rows"]);
    Room::all().take("a", usize::MAX, usize::MAX).unwrap_err();
}

#[test]
fn rows_beyond_the_limits() {
    let side = limits::SIDE as usize;
    let row = "a".repeat(side);
    assert_eq!(grid(&changed(ROWS, &format!("rows = [\"{row}\"]")), &[]).len(), side);
    refused(ROWS, &format!("rows = [\"a{row}\"]"), Code::TooLarge, &["32768 by 1 cells"]);
}

fn csv(bytes: &[u8]) -> Result<Vec<u16>, Problems> {
    let toml = changed(ROWS, "csv = \"c.csv\"").replace(
        "legend = [",
        "legend = [{ symbol = \"long one\", needle = \"n\", stitch = \"cross\" }, { symbol = \",\", needle = \"n\", stitch = \"cross\" }, ",
    );
    read_with(&toml, &[("c.csv", bytes)]).map(|project| project.design.layers[0].grid.clone())
}

#[test]
fn symbols_between_commas() {
    assert_eq!(csv(b"a,long one,\n.,\",\",a\n").unwrap(), [3, 1, 0, 0, 2, 3]);
    assert_eq!(csv(b"\xef\xbb\xbf a , long one,\r\n . ,\",\",a\r\n\r\n\n").unwrap(), [3, 1, 0, 0, 2, 3]);
    assert_eq!(csv(b"a\n.\na").unwrap(), [3, 0, 3]);
    assert_eq!(csv(b"a\r.\ra").unwrap(), [3, 0, 3]);
    assert_eq!(csv(b",\n,").unwrap(), [0; 4]);
}

#[test]
fn csv_that_cannot_be_used() {
    says(
        &csv(b"a,a\na\n").unwrap_err(),
        Code::RaggedRows,
        &["layer 'ground', row 2", "1 cells", "first row has 2"],
    );
    says(
        &csv(b"a,b\n").unwrap_err(),
        Code::UnknownSymbol,
        &["layer 'ground', column 2, row 1", "symbol 'b'"],
    );
    says(&csv(b"a\n\na\n").unwrap_err(), Code::BadCsv, &["c.csv, line 2", "empty", "an empty cell as '.'"]);
    says(&csv(b"\na\n").unwrap_err(), Code::BadCsv, &["c.csv, line 1"]);
    says(&csv(b"a\r\n\r\na\r\n").unwrap_err(), Code::BadCsv, &["c.csv, line 2"]);
    says(&csv(b"\r\na\r\n").unwrap_err(), Code::BadCsv, &["c.csv, line 1"]);
    says(&csv(b"a\r\ra").unwrap_err(), Code::BadCsv, &["c.csv, line 2"]);
    says(&csv(b"a,\"a\na\",a\n").unwrap_err(), Code::BadCsv, &["c.csv, line 1", "several lines"]);
    says(&csv(b"").unwrap_err(), Code::BadCsv, &["c.csv, line 1", "it holds no row"]);
    says(&csv(b"a,a\n\xff,a\n").unwrap_err(), Code::NotUtf8, &["c.csv, line 2, column 1", "UTF-8"]);
    let side = limits::SIDE as usize;
    assert_eq!(csv(&b"a\n".repeat(side)).unwrap().len(), side);
    says(&csv(&b"a\n".repeat(side + 1)).unwrap_err(), Code::TooLarge, &["1 by 32768 cells", "32767"]);
    says(&csv(&b",".repeat(side)).unwrap_err(), Code::TooLarge, &["32768 by 1 cells", "32767"]);
    let wide = [b",".repeat(side - 1), b"\n".to_vec()].concat().repeat(513);
    says(&csv(&wide).unwrap_err(), Code::TooLarge, &["32767 by 513 cells", "16777216 cells"]);
}

/// A PNG of so many columns and of whatever rows the data gives.
fn png(colour: ColorType, depth: BitDepth, columns: u32, rows: u32, data: &[u8]) -> Vec<u8> {
    png_with(colour, depth, (columns, rows), data, |_| {})
}

fn png_with(
    colour: ColorType,
    depth: BitDepth,
    (columns, rows): (u32, u32),
    data: &[u8],
    more: impl Fn(&mut Encoder<'_, &mut Vec<u8>>),
) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, columns, rows);
    encoder.set_color(colour);
    encoder.set_depth(depth);
    if colour == ColorType::Indexed {
        encoder.set_palette(vec![255, 255, 255, 200, 160, 64, 1, 2, 3]);
    }
    more(&mut encoder);
    let mut writer = encoder.write_header().unwrap();
    if !data.is_empty() {
        writer.write_image_data(data).unwrap();
    }
    drop(writer);
    bytes
}

/// Entries 1 and 2 of the legend: a colour, and palette index 2; `empty` is TOML.
fn read_png(bytes: &[u8], empty: &str) -> Result<Vec<u16>, Problems> {
    let toml = changed(ROWS, &format!("png = \"c.png\"{empty}")).replace(
        "legend = [",
        "legend = [{ symbol = \"p\", needle = \"n\", stitch = \"cross\", pixel = \"#C8A040\" }, \
         { symbol = \"i\", needle = \"n\", stitch = \"cross\", pixel_index = 2 }, \
         { symbol = \"g\", needle = \"n\", stitch = \"cross\", pixel = \"#808080\" }, ",
    );
    read_with(&toml, &[("c.png", bytes)]).map(|project| project.design.layers[0].grid.clone())
}

const WHITE: &str = ", png_empty = \"#ffffff\"";

#[test]
fn colours_of_every_kind_of_png() {
    use BitDepth::Eight;
    let rgb = png(ColorType::Rgb, Eight, 2, 2, &[200, 160, 64, 255, 255, 255, 128, 128, 128, 200, 160, 64]);
    assert_eq!(read_png(&rgb, WHITE).unwrap(), [1, 0, 3, 1]);
    let rgba = png(ColorType::Rgba, Eight, 2, 1, &[200, 160, 64, 255, 200, 160, 64, 0]);
    assert_eq!(read_png(&rgba, "").unwrap(), [1, 0]);
    let grey = png(ColorType::Grayscale, Eight, 2, 1, &[128, 255]);
    assert_eq!(read_png(&grey, WHITE).unwrap(), [3, 0]);
    let grey = png(ColorType::GrayscaleAlpha, Eight, 2, 1, &[128, 255, 9, 0]);
    assert_eq!(read_png(&grey, "").unwrap(), [3, 0]);
    let keyed = png_with(ColorType::Rgb, Eight, (2, 1), &[200, 160, 64, 1, 1, 1], |encoder| {
        encoder.set_trns(vec![0, 1, 0, 1, 0, 1]);
    });
    assert_eq!(read_png(&keyed, "").unwrap(), [1, 0]);
}

#[test]
fn palettes_by_index_and_by_colour() {
    let indexed = png(ColorType::Indexed, BitDepth::Eight, 3, 1, &[0, 1, 2]);
    assert_eq!(read_png(&indexed, WHITE).unwrap(), [0, 1, 2]);
    assert_eq!(read_png(&indexed, ", png_empty = 0").unwrap(), [0, 1, 2]);
    // Five columns of two bits: 0 1 2 1 | 2, and a row of its own in the next bytes.
    let packed =
        png(ColorType::Indexed, BitDepth::Two, 5, 2, &[0b00_01_10_01, 0b10_00_00_00, 0, 0b01_00_00_00]);
    assert_eq!(read_png(&packed, ", png_empty = 0").unwrap(), [0, 1, 2, 1, 2, 0, 0, 0, 0, 1]);
    let bits = png(ColorType::Indexed, BitDepth::One, 9, 1, &[0b0100_0001, 0b1000_0000]);
    assert_eq!(read_png(&bits, WHITE).unwrap(), [0, 1, 0, 0, 0, 0, 0, 1, 1]);
    let clear = png_with(ColorType::Indexed, BitDepth::Eight, (3, 1), &[0, 1, 2], |encoder| {
        encoder.set_trns(vec![0, 255, 0]);
    });
    assert_eq!(read_png(&clear, "").unwrap(), [0, 1, 0]);
}

#[test]
fn an_interlaced_png() {
    // Three indexes of two bits, 0 1 2, in the order 0 2 1.
    let bytes = b"\x89PNG\x0d\x0a\x1a\x0a\x00\x00\x00\x0dIHDR\x00\x00\x00\x03\x00\x00\x00\x01\x02\x03\x00\
        \x00\x01\x11\x89\xcc\xb1\x00\x00\x00\x09PLTE\xff\xff\xff\xc8\xa0@\x01\x02\x03\xc2$\xab \
        \x00\x00\x00\x0eIDATx\x9cc``h`p\x00\x00\x01\xc6\x00\xc1\x1c\xf3\x94\xa9\x00\x00\x00\x00I\
        END\xaeB`\x82";
    assert_eq!(read_png(bytes, WHITE).unwrap(), [0, 1, 2]);
}

#[test]
fn pixels_that_are_not_in_the_legend() {
    let rgb = png(ColorType::Rgb, BitDepth::Eight, 2, 1, &[200, 160, 64, 200, 160, 65]);
    says(
        &read_png(&rgb, "").unwrap_err(),
        Code::UnknownPixel,
        &[
            "layer 'ground', column 2, row 1",
            "the colour #c8a041 is not in the legend",
            "give a symbol of the legend this pixel",
        ],
    );
    let indexed = png(ColorType::Indexed, BitDepth::Eight, 2, 1, &[0, 2]);
    says(
        &read_png(&indexed, "").unwrap_err(),
        Code::UnknownPixel,
        &["column 1, row 1", "#ffffff", "palette index 0"],
    );
    let beyond = png(ColorType::Indexed, BitDepth::Eight, 2, 1, &[9, 2]);
    says(&read_png(&beyond, "").unwrap_err(), Code::UnknownPixel, &["the palette lacks", "palette index 9"]);
    let half = png(ColorType::Rgba, BitDepth::Eight, 1, 1, &[200, 160, 64, 128]);
    says(&read_png(&half, "").unwrap_err(), Code::UnknownPixel, &["#c8a040", "half transparent"]);
}

#[test]
fn png_that_cannot_be_used() {
    let deep = png(ColorType::Rgb, BitDepth::Sixteen, 1, 1, &[200; 6]);
    says(
        &read_png(&deep, "").unwrap_err(),
        Code::BadPng,
        &["layer 'ground', c.png", "16 bits", "8 bits a channel"],
    );
    let rgb = png(ColorType::Rgb, BitDepth::Eight, 1, 1, &[200, 160, 64]);
    says(
        &read_png(&rgb, ", png_empty = 3").unwrap_err(),
        Code::BadPng,
        &["no palette", "give png_empty as a colour"],
    );
    for bad in [b"".as_slice(), b"not a PNG at all", &rgb[..20], &rgb[..rgb.len() - 20]] {
        says(&read_png(bad, "").unwrap_err(), Code::BadPng, &["it is no sound PNG", "save it anew"]);
    }
    for at in 0..rgb.len() {
        let mut bytes = rgb.clone();
        bytes[at] ^= 0x55;
        let _ = read_png(&bytes, ""); // whatever it says, it says it
    }
    says(
        &read_png(&rgb, ", png_empty = \"white\"").unwrap_err(),
        Code::WrongShape,
        &["layer 'ground', png_empty", "'white' is no colour"],
    );
}

#[test]
fn a_header_that_promises_a_gigapixel() {
    let header = png(ColorType::Rgb, BitDepth::Eight, 32_768, 32_768, &[]);
    assert!(header.len() < 100);
    says(&read_png(&header, "").unwrap_err(), Code::TooLarge, &["32768 by 32768", "at most 32767"]);
    let header = png(ColorType::Rgba, BitDepth::Eight, 32_767, 32_767, &[]);
    says(&read_png(&header, "").unwrap_err(), Code::TooLarge, &["32767 by 32767", "16777216 cells"]);
    let header = png(ColorType::Rgba, BitDepth::Eight, 4096, 4096, &[]);
    says(&read_png(&header, "").unwrap_err(), Code::BadPng, &["no sound PNG"]);
    let long = png(ColorType::Grayscale, BitDepth::Eight, limits::SIDE, 1, &vec![128; limits::SIDE as usize]);
    assert_eq!(read_png(&long, "").unwrap().len(), limits::SIDE as usize);
    let long = png(
        ColorType::Grayscale,
        BitDepth::Eight,
        limits::SIDE + 1,
        1,
        &vec![128; limits::SIDE as usize + 1],
    );
    says(&read_png(&long, "").unwrap_err(), Code::TooLarge, &["32768 by 1"]);
}
