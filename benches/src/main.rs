//! Times the habit estimate on the photograph chart and its variants, in turn, and prints the least
//! time of each per stitch. `needleful-bench count CHART N` instead runs `coffee` or `blocky` N times
//! and prints nothing, for counting instructions.

use needleful::price::Tariff;
use needleful::route::{Planner, Sweeps};
use needleful::spend::Walk;
use needleful::{Design, floor, work};
use needleful_tests::photo;
use std::time::{Duration, Instant};

/// Work, route and spend of all needles, the route not kept.
fn habit(design: &Design) -> u64 {
    let (mut needlefuls, mut planner) = (0, Planner::default());
    for (needle, work) in design.needles.iter().zip(work::gather(design)) {
        let tariff = Tariff::new(design, needle, design.needle_habits(needle).needleful);
        let sweeps = Sweeps::rows(design, &work, &tariff.ruler);
        let mut walk = Walk::new(design, &work, &sweeps, &tariff);
        planner.by_habit(&work, &sweeps, &tariff.ruler, tariff.habits(), |stretch| walk.follow(stretch));
        needlefuls += walk.end().map_or(0, |walked| walked.needlefuls);
    }
    needlefuls
}

/// The floor of all needles.
fn floors(design: &Design) -> u64 {
    let of = |(needle, work): (&needleful::needle::Needle, &work::Work)| {
        floor::floor(design, work, &Tariff::new(design, needle, design.habits.needleful)).pm() as u64
    };
    design.needles.iter().zip(&work::gather(design)).map(of).sum()
}

fn time(run: impl Fn() -> u64) -> Duration {
    let start = Instant::now();
    std::hint::black_box(run());
    start.elapsed()
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if let [word, chart, times] = words.as_slice()
        && word == "count"
    {
        let design = if chart == "blocky" { photo::blocky() } else { photo::coffee() };
        for _ in 0..times.parse().unwrap_or(0_u32) {
            std::hint::black_box(habit(&design));
        }
        return;
    }
    let charts = [("coffee", photo::coffee()), ("blocky", photo::blocky()), ("large", photo::large())];
    let mut least = [[Duration::MAX; 2]; 3];
    for _ in 0..7 {
        for ((_, design), least) in charts.iter().zip(&mut least) {
            least[0] = least[0].min(time(|| habit(design)));
            least[1] = least[1].min(time(|| floors(design)));
        }
    }
    println!("| chart | stitches | habit, ns a stitch | floor, ns a stitch |");
    println!("|---|---:|---:|---:|");
    for ((name, design), least) in charts.iter().zip(least) {
        let stitches = design.layers[0].grid.len();
        let per_stitch = |time: Duration| time.as_nanos() as f64 / stitches as f64;
        println!("| {name} | {stitches} | {:.1} | {:.1} |", per_stitch(least[0]), per_stitch(least[1]));
    }
}
