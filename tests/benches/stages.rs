//! Times of each stage of the work on a 480 mm blade, meshes and their files swept over the tolerance.

#![allow(missing_docs, clippy::unwrap_used, reason = "a benchmark of a design known to be sound")]

use blade::{Loft, Mesh, Stage};
use design::Design;
use divan::Bencher;
use export::StepBody;
use solid::Solid;

/// A 480 mm blade with ricasso, plunge and hollow bevels.
const FILE: &[u8] = include_bytes!("../../profiles/chain-smiths-trial.toml");
/// Tolerances swept, mm.
const TOLERANCES: [f64; 4] = [0.1, 0.02, 0.01, 0.001];

fn main() {
    divan::main();
}

fn sound() -> Design {
    design::read(FILE).unwrap()
}

fn finished() -> Loft {
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
    let design = sound();
    bencher.bench(|| design.blade().loft(Stage::Finished));
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
    bencher.bench(|| export::step("blade", &[StepBody { name: "blade", solid: &solid }]));
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
