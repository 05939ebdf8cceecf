//! Bench pages of profiles measured on the way from the ground to the finished blade.

use design::{Design, Paper};
use measured::Bench;

use crate::tests::{count, profiles};
use crate::{Sheet, bench_page};

/// What is wrong with the blade besides its last grinding, in mm: too thin and too narrow near the shoulder, uneven, bent,
/// and a slip of the pen.
const WRONG: [(f64, &str, f64, f64); 9] = [
    (10.0, "back", 0.0, 2.0),
    (12.0, "back", 0.0, 2.0),
    (30.0, "right", 8.0, 1.0),
    (30.0, "left", 8.0, 2.2),
    (60.0, "back", 0.0, 41.0),
    (0.5, "gap left back", 0.0, 0.0),
    (50.0, "gap left back", 0.0, 1.1),
    (65.0, "gap left back", 0.0, 0.8),
    (70.0, "gap left back", 0.0, 0.0),
];

/// These readings as lines of the file, in the design's unit.
fn wrong(design: &Design) -> String {
    let unit = design.unit().millimetres();
    let line = |(station, what, height, value): (f64, &str, f64, f64)| {
        let height = if height > 0.0 { (height / unit).to_string() } else { String::new() };
        format!(",,{},{what},{height},,,,{},\n", station / unit, value / unit)
    };
    WRONG.into_iter().map(line).collect()
}

/// The design's own file to fill in, with the ground stage read at every station, and `more` rows.
fn bench(design: &Design, more: &str) -> Bench {
    let filled = |(i, line): (usize, &str)| {
        let mut cells: Vec<&str> = line.split(',').collect();
        if i == 1 {
            cells[0] = "2026-05-01";
        }
        if i > 0 {
            cells[8] = cells[6];
        }
        cells.join(",") + "\n"
    };
    let text: String = measured::blank(design, false).lines().enumerate().map(filled).collect();
    let sessions = measured::read((text + more).as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}"));
    Bench::of(design, &sessions, None).unwrap().unwrap()
}

fn made(design: &Design, bench: &Bench, paper: Paper) -> Sheet {
    bench_page(design, bench, paper).unwrap_or_else(|why| panic!("{}: {why}", design.name()))
}

#[test]
fn look() {
    let Ok(folder) = std::env::var("LOOK") else { return };
    for (name, text) in profiles() {
        let design = design::read(text.as_bytes()).unwrap();
        for (more, what) in [(String::new(), "plain"), (wrong(&design), "wrong")] {
            let bench = bench(&design, &more);
            std::fs::write(format!("{folder}/{name}-{what}.txt"), bench.text()).unwrap();
            let sheet = made(&design, &bench, design.shop().paper);
            std::fs::write(format!("{folder}/{name}-{what}.pdf"), sheet.bytes).unwrap();
        }
    }
}
