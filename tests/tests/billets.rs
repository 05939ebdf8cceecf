//! Random billets on every profile's blade: each bar comes out closed, as a mesh and as an exact solid, and together they
//! are the blade.

#![allow(missing_docs, clippy::unwrap_used, reason = "a test of designs known to be sound")]

use blade::{Sections, Stage};
use brep::Mesh;
use design::Design;
use laminate::{
    Bar, Billet, Direction, Height, LayerSet, MaterialMap, Program, Recipe, Share, Squaring, Tip,
};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use steel::nominal;

/// Heights of the bars with whether they run into the tang, and where the tip is cut, if it is, as a share of the length.
fn recipes() -> impl Strategy<Value = (Vec<(f64, bool)>, Option<f64>)> {
    let bars = proptest::collection::vec((1.0..20.0, any::<bool>()), 1..10);
    (bars, proptest::option::weighted(0.4, 0.1..0.95))
}

fn billet(bars: &[(f64, bool)], tip: Tip) -> Billet {
    let first = bars.iter().position(|b| b.1).unwrap_or(0);
    let bar = |(i, &(height, tang)): (usize, &(f64, bool))| Bar {
        name: format!("bar {i}"),
        height: Height::even(height),
        layers: LayerSet::plain(0),
        direction: Direction::Upright,
        slope: None,
        twist: Program::default(),
        squaring: Squaring::Forged,
        tang: tang || i == first,
        teeth: None,
        share: Share::default(),
        plugs: Vec::new(),
    };
    let bars = bars.iter().enumerate().map(bar).collect();
    Billet::new(Recipe { width: 11.0, bars, steels: vec![nominal("C45").unwrap()], tip }).unwrap()
}

fn profiles() -> Vec<(String, Design)> {
    let all = fixtures::profiles::all().into_iter();
    all.map(|profile| (profile.name, design::read(profile.text.as_bytes()).unwrap())).collect()
}

/// Cases for all profiles together; `SEAXWRIGHT_CASES` raises them in proportion to its usual 2000.
fn cases() -> u32 {
    let asked = std::env::var("SEAXWRIGHT_CASES").ok().and_then(|n| n.parse::<u32>().ok());
    asked.unwrap_or(2000) / 100
}

#[test]
fn every_bar_of_random_billets_is_a_body() {
    let profiles = profiles();
    let strategy = (0..profiles.len(), 0..3_usize, recipes());
    let config = Config { cases: cases(), failure_persistence: None, ..Config::default() };
    let mut runner = TestRunner::new_with_rng(
        config,
        proptest::test_runner::TestRng::deterministic_rng(proptest::test_runner::RngAlgorithm::ChaCha),
    );
    runner
        .run(&strategy, |(which, stage, (bars, cut))| {
            let (name, design) = &profiles[which];
            let blade = design.blade();
            let tip = cut.map_or(Tip::Forged, |share| Tip::Cut { from: share * blade.length() });
            let lay = MaterialMap::new(billet(&bars, tip), Sections::of(&blade.loft(Stage::Forged))).unwrap();
            let loft = blade.loft(Stage::ALL[stage]);
            let mesh = Mesh::of(loft.shell(), 0.02).unwrap();
            let zones = lay.zones(&mesh, 0.01).map_err(|f| fail(name, stage, &f))?;
            let sum: f64 = zones.iter().map(|z| z.mesh.volume()).sum();
            prop_assert!((sum / mesh.volume() - 1.0).abs() < 1e-8, "{name}: {}", sum / mesh.volume() - 1.0);
            for zone in &zones {
                export::three_mf(&zone.mesh, "bar").map_err(|f| fail(name, stage, &f))?;
            }
            let bodies = lay.bodies(&loft, 1e-3).map_err(|f| fail(name, stage, &f))?;
            for piece in bodies.iter().flat_map(|b| &b.pieces) {
                solid::solid(piece.boundary()).map_err(|f| fail(name, stage, &f))?;
            }
            let exact: Vec<_> = bodies.iter().map(|b| (b.bar, b.part)).collect();
            let meshed: Vec<_> = zones.iter().map(|z| (z.bar, z.part)).collect();
            prop_assert_eq!(exact, meshed, "{}", name);
            Ok(())
        })
        .unwrap();
}

fn fail(name: &str, stage: usize, fault: &dyn std::fmt::Display) -> TestCaseError {
    TestCaseError::fail(format!("{name}, stage {stage}: {fault}"))
}
