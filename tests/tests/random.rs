//! Random designs: each is refused with named problems, or closed, oriented and within tolerance, its volumes
//! agreeing. `SEAXWRIGHT_CASES` raises the number of designs.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "helpers of tests count as tests")]

mod wild;

use std::cell::Cell;
use std::fs;
use std::path::Path;

use blade::Stage;
use brep::Mesh;
use design::{Design, Problem};
use export::StepBody;
use proptest::test_runner::{Config, FileFailurePersistence, RngSeed, TestCaseError, TestRunner};

/// Designs tried in an ordinary run, both tests together.
const CASES: u32 = 2000;
/// Least share of designs that must be accepted, or the run proves little.
const ACCEPTED: f64 = 0.15;

/// Builds one stage of a design, and says what is wrong with it.
fn build(design: &Design, stage: Stage, tolerance: f64) -> Result<(), String> {
    let loft = design.blade().loft(stage);
    let moments = loft.moments();
    let (volume, centre) = (moments.volume, moments.centre());
    if !(volume.is_finite() && volume > 0.0 && moments.second.is_finite()) {
        return Err(format!("{moments:?}"));
    }
    let (low, high) = loft.bounds();
    if !(centre.cmpge(low).all() && centre.cmple(high).all()) {
        return Err(format!("centre {centre} outside {low} to {high}"));
    }
    let mesh = Mesh::of(loft.shell(), tolerance).map_err(|e| format!("mesh: {e}"))?;
    let off = (mesh.volume() - volume).abs();
    if off > tolerance * mesh.surface() {
        return Err(format!("volumes {} and {volume} mm³ differ by {off}", mesh.volume()));
    }
    let solid = solid::solid(loft.shell()).map_err(|e| format!("solid: {e}"))?;
    let step = export::step(design.name(), &[StepBody { name: "blade", solids: &[&solid], paint: None }]);
    step.map_err(|e| format!("STEP: {e}"))?;
    export::stl(&mesh, design.name()).map_err(|e| format!("STL: {e}"))?;
    Ok(())
}

/// What is wrong with how a design was refused.
fn refusal(file: &str, problems: &[Problem]) -> Result<(), String> {
    let bad = problems.iter().find(|p| {
        p.code.is_empty()
            || p.message.is_empty()
            || p.help.is_empty()
            || p.span.start > p.span.end
            || file.get(p.span.clone()).is_none()
    });
    match bad {
        Some(problem) => Err(format!("{problem:?}")),
        None if problems.is_empty() => Err("refused without a problem".into()),
        None => Ok(()),
    }
}

/// Tries half of the designs, from this seed.
fn sweep(seed: u64) {
    let cases = std::env::var("SEAXWRIGHT_CASES").map_or(CASES, |n| n.parse().unwrap()) / 2;
    let kept = FileFailurePersistence::Direct("tests/cases/seeds.txt");
    let mut runner = TestRunner::new(Config {
        cases,
        rng_seed: RngSeed::Fixed(seed),
        failure_persistence: Some(Box::new(kept)),
        max_shrink_iters: 1000,
        ..Config::default()
    });
    let (tried, accepted) = (Cell::new(0u32), Cell::new(0u32));
    let designs = (wild::spec(), wild::hand(), 0..3usize, 0.02..0.5f64);
    let result = runner.run(&designs, |(spec, hand, stage, tolerance)| {
        let (file, stage) = (wild::file(&spec, hand), Stage::ALL[stage]);
        tried.set(tried.get() + 1);
        let verdict = match design::read(file.as_bytes()) {
            Ok(design) => {
                accepted.set(accepted.get() + 1);
                build(&design, stage, tolerance)
            }
            Err(problems) => refusal(&file, &problems),
        };
        verdict.map_err(|why| TestCaseError::fail(format!("{why}\n{stage} at {tolerance} mm:\n{file}")))
    });
    if let Err(failure) = result {
        panic!("{failure}");
    }
    let share = f64::from(accepted.get()) / f64::from(tried.get());
    println!("{} of {} designs accepted", accepted.get(), tried.get());
    assert!(share > ACCEPTED, "only {share:.3} accepted");
}

#[test]
fn the_first_half_of_random_designs_is_refused_or_sound() {
    sweep(1);
}

#[test]
fn the_second_half_of_random_designs_is_refused_or_sound() {
    sweep(2);
}

/// The kept designs of a folder.
fn kept(folder: &str) -> Vec<(String, String)> {
    let folder = Path::new("tests/cases").join(folder);
    let entries = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    let mut paths: Vec<_> = entries.filter(|p| p.extension().is_some_and(|e| e == "toml")).collect();
    paths.sort();
    assert!(!paths.is_empty(), "no cases");
    paths.into_iter().map(|p| (p.display().to_string(), fs::read_to_string(&p).unwrap())).collect()
}

#[test]
fn kept_designs_build_at_every_stage_and_tolerance() {
    for (path, file) in kept("built") {
        let design = design::read(file.as_bytes()).unwrap_or_else(|p| panic!("{path}: {p:?}"));
        for stage in Stage::ALL {
            for tolerance in [0.5, 0.1, 0.02] {
                build(&design, stage, tolerance)
                    .unwrap_or_else(|why| panic!("{path}, {stage} at {tolerance} mm: {why}"));
            }
        }
    }
}

#[test]
fn kept_designs_are_refused() {
    for (path, file) in kept("refused") {
        let problems = design::read(file.as_bytes()).expect_err(&path);
        refusal(&file, &problems).unwrap_or_else(|why| panic!("{path}: {why}"));
    }
}
