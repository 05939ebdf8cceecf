//! A mesh cut at stations, so that between two of them every seam is a plane.

use glam::DVec3;

use super::cuts::{Cuts, clip};
use super::rings::Rings;
use crate::mesh::Mesh;

/// Vertices nearer to a station than this (mm) count as on it. Where a seam bends there, the edges from such a vertex
/// miss it by the bend's share of that. Cells two micrometres long still are 60 steps of a single-precision
/// number at half a metre.
pub const NEAR: f64 = 0.002;

/// The station that x is on, if any: an index into `stations`, which increase.
pub(crate) fn station_at(stations: &[f64], x: f64) -> Option<usize> {
    let next = stations.partition_point(|&s| s < x - NEAR);
    (next < stations.len() && stations[next] <= x + NEAR).then_some(next)
}

/// Vertices and faces of the same surface, no face of which reaches past a station.
pub(crate) fn at_stations(mesh: &Mesh, stations: &[f64]) -> (Vec<DVec3>, Rings) {
    let mut vertices = mesh.vertices().to_vec();
    let mut cuts = Cuts::new(&mut vertices);
    let mut rings = Vec::with_capacity(mesh.triangles().len());
    for triangle in mesh.triangles() {
        slice(triangle, stations, &mut cuts, &mut rings);
    }
    let mut faces = Rings::default();
    rings.iter().for_each(|ring| faces.push(&cuts.whole(ring)));
    (vertices, faces)
}

/// Cuts a triangle into rings of three to five vertices, one for each slab it reaches into.
fn slice(triangle: &[u32; 3], stations: &[f64], cuts: &mut Cuts, rings: &mut Vec<Vec<u32>>) {
    let x = triangle.map(|v| cuts.at(v).x);
    let (low, high) = (x[0].min(x[1]).min(x[2]), x[0].max(x[1]).max(x[2]));
    let mut rest = triangle.to_vec();
    let first = stations.partition_point(|&s| s <= low + NEAR);
    for &station in stations[first..].iter().take_while(|&&s| s < high - NEAR) {
        let [before, after] = cut_at(&rest, station, cuts);
        rings.push(before);
        rest = after;
    }
    rings.push(rest);
}

/// The parts of a ring before and after a station.
fn cut_at(ring: &[u32], station: f64, cuts: &mut Cuts) -> [Vec<u32>; 2] {
    let sides: Vec<(u32, f64)> = ring.iter().map(|&v| (v, off(cuts.at(v).x, station))).collect();
    let side = |v: u32| sides.iter().find(|s| s.0 == v).map_or(0.0, |s| s.1);
    let parts = clip(ring, side, |p, q| cuts.between(p, q, |p, q| at(p, q, station)));
    let mut border = parts[0].iter().filter(|v| parts[1].contains(v));
    if let (Some(&one), Some(&other)) = (border.next(), border.next()) {
        cuts.merge(one, other);
    }
    parts
}

/// x − station, zero if near.
fn off(x: f64, station: f64) -> f64 {
    if (x - station).abs() <= NEAR { 0.0 } else { x - station }
}

/// The point of the line from p to q at a station.
fn at(p: DVec3, q: DVec3, station: f64) -> DVec3 {
    let point = p + (q - p) * ((station - p.x) / (q.x - p.x));
    point.with_x(station)
}
