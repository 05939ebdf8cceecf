//! Meshes of blades split across and along seams: the parts are closed and are the whole.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use std::collections::BTreeSet;

use blade::{Blade, Stage};
use brep::Mesh;
use brep::split::mesh::{NEAR, SNAP};
use fixtures::specs::variants;
use glam::DVec3;
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};

type Corner = [u64; 3];

/// Least and greatest y of a mesh at each station.
fn reach(mesh: &Mesh, stations: &[f64]) -> Vec<(f64, f64)> {
    let mut ranges = vec![(f64::INFINITY, f64::NEG_INFINITY); stations.len()];
    for t in mesh.corners() {
        for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
            let (a, b) = if a.x < b.x { (a, b) } else { (b, a) };
            let first = stations.partition_point(|&s| s < a.x);
            for (x, range) in stations.iter().zip(&mut ranges).skip(first).take_while(|r| *r.0 <= b.x) {
                let share = if a.x < b.x { (x - a.x) / (b.x - a.x) } else { 0.0 };
                let y = a.y + (b.y - a.y) * share;
                *range = (range.0.min(y), range.1.max(y));
            }
        }
    }
    ranges
}

/// Seams at shares of the breadth over n steps from `from` to `to`.
fn shares(mesh: &Mesh, n: usize, (from, to): (f64, f64), shares: &[f64]) -> (Vec<f64>, Vec<Vec<f64>>) {
    let station = |i| (from + (to - from) * i as f64 / n as f64).min(to);
    let stations: Vec<f64> = (0..=n).map(station).collect();
    let ranges = reach(mesh, &stations);
    let line = |s: &f64| ranges.iter().map(|(l, h)| l + (h - l) * s).collect();
    (stations, shares.iter().map(line).collect())
}

fn even(n: usize) -> Vec<f64> {
    (1..=n).map(|i| i as f64 / (n + 1) as f64).collect()
}

/// A triangle by its corners' bits, the least first.
fn key(t: [DVec3; 3]) -> [Corner; 3] {
    let mut t = t.map(|p| (p + DVec3::ZERO).to_array().map(f64::to_bits));
    let least = (0..3).min_by_key(|&i| t[i]).unwrap();
    t.rotate_left(least);
    t
}

fn area([a, b, c]: [DVec3; 3]) -> f64 {
    (b - a).cross(c - a).length() / 2.0
}

/// Surface of `mesh` that is not met by the reverse of a triangle in another part.
fn bare(mesh: &Mesh, all: &BTreeSet<[Corner; 3]>) -> f64 {
    let met = |t: &[DVec3; 3]| all.contains(&key([t[0], t[2], t[1]]));
    mesh.corners().filter(|t| !met(t)).map(area).sum()
}

/// The rule of files in single precision: vertices apart and triangles with area.
fn single(mesh: &Mesh) -> Result<(), String> {
    let v: Vec<_> = mesh.vertices().iter().map(|v| v.as_vec3() + glam::Vec3::ZERO).collect();
    let mut order: Vec<_> = v.iter().map(|v| v.to_array().map(f32::to_bits)).collect();
    order.sort_unstable();
    if let Some(p) = order.windows(2).find(|p| p[0] == p[1]) {
        return Err(format!("vertices fall together at {:?}", p[0].map(f32::from_bits)));
    }
    for t in mesh.triangles() {
        let [a, b, c] = t.map(|i| v[i as usize].as_dvec3());
        if (b - a).cross(c - a) == DVec3::ZERO {
            return Err(format!("no area in {a} {b} {c}"));
        }
    }
    Ok(())
}

/// Parts are the whole: volume, and all surface but walls that two of them share.
fn whole(name: &str, whole: &Mesh, parts: &[Option<Mesh>]) -> Result<(), String> {
    let there = || parts.iter().flatten();
    let off = (there().map(Mesh::volume).sum::<f64>() / whole.volume() - 1.0).abs();
    let all: BTreeSet<_> = there().flat_map(Mesh::corners).map(key).collect();
    let bare = there().map(|m| bare(m, &all)).sum::<f64>() / whole.surface() - 1.0;
    // Cut ends that single precision can't tell apart become one: that moves some surface by a micrometre.
    if off > 1e-9 || bare.abs() > 1e-8 {
        return Err(format!("{name}: {off} of the volume, {bare} of the surface too much"));
    }
    there().try_for_each(|m| single(m).map_err(|e| format!("{name}: {e}")))
}

/// Height and slope of the seam through `heights` at a station: straight between stations, level beyond them.
fn seam_at(stations: &[f64], heights: &[f64], x: f64) -> (f64, f64) {
    let next = stations.partition_point(|&s| s <= x);
    if next == 0 || next == stations.len() {
        return (heights[next.saturating_sub(1)], 0.0);
    }
    let slope = (heights[next] - heights[next - 1]) / (stations[next] - stations[next - 1]);
    (heights[next - 1] + slope * (x - stations[next - 1]), slope)
}

/// Zones lie between their seams.
fn sides(stations: &[f64], heights: &[Vec<f64>], zones: &[Option<Mesh>]) -> Result<(), String> {
    let slopes = heights.iter().flat_map(|h| stations.iter().map(|&x| seam_at(stations, h, x).1));
    let steep = slopes.fold(0.0, |m: f64, s| m.max(s.abs())).hypot(1.0);
    for (k, zone) in zones.iter().enumerate() {
        for v in zone.iter().flat_map(|z| z.vertices()) {
            let over = |h: &Vec<f64>| {
                let (y, slope) = seam_at(stations, h, v.x);
                (v.y - y) / slope.hypot(1.0)
            };
            let low = k.checked_sub(1).map_or(1.0, |k| over(&heights[k]));
            let high = heights.get(k).map_or(-1.0, over);
            // A vertex near a station may miss the seam's bend there by as much as it is off the station.
            let most = (SNAP + NEAR) * steep;
            if low < -most || high > most {
                return Err(format!("zone {k} at {v}: {low} {high}"));
            }
        }
    }
    Ok(())
}

fn along(name: &str, mesh: &Mesh, (stations, heights): &(Vec<f64>, Vec<Vec<f64>>)) -> Result<usize, String> {
    let zones = mesh.split_along(stations, heights).map_err(|f| format!("{name}: {f}"))?;
    whole(name, mesh, &zones)?;
    sides(stations, heights, &zones).map_err(|e| format!("{name}: {e}"))?;
    Ok(zones.iter().flatten().count())
}

fn each(mut what: impl FnMut(&str, &Mesh, [&Mesh; 2]) -> Vec<Result<usize, String>>) {
    let mut faults = Vec::new();
    let mut count = 0;
    for (name, spec) in variants() {
        let blade = Blade::new(&spec).unwrap();
        for stage in Stage::ALL {
            for tolerance in [0.3, 0.02] {
                let mesh = Mesh::of(blade.loft(stage).shell(), tolerance).unwrap();
                let name = format!("{name} {stage} {tolerance}");
                let [tang, blade] = mesh.split_across(0.0).unwrap().map(Option::unwrap);
                for r in what(&name, &mesh, [&tang, &blade]) {
                    count += 1;
                    faults.extend(r.err());
                }
            }
        }
    }
    assert!(faults.is_empty(), "{} of {count}: {faults:#?}", faults.len());
}

#[test]
fn tang_and_blade_part_in_the_shoulder_plane() {
    each(|name, mesh, parts| {
        let [tang, blade] = parts;
        assert!(tang.bounds().1.x == 0.0 && blade.bounds().0.x == 0.0, "{name}");
        vec![whole(name, mesh, &parts.map(|p| Some(p.clone()))).map(|()| 0)]
    });
}

/// Blade, tang and both of every variant, stage and tolerance.
fn meshes() -> Vec<(String, Mesh)> {
    let mut all = Vec::new();
    each(|name, whole, [tang, blade]| {
        all.push((format!("{name}, blade"), blade.clone()));
        all.push((format!("{name}, tang"), tang.clone()));
        all.push((format!("{name}, whole"), whole.clone()));
        Vec::new()
    });
    all
}

#[test]
fn blade_and_tang_part_along_seams() {
    each(|name, _, [tang, blade]| {
        let (low, high) = blade.bounds();
        let mut all = Vec::new();
        for n in 1..=8 {
            let seams = shares(blade, 20 * n, (low.x, high.x), &even(n));
            all.push(along(&format!("{name}, {n} seams"), blade, &seams));
        }
        let seams = shares(tang, 5, (tang.bounds().0.x, 0.0), &even(3));
        all.push(along(&format!("{name}, tang"), tang, &seams));
        all
    });
}

#[test]
fn level_seams_leave_through_the_edge() {
    each(|name, _, [tang, blade]| {
        let mut all = Vec::new();
        for (part, mesh) in [("blade", blade), ("tang", tang)] {
            let (low, high) = mesh.bounds();
            let level = |share: f64| vec![low.y + (high.y - low.y) * share; 2];
            let stations = vec![low.x + 7.0, high.x - 3.0];
            let seams = (stations, [-0.1, 0.0, 0.03, 0.4, 0.7, 0.97, 1.0, 1.1].map(level).to_vec());
            all.push(along(&format!("{name}, {part}"), mesh, &seams));
        }
        all
    });
}

#[test]
fn seams_pass_through_vertices() {
    each(|name, _, [tang, blade]| {
        let mut all = Vec::new();
        for (part, mesh) in [("blade", blade), ("tang", tang)] {
            for i in 0..12 {
                // A seam from vertex to vertex, by ascending stations no nearer than 5 mm.
                let mut line: Vec<DVec3> = mesh.vertices().iter().skip(i).step_by(7 + i).copied().collect();
                line.sort_by(|a, b| a.x.total_cmp(&b.x));
                line.dedup_by(|b, a| b.x - a.x < 5.0);
                let seams = (line.iter().map(|p| p.x).collect(), vec![line.iter().map(|p| p.y).collect()]);
                all.push(along(&format!("{name}, {part} {i}"), mesh, &seams));
            }
        }
        all
    });
}

#[test]
fn stations_may_crowd_at_the_point_and_reach_past_it() {
    each(|name, _, [_, blade]| {
        let (low, high) = blade.bounds();
        let mut all = Vec::new();
        for past in [0.0, 5.0] {
            let fine = [10.0, 3.0, 1.0, 0.3, 0.1, 0.03, 0.01, 0.003, 0.0];
            let near: Vec<f64> = fine.iter().map(|d| high.x - d).collect();
            let ranges = reach(blade, &near);
            let (mut stations, mut heights) = shares(blade, 30, (low.x, high.x - 20.0), &even(6));
            stations.extend(&near);
            for (h, s) in heights.iter_mut().zip(even(6)) {
                h.extend(ranges.iter().map(|(l, h)| l + (h - l) * s));
            }
            if past > 0.0 {
                stations.push(high.x + past);
                heights.iter_mut().enumerate().for_each(|(i, h)| h.push(h[h.len() - 1] + i as f64 - 3.0));
            }
            all.push(along(&format!("{name}, {past} past"), blade, &(stations, heights)));
        }
        all
    });
}

/// Seams that divide the breadth like `bars` at n + 1 stations, all bent by the same `waves`.
fn wavy(mesh: &Mesh, n: usize, bars: &[f64], waves: &[f64]) -> (Vec<f64>, Vec<Vec<f64>>) {
    let (low, high) = mesh.bounds();
    let sum: f64 = bars.iter().sum();
    let (stations, mut heights) = shares(mesh, n, (low.x, high.x), &[0.0, 1.0]);
    let (bottom, top) = (heights.remove(0), heights.remove(0));
    let at = |share: f64, i: usize| {
        // Waves bend all seams alike, so that they don't cross; they may leave the body.
        let wave = waves[i % waves.len()];
        bottom[i] + (top[i] - bottom[i]) * (share + wave)
    };
    let mut share = 0.0;
    let mut seams = Vec::new();
    for bar in &bars[1..] {
        share += bar / sum;
        seams.push((0..stations.len()).map(|i| at(share, i)).collect());
    }
    (stations, seams)
}

#[test]
fn random_seams_part_every_shape() {
    let meshes = meshes();
    // One of ten random designs is a random parting.
    let cases = std::env::var("SEAXWRIGHT_CASES").map_or(200, |n| n.parse::<u32>().unwrap() / 10);
    let config = ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() };
    let seed = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(config, seed);
    let bars = proptest::collection::vec(0.02..1.0f64, 2..9);
    let waves = proptest::collection::vec(-0.2..0.2f64, 1..12);
    let strategy = (0..meshes.len(), 1..200usize, bars, waves);
    runner
        .run(&strategy, |(i, n, bars, waves)| {
            let (name, mesh) = &meshes[i];
            let seams = wavy(mesh, n, &bars, &waves);
            along(name, mesh, &seams).map(|_| ()).map_err(TestCaseError::fail)
        })
        .unwrap();
}
