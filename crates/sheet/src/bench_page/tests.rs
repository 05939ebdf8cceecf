//! Bench pages of profiles measured on the way from the ground to the finished blade.

use design::{Design, Paper};
use measured::Bench;

use crate::bench_page::page::{gone, told};
use crate::bench_page::take_off::sides;
use crate::tests::{HOSTILE, count, profiles};
use crate::{Sheet, bench_page};

/// What is wrong with the blade besides being too thin, in mm: uneven, bent, and a slip of the pen.
const WRONG: [(f64, &str, f64, f64); 9] = [
    // Read twice, so that nothing is asked for again.
    (30.0, "right", 8.0, 1.0),
    (30.0, "left", 8.0, 2.6),
    (30.0, "right", 8.0, 1.0),
    (30.0, "left", 8.0, 2.6),
    (60.0, "back", 0.0, 41.0),
    (0.5, "gap left back", 0.0, 0.0),
    (50.0, "gap left back", 0.0, 1.1),
    (65.0, "gap left back", 0.0, 0.8),
    (70.0, "gap left back", 0.0, 0.0),
];
/// Share of the ground stage's thickness that the thin blade has: less than the finished one at the back.
const THIN: f64 = 0.8;

/// These readings as lines of the file, in the design's unit.
fn wrong(design: &Design) -> String {
    let unit = design.unit().millimetres();
    let line = |(station, what, height, value): (f64, &str, f64, f64)| {
        let height = if height > 0.0 { (height / unit).to_string() } else { String::new() };
        format!(",,{},{what},{height},,,,{},\n", station / unit, value / unit)
    };
    WRONG.into_iter().map(line).collect()
}

/// The design's own file to fill in, with this share of the ground stage's thickness read at every station, and `more` rows.
fn bench(design: &Design, share: f64, more: &str) -> Bench {
    let filled = |(i, line): (usize, &str)| {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        if i == 1 {
            cells[0] = "2026-05-01".to_owned();
        }
        cells[8] = match cells[3].as_str() {
            "back" | "thickness" => (share * cells[6].parse::<f64>().unwrap()).to_string(),
            "breadth" => cells[6].clone(),
            _ => cells[8].clone(),
        };
        cells.join(",") + "\n"
    };
    let text: String = measured::blank(design, false).lines().enumerate().map(filled).collect();
    let sessions = measured::read((text + more).as_bytes(), design).unwrap_or_else(|p| panic!("{p:#?}"));
    Bench::from_sessions(design, &sessions, None).unwrap().unwrap()
}

fn made(design: &Design, bench: &Bench, paper: Paper) -> Sheet {
    bench_page(design, bench, paper).unwrap_or_else(|why| panic!("{}: {why}", design.name()))
}

#[test]
fn every_profile_has_a_page_on_every_paper_of_the_same_bytes_each_time() {
    let profiles = profiles();
    assert!(profiles.iter().any(|(_, text)| design::read(text.as_bytes()).unwrap().unit().name() == "in"));
    for (name, text) in profiles {
        let design = design::read(text.as_bytes()).unwrap();
        let bench = bench(&design, 1.0, "");
        let boxes =
            [(Paper::A4, "/MediaBox[0 0 595.2756 841.8898]"), (Paper::Letter, "/MediaBox[0 0 612 792]")];
        // A blade as long as a forearm goes on one page.
        let most = if design.blade().length() < 500.0 { 1 } else { 2 };
        for (paper, page) in boxes {
            let made = made(&design, &bench, paper);
            assert!((1..=most).contains(&made.pages), "{name}: {} pages", made.pages);
            assert_eq!(count(&made.bytes, page), made.pages, "{name}: {page}");
            assert!(self::made(&design, &bench, paper) == made, "{name}: other bytes");
        }
    }
}

#[test]
fn what_is_wrong_with_a_blade_stands_on_its_page() {
    for (name, text) in profiles() {
        let design = design::read(text.as_bytes()).unwrap();
        let bench = bench(&design, THIN, &wrong(&design));
        assert!(!gone(&bench).is_empty(), "{name}: nothing out of reach");
        let [_, aside, _, warp, _] = told(&bench);
        assert!(!aside.1.is_empty() && !warp.1.is_empty(), "{name}: nothing set aside, or straight");
        let [left, lost] = sides(&bench, &design);
        assert!(lost, "{name}: nothing gone");
        assert!(left, "{name}: both sides alike");
        assert!((2..=4).contains(&made(&design, &bench, Paper::Letter).pages), "{name}");
    }
}

#[test]
fn names_are_never_markup_on_the_page() {
    let (_, text) = profiles().into_iter().find(|p| p.0 == "toll-keepers-langseax").unwrap();
    for hostile in HOSTILE {
        let quoted = serde_json::to_string(hostile.trim()).unwrap();
        let text = text.replace("\"Toll keeper's langseax\"", &quoted).replace("\"Lines\"", &quoted);
        let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{hostile}: {p:#?}"));
        assert!(made(&design, &bench(&design, 1.0, ""), Paper::A4).pages < 4, "{hostile}");
    }
}
