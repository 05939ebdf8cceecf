//! Times of each stage of the work on a 480 mm blade: lofts swept over the taper's stations, meshes and their files over
//! the tolerance, and the tools.

#![allow(missing_docs, clippy::unwrap_used, reason = "a benchmark of a design known to be sound")]

use blade::{Loft, Stage};
use brep::Mesh;
use design::Design;
use divan::Bencher;
use export::StepBody;
use solid::Solid;
use std::sync::Arc;

/// A 480 mm blade with ricasso, plunge and hollow bevels.
const FILE: &[u8] = include_bytes!("../../profiles/chain-smiths-trial.toml");
/// Tolerances swept, mm.
const TOLERANCES: [f64; 4] = [0.1, 0.02, 0.01, 0.001];

/// Taper stations swept.
const STATIONS: [usize; 4] = [3, 10, 30, 60];

fn main() {
    divan::main();
}

fn sound() -> Design {
    design::read(FILE).unwrap()
}

fn finished() -> Arc<Loft> {
    sound().blade().loft(Stage::Finished)
}

fn made(loft: &Loft) -> Solid {
    solid::solid(loft.shell()).unwrap()
}

#[divan::bench]
fn read(bencher: Bencher) {
    bencher.bench(|| design::read(divan::black_box(FILE)));
}

#[divan::bench]
fn loft(bencher: Bencher) {
    // A blade keeps its lofts, so each run has a new one.
    bencher.with_inputs(sound).bench_values(|design| design.blade().loft(Stage::Finished));
}

/// The same blade with its taper read off at this many stations.
fn measured(stations: usize) -> Design {
    let usual = finished();
    let text = std::str::from_utf8(FILE).unwrap();
    let (head, rest) = text.split_once("[[taper]]").unwrap();
    let tail = rest.split_once("[ricasso]").unwrap().1;
    let taper = |i: usize| {
        let at = 460.0 * i as f64 / (stations - 1) as f64;
        format!("[[taper]]\nat = {at}\nback = {}\n", usual.station(at).unwrap().back)
    };
    let taper: String = (0..stations).map(taper).collect();
    design::read(format!("{head}{taper}[ricasso]{tail}").as_bytes()).unwrap()
}

#[divan::bench(args = STATIONS)]
fn loft_of_stations(bencher: Bencher, stations: usize) {
    bencher.with_inputs(|| measured(stations)).bench_values(|design| design.blade().loft(Stage::Finished));
}

#[divan::bench]
fn moments(bencher: Bencher) {
    let loft = finished();
    bencher.bench(|| loft.moments());
}

#[divan::bench(args = TOLERANCES)]
fn mesh(bencher: Bencher, tolerance: f64) {
    let loft = finished();
    bencher.bench(|| Mesh::of(loft.shell(), tolerance));
}

#[divan::bench]
fn solid(bencher: Bencher) {
    let loft = finished();
    bencher.bench(|| solid::solid(loft.shell()));
}

#[divan::bench]
fn step(bencher: Bencher) {
    let solid = made(&finished());
    bencher.bench(|| export::step("blade", &[StepBody { name: "blade", solids: &[&solid], paint: None }]));
}

#[divan::bench(args = TOLERANCES)]
fn stl(bencher: Bencher, tolerance: f64) {
    let mesh = Mesh::of(finished().shell(), tolerance).unwrap();
    bencher.bench(|| export::stl(&mesh, "blade"));
}

#[divan::bench(args = TOLERANCES)]
fn three_mf(bencher: Bencher, tolerance: f64) {
    let mesh = Mesh::of(finished().shell(), tolerance).unwrap();
    bencher.bench(|| export::three_mf(&mesh, "blade"));
}

#[divan::bench]
fn template(bencher: Bencher) {
    let design = sound();
    bencher.bench(|| tooling::template(&design, Stage::Ground, None));
}

#[divan::bench]
fn plates(bencher: Bencher) {
    let design = sound();
    bencher.bench(|| tooling::plates(&design));
}

#[divan::bench]
fn gauges(bencher: Bencher) {
    let design = sound();
    bencher.bench(|| tooling::gauges(&design));
}

#[divan::bench]
fn jig(bencher: Bencher) {
    let design = sound();
    bencher.bench(|| tooling::jig(&design));
}
