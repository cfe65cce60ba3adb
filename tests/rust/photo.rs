//! The photograph chart and its variants, as designs of 90 needles with two strands each. Crosses
//! over two on 28 per inch.

use crate::{bare, layer};
use needleful::chart::Layer;
use needleful::fabric::{Fabric, FabricKind};
use needleful::habits::HabitChanges;
use needleful::legend::Entry;
use needleful::needle::{Needle, Threading};
use needleful::stitch::Kind;
use needleful::thread::Shade;
use needleful::units::Count;
use needleful::{Design, Parts};
use std::io::BufReader;

/// The chart's file.
pub fn path() -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data/coffee.png")
}

/// Columns, rows and palette indices of the chart.
pub fn grid() -> (u32, u32, Vec<u8>) {
    let mut decoder = png::Decoder::new(BufReader::new(std::fs::File::open(path()).unwrap()));
    decoder.set_transformations(png::Transformations::IDENTITY);
    let mut reader = decoder.read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let frame = reader.next_frame(&mut pixels).unwrap();
    assert_eq!(frame.bit_depth, png::BitDepth::Eight);
    pixels.truncate(frame.buffer_size());
    (frame.width, frame.height, pixels)
}

/// A chart of one needle for each number.
pub fn parts(columns: u32, rows: u32, cells: &[u8]) -> Parts {
    let count = Count::per_inch(28.0).unwrap();
    let mut parts = bare(Fabric::new(FabricKind::Evenweave, count, count), &[]);
    let colours = usize::from(cells.iter().copied().max().unwrap_or(0)) + 1;
    parts.shades =
        (0..colours).map(|i| Shade { code: format!("c{i}"), name: String::new(), line: 0 }).collect();
    let needle = |shade| Needle {
        name: format!("c{shade}"),
        threads: vec![Threading { shade, strands: 2 }],
        habits: HabitChanges::default(),
    };
    parts.needles = (0..colours).map(needle).collect();
    let cross = Kind::named("cross").unwrap();
    parts.legend = (0..colours).map(|i| Entry::new(format!("c{i}"), i, cross)).collect();
    let mut layer = Layer { columns, rows, ..layer(2, &["."]) };
    layer.grid = cells.iter().map(|&c| u16::from(c) + 1).collect();
    parts.layers = vec![layer];
    parts
}

/// The photograph chart.
pub fn coffee() -> Design {
    let (columns, rows, cells) = grid();
    Design::new(parts(columns, rows, &cells)).unwrap()
}

/// Each cell enlarged to 8 by 8.
pub fn blocky() -> Design {
    scaled(8, |x, y| (x / 8, y / 8))
}

/// Tiled 6 by 6, to 3.8 million cells.
pub fn large() -> Design {
    let (columns, rows, _) = grid();
    scaled(6, |x, y| (x % columns, y % rows))
}

fn scaled(times: u32, from: impl Fn(u32, u32) -> (u32, u32)) -> Design {
    let (columns, rows, cells) = grid();
    let (wide, high) = (columns * times, rows * times);
    let cell = |i: u32| {
        let (x, y) = from(i % wide, i / wide);
        cells[(y * columns + x) as usize]
    };
    let cells: Vec<u8> = (0..wide * high).map(cell).collect();
    Design::new(parts(wide, high, &cells)).unwrap()
}
