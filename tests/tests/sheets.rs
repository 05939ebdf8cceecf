//! Bench sheets of random blades with random billets: every one can be set, on every paper, and bears no more pages than its
//! bars account for. `SEAXWRIGHT_CASES` raises the number of designs.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "helpers of tests count as tests")]

#[allow(dead_code, reason = "each suite uses a part of it")]
mod wild;

use std::cell::Cell;

use design::{Design, Paper, Summary, Sureness};
use forge::Plan;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed, TestRunner};

/// Designs tried in an ordinary run; in `SEAXWRIGHT_CASES` one of fifty goes here, as a sheet takes longer than a blade.
const CASES: u32 = 40;
/// Pages of a blade of one steel with as many stations as a file may give: more would be rows that went astray.
const BLADE_PAGES: usize = 16;

/// Bars by height (mm), whether they run into the tang, and how they are made: one steel, flat, or twisted upright layers.
fn bars() -> impl Strategy<Value = Vec<(f64, bool, u8)>> {
    proptest::collection::vec((1.0..30.0f64, any::<bool>(), 0..3u8), 0..10)
}

fn billet(bars: &[(f64, bool, u8)]) -> String {
    if bars.is_empty() {
        return String::new();
    }
    let head = "[billet]\nwidth = \"12 mm\"\n[[layers]]\nname = \"Set\"\nsteels = [\"C75S\", \"75Ni8\"]\ncount = 7\n\
                restack = [3]\n";
    let bar = |(i, &(height, tang, made)): (usize, &(f64, bool, u8))| {
        let made = match made {
            0 => "steel = \"C45\"",
            1 => "layers = \"Set\"\ndirection = \"flat\"",
            _ => {
                "layers = \"Set\"\ntwist = [{ hand = \"left\", turns = 1, per = \"30 mm\", length = \"40 mm\" }, { length = \"9 mm\" }]"
            }
        };
        // At least one bar has to make the tang.
        format!("[[bar]]\nheight = \"{height} mm\"\ntang = {}\n{made}\n", tang || i == 0)
    };
    let targets = "[targets]\nedge_bar = \"at least 3 mm\"\n[[targets.bar]]\nbar = \"Bar 1\"\nat = \"30 mm\"\n\
                   breadth = \"20 %\"\nreveal = \"at most 40 %\"\n";
    let seam = "[[targets.seam]]\nunder = \"Bar 1\"\nrun = \"straight\"\n";
    let seam = if bars.len() > 1 { seam } else { "" };
    head.to_owned() + &bars.iter().enumerate().map(bar).collect::<String>() + targets + seam
}

/// How many pages the sheet has. On the way its pattern is held against its targets, and slips are tried on it.
fn pages(design: &Design, paper: Paper) -> Result<usize, String> {
    if let Some(sure) = Sureness::of(design, 2.0)
        && !sure.slips.iter().all(|slip| slip.furthest_mm.iter().all(|mm| mm.is_finite()))
    {
        return Err(sure.text());
    }
    let plan = Plan::of(design);
    let sheet = sheet::sheet(design, plan.as_ref(), &Summary::from_design(design), paper)
        .map_err(|why| why.to_string())?;
    let most = BLADE_PAGES + plan.map_or(0, |plan| 4 + 2 * plan.stock.bars.len());
    let whole = sheet.bytes.starts_with(b"%PDF") && (2..=most).contains(&sheet.pages);
    if whole { Ok(sheet.pages) } else { Err(format!("{} pages of at most {most}", sheet.pages)) }
}

#[test]
fn sheets_of_random_designs_can_be_set() {
    let cases = std::env::var("SEAXWRIGHT_CASES").map_or(CASES, |n| n.parse::<u32>().unwrap() / 50);
    let config = Config {
        cases,
        rng_seed: RngSeed::Fixed(7),
        failure_persistence: None,
        max_shrink_iters: 50,
        ..Config::default()
    };
    let (designs, laminated) = (Cell::new(0), Cell::new(0));
    let papers = prop::sample::select(vec![Paper::A4, Paper::Letter, Paper::A3]);
    let strategy = (wild::spec(), wild::hand(), bars(), papers);
    let result = TestRunner::new(config).run(&strategy, |(spec, hand, bars, paper)| {
        let file = wild::file(&spec, hand) + &billet(&bars);
        let Ok(design) = design::read(file.as_bytes()) else { return Ok(()) };
        designs.set(designs.get() + 1);
        laminated.set(laminated.get() + usize::from(design.billet().is_some()));
        pages(&design, paper).map_err(|why| TestCaseError::fail(format!("{why}\n{file}")))?;
        Ok(())
    });
    if let Err(failure) = result {
        panic!("{failure}");
    }
    println!("{} designs, {} with a billet", designs.get(), laminated.get());
    assert!(designs.get() > cases / 8 && laminated.get() > 2, "too few to prove anything");
}
