//! A mesh parted into closed meshes by sheets parallel to z: across the blade, or along it by seams.
//!
//! Each sheet parts one closed set of triangles in two. The triangles are cut where they cross the sheet, handed to
//! their side, and the rim they leave there is closed by one wall for both sides, which each uses in its own sense. So
//! both are closed by construction, whatever the sheet meets: the edge, a hole, a face that lies in it, the
//! point. Their volumes sum to the whole, for no vertex is moved.

use std::collections::{BTreeMap, BTreeSet};

use glam::{DVec2, DVec3};

use crate::cuts::{Cuts, clip};
use crate::mesh::{Mesh, MeshFault};
use crate::slabs::{at_stations, station_at};
use crate::wall::{Spot, wall};

/// Vertices nearer to a seam than this (mm) count as on it and stay where they are. Files in single precision
/// keep 3e-5 mm at half a metre: a cut made nearer to a vertex could fall together with it, or leave a
/// triangle between both that has no area there. A bar's border is not known to a hundredth in any forge.
pub(crate) const SNAP: f64 = 2e-3;

/// Height over distance at most: past this slope vertices one above the other, say on the tang's end, are still told
/// apart to a hundredth of a millimetre. Only crooked seams are so steep; they are snapped to from less far.
const STEEP: f64 = 4.0;

/// Vertices nearer to a plane across than this share of its station count as on it: 32 steps of a
/// single-precision number (2⁻²³ of it each).
const SHARE_ACROSS: f64 = 32.0 / 8_388_608.0;

/// The least of it, mm: at the shoulder plane only rounding is taken up.
const SNAP_ACROSS: f64 = 1e-7;

/// Attempts to free a cut from places where a part would touch itself: each frees all it finds, and what it frees
/// rarely leads to another.
const ROUNDS: usize = 8;

impl Mesh {
    /// What lies behind and what lies ahead of the plane at station `x` (mm), closed by one common cap; `None`
    /// where there is nothing. Faces that lie in the plane go to the body they bound: the shoulder to the blade.
    ///
    /// # Errors
    /// [`MeshFault::Border`] when the cut's border crosses itself. Any other fault means that a part would have
    /// triangles without area.
    pub fn split_across(&self, x: f64) -> Result<[Option<Mesh>; 2], MeshFault> {
        let name = format!("cut across at {x}");
        if x.is_nan() {
            return Err(MeshFault::Border(name));
        }
        let (vertices, triangles) = (self.vertices().to_vec(), self.triangles().to_vec());
        let mut body = Body { vertices, triangles, walls: BTreeSet::new() };
        let parts = Sheet::Across(x).part(&mut body, &name)?;
        let [behind, ahead] = parts.map(|part| compact(&body.vertices, &part));
        Ok([behind?, ahead?])
    }

    /// The zones between seams, from the edge up: one more than there are seams, `None` where a zone has no body.
    /// A zone may consist of several pieces. Each seam is a sheet parallel to z over the line through its `heights`
    /// (y, mm) at the increasing `stations` (x, mm); before the first and past the last of them it keeps its
    /// height. Seams stand in order from the edge up and don't cross. The body's faces must not overhang along z.
    ///
    /// Vertices of the mesh nearer to a seam than 0.002 mm, and to a station than that, count as on it and stay where
    /// they are; all others are on their side of it. Where seams meet or cross, the later follows the earlier.
    ///
    /// # Errors
    /// [`MeshFault::Seam`] when stations don't increase or a seam lacks a finite height for each of them;
    /// [`MeshFault::Border`] when a seam's wall has a border that crosses itself. Any other fault means
    /// that a zone would have triangles without area.
    pub fn split_along(
        &self,
        stations: &[f64],
        heights: &[Vec<f64>],
    ) -> Result<Vec<Option<Mesh>>, MeshFault> {
        let seams = seams(stations, heights)?;
        if seams.is_empty() {
            return Ok(vec![Some(self.clone())]);
        }
        let (vertices, triangles) = at_stations(self, stations);
        let mut body = Body { vertices, triangles, walls: BTreeSet::new() };
        let mut zones = Vec::with_capacity(seams.len() + 1);
        for (i, seam) in seams.iter().enumerate() {
            let [below, above] = Sheet::Along(seam).part(&mut body, &format!("seam {}", i + 1))?;
            zones.push(compact(&body.vertices, &below)?);
            body.triangles = above;
        }
        zones.push(compact(&body.vertices, &body.triangles)?);
        Ok(zones)
    }
}

/// The line a seam stands on: height over stations.
struct Seam<'a> {
    stations: &'a [f64],
    heights: &'a [f64],
}

/// Every seam, checked.
fn seams<'a>(stations: &'a [f64], heights: &'a [Vec<f64>]) -> Result<Vec<Seam<'a>>, MeshFault> {
    let finite = |list: &[f64]| list.iter().all(|v| v.is_finite());
    let increase = !stations.is_empty() && finite(stations) && stations.windows(2).all(|p| p[0] < p[1]);
    let seam = |(i, heights): (usize, &'a Vec<f64>)| {
        let sound = increase && heights.len() == stations.len() && finite(heights);
        if sound { Ok(Seam { stations, heights }) } else { Err(MeshFault::Seam(i)) }
    };
    heights.iter().enumerate().map(seam).collect()
}

impl Seam<'_> {
    /// Height and slope at a station.
    fn at(&self, x: f64) -> (f64, f64) {
        let (s, y) = (self.stations, self.heights);
        let next = s.partition_point(|&s| s <= x);
        if next == 0 || next == s.len() {
            return (y[next.saturating_sub(1)], 0.0);
        }
        let slope = (y[next] - y[next - 1]) / (s[next] - s[next - 1]);
        (y[next - 1] + slope * (x - s[next - 1]), slope)
    }

    /// Pairs of the rim's vertices one above the other on a station, where the wall bends.
    fn ties(&self, rim: &[Spot]) -> Vec<[u32; 2]> {
        let mut on: Vec<(usize, &Spot)> =
            rim.iter().filter_map(|spot| Some((station_at(self.stations, spot.at.x)?, spot))).collect();
        on.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.at.y.total_cmp(&b.1.at.y)));
        on.windows(2).filter(|p| p[0].0 == p[1].0).map(|p| [p[0].1.id, p[1].1.id]).collect()
    }
}

/// What parts a mesh: a plane square to x or a seam.
enum Sheet<'a> {
    Across(f64),
    Along(&'a Seam<'a>),
}

impl Sheet<'_> {
    /// How far a point lies ahead of the plane or, along y, above the seam.
    fn off(&self, p: DVec3) -> f64 {
        match self {
            Sheet::Across(x) => p.x - x,
            Sheet::Along(seam) => p.y - seam.at(p.x).0,
        }
    }

    /// The side of every vertex: how far it is off, zero if it counts as on the sheet.
    fn sides(&self, body: &Body) -> Vec<f64> {
        let off: Vec<f64> = body.vertices.iter().map(|&v| self.off(v)).collect();
        let near = body.vertices.iter().zip(&off).map(|(v, off)| off.abs() < self.near(v.x));
        let mut on: Vec<bool> = near.collect();
        for &[a, b, c] in &body.triangles {
            for (p, q) in [(a, b), (b, c), (c, a)].map(|(p, q)| (p as usize, q as usize)) {
                // An edge that runs through the sheet rather than along it can have only one end on it: both would
                // be one point of the wall.
                let long = body.vertices[p].distance(body.vertices[q]);
                if on[p] && on[q] && (off[p] - off[q]).abs() > 0.5 * long {
                    on[if off[p].abs() > off[q].abs() { p } else { q }] = false;
                }
            }
        }
        let mut sides: Vec<f64> = off.iter().zip(on).map(|(&off, on)| if on { 0.0 } else { off }).collect();
        body.hold(&mut sides);
        sides
    }

    /// The unit normal of the sheet at a station, ahead or up.
    fn up(&self, x: f64) -> DVec3 {
        match self {
            Sheet::Across(_) => DVec3::X,
            Sheet::Along(seam) => DVec3::new(-seam.at(x).1, 1.0, 0.0).normalize(),
        }
    }

    /// How far off a point at station `x` may be to count as on the sheet, measured as by `off`.
    fn near(&self, x: f64) -> f64 {
        match self {
            Sheet::Across(x) => (x.abs() * SHARE_ACROSS).max(SNAP_ACROSS),
            // The distance from a slanting line is less than the height over it.
            Sheet::Along(seam) => SNAP * seam.at(x).1.hypot(1.0).min(STEEP),
        }
    }

    /// A point of the wall in the plane in which the wall of the upper side is seen counter-clockwise.
    fn flat(&self, p: DVec3) -> DVec2 {
        match self {
            Sheet::Across(_) => DVec2::new(p.z, p.y),
            Sheet::Along(_) => DVec2::new(p.x, p.z),
        }
    }

    /// Twice the size of a triangle as seen from above the sheet, negative if it looks down, and as it is.
    fn rise(&self, [a, b, c]: [DVec3; 3]) -> (f64, f64) {
        let normal = (b - a).cross(c - a);
        (normal.dot(self.up((a.x + b.x + c.x) / 3.0)), normal.length())
    }

    /// Triangles that lie in the sheet go to a side as patches joined by edges. A face of the body that stands in the
    /// sheet goes with the body it bounds: below if it looks up. Any other patch is part of a flank or of the
    /// point, thinner than the snap, and goes with most of its neighbours.
    fn lay(&self, vertices: &[DVec3], flat: &[[u32; 3]], [below, above]: [&mut Vec<[u32; 3]>; 2]) {
        let edges = [edges_of(below), edges_of(above)];
        let patch_of = patches(flat);
        let mut patches: BTreeMap<usize, Patch> = BTreeMap::new();
        for (t, patch) in flat.iter().zip(&patch_of) {
            let patch = patches.entry(*patch).or_default();
            let (rise, size) = self.rise(t.map(|v| vertices[v as usize]));
            patch.rise += rise;
            patch.size += size;
            for edge in edges_of(std::slice::from_ref(t)) {
                patch.below += usize::from(edges[0].binary_search(&edge).is_ok());
                patch.above += usize::from(edges[1].binary_search(&edge).is_ok());
            }
        }
        for (t, patch) in flat.iter().zip(&patch_of) {
            if patches[patch].goes_below() { below.push(*t) } else { above.push(*t) }
        }
    }

    /// Parts closed triangles into those below and those above, each closed by the same wall.
    fn part(&self, body: &mut Body, name: &str) -> Result<[Vec<[u32; 3]>; 2], MeshFault> {
        let old = body.vertices.len();
        let mut sides = self.sides(body);
        for _ in 0..ROUNDS {
            body.vertices.truncate(old);
            let [mut below, mut above] = self.cut(&mut body.vertices, &body.triangles, &sides);
            let on = |v: u32| sides.get(v as usize).is_none_or(|&s| s == 0.0);
            let (edges, over) = (Edges::of(&below, on), Edges::of(&above, on));
            let made = self.wall(&body.vertices, &edges.rim).ok_or_else(|| MeshFault::Border(name.into()))?;
            let pinched = pinched(&made, [&edges, &over], &sides);
            if pinched.is_empty() {
                body.walls.extend(edges.rim.iter().flatten());
                below.extend(made.iter().map(|&[a, b, c]| [a, c, b]));
                above.extend(made);
                return Ok([below, above]);
            }
            for (vertex, sign) in pinched {
                // An earlier wall stays below: there the part keeps a neck instead.
                let sign = if body.walls.contains(&vertex) { -1.0 } else { sign };
                sides[vertex as usize] = sign * self.near(body.vertices[vertex as usize].x);
            }
        }
        Err(MeshFault::Border(name.into()))
    }

    /// The wall inside a rim.
    fn wall(&self, vertices: &[DVec3], rim: &[[u32; 2]]) -> Option<Vec<[u32; 3]>> {
        if rim.is_empty() {
            return Some(Vec::new());
        }
        let spots = self.spots(vertices, rim);
        let ties = if let Sheet::Along(seam) = self { seam.ties(&spots) } else { Vec::new() };
        wall(spots, rim, &ties)
    }

    /// The triangles below and above, those that cross cut at the sheet.
    fn cut(&self, vertices: &mut Vec<DVec3>, triangles: &[[u32; 3]], sides: &[f64]) -> [Vec<[u32; 3]>; 2] {
        let (mut below, mut above) = (Vec::new(), Vec::with_capacity(triangles.len()));
        let (mut rings, mut flat) = (Vec::new(), Vec::new());
        let mut cuts = Cuts::new(vertices);
        for triangle in triangles {
            let side = triangle.map(|v| sides[v as usize]);
            let (low, high) = (side.iter().any(|&s| s < 0.0), side.iter().any(|&s| s > 0.0));
            match (low, high) {
                (true, true) => rings.push(halves(triangle, sides, &mut cuts)),
                (true, false) => below.push(*triangle),
                (false, true) => above.push(*triangle),
                (false, false) => flat.push(*triangle),
            }
        }
        for [low, high] in rings {
            cuts.fan(&low, &mut below);
            cuts.fan(&high, &mut above);
        }
        if !flat.is_empty() {
            self.lay(vertices, &flat, [&mut below, &mut above]);
        }
        [below, above]
    }

    /// The rim's vertices, in order of their ids.
    fn spots(&self, vertices: &[DVec3], rim: &[[u32; 2]]) -> Vec<Spot> {
        let mut ids: Vec<u32> = rim.iter().flatten().copied().collect();
        ids.sort_unstable();
        ids.dedup();
        ids.into_iter().map(|id| Spot { at: self.flat(vertices[id as usize]), id }).collect()
    }
}

/// The rings of a triangle below and above.
fn halves(triangle: &[u32; 3], sides: &[f64], cuts: &mut Cuts) -> [Vec<u32>; 2] {
    let side = |v: u32| sides[v as usize];
    let parts = clip(triangle, side, |p, q| {
        // Counted from below in every triangle, so that mirrored edges give mirrored points.
        let share = side(p) / (side(p) - side(q));
        cuts.between(p, q, |p, q| p + (q - p) * share)
    });
    let mut border = parts[0].iter().filter(|v| parts[1].contains(v));
    if let (Some(&one), Some(&other)) = (border.next(), border.next()) {
        cuts.merge(one, other);
    }
    parts
}

/// Triangles in the sheet that hang together.
#[derive(Default)]
struct Patch {
    /// Twice the size as seen from above the sheet, mm²; negative if it looks down.
    rise: f64,
    /// Twice the size, mm².
    size: f64,
    /// Edges shared with triangles below and above.
    below: usize,
    above: usize,
}

impl Patch {
    fn goes_below(&self) -> bool {
        // A face in the sheet is seen in full; flanks are seen aslant, and what looks both ways not at all.
        let face = self.rise.abs() > 0.5 * self.size;
        match (self.below, self.above) {
            (_, 0) => true,
            (0, _) => false,
            _ if face => self.rise > 0.0,
            (below, above) => below > above,
        }
    }
}

/// Edges of triangles, the lesser end first, in order.
fn edges_of(triangles: &[[u32; 3]]) -> Vec<[u32; 2]> {
    let sides = triangles.iter().flat_map(|&[a, b, c]| [(a, b), (b, c), (c, a)]);
    let mut edges: Vec<[u32; 2]> = sides.map(|(p, q)| [p.min(q), p.max(q)]).collect();
    edges.sort_unstable();
    edges
}

/// For each triangle the least index among those joined to it by edges.
fn patches(triangles: &[[u32; 3]]) -> Vec<usize> {
    let mut edges: Vec<([u32; 2], usize)> = Vec::with_capacity(3 * triangles.len());
    for (i, &[a, b, c]) in triangles.iter().enumerate() {
        edges.extend([(a, b), (b, c), (c, a)].map(|(p, q)| ([p.min(q), p.max(q)], i)));
    }
    edges.sort_unstable();
    let mut patch: Vec<usize> = (0..triangles.len()).collect();
    let root = |patch: &[usize], mut i: usize| {
        while patch[i] != i {
            i = patch[i];
        }
        i
    };
    for pair in edges.windows(2).filter(|p| p[0].0 == p[1].0) {
        let (a, b) = (root(&patch, pair[0].1), root(&patch, pair[1].1));
        patch[a.max(b)] = a.min(b);
    }
    (0..triangles.len()).map(|i| root(&patch, i)).collect()
}

/// Edges in the sheet among the triangles of one side.
struct Edges {
    /// Directed ones without counterpart.
    rim: Vec<[u32; 2]>,
    /// Those between two triangles, the lesser end first, in order.
    inner: Vec<[u32; 2]>,
}

impl Edges {
    fn of(triangles: &[[u32; 3]], on: impl Fn(u32) -> bool) -> Edges {
        let mut all: Vec<(u32, u32, bool)> = Vec::new();
        for &[a, b, c] in triangles {
            for (p, q) in [(a, b), (b, c), (c, a)] {
                if on(p) && on(q) {
                    all.push((p.min(q), p.max(q), p < q));
                }
            }
        }
        all.sort_unstable();
        let mut edges = Edges { rim: Vec::new(), inner: Vec::new() };
        for same in all.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
            match *same {
                [(p, q, true)] => edges.rim.push([p, q]),
                [(p, q, false)] => edges.rim.push([q, p]),
                _ => edges.inner.push([same[0].0, same[0].1]),
            }
        }
        edges
    }
}

/// Old vertices where the wall touches an edge inside the part below or above, with the sign of the other side. There
/// the seam comes to the body's border, say its edge, at one station only and leaves again: four faces of the
/// same part would meet in one line. Handed to the other side, the vertices end the part before the line.
fn pinched(wall: &[[u32; 3]], [below, above]: [&Edges; 2], sides: &[f64]) -> BTreeMap<u32, f64> {
    let mut found = BTreeMap::new();
    for &[a, b, c] in wall {
        for (p, q) in [(a, b), (b, c), (c, a)] {
            let edge = [p.min(q), p.max(q)];
            for (edges, sign) in [(above, -1.0), (below, 1.0)] {
                if edges.inner.binary_search(&edge).is_ok() {
                    let old = edge.into_iter().filter(|&v| (v as usize) < sides.len());
                    found.extend(old.map(|v| (v, sign)));
                }
            }
        }
    }
    found
}

/// Closed triangles that are parted step by step.
struct Body {
    vertices: Vec<DVec3>,
    triangles: Vec<[u32; 3]>,
    /// The vertices of the walls made so far.
    walls: BTreeSet<u32>,
}

impl Body {
    /// Holds walls made so far below the next seam, whatever rounding, snapping or bends may do to their vertices:
    /// then no wall is cut, and both its zones keep the same triangles.
    fn hold(&self, sides: &mut [f64]) {
        self.walls.iter().for_each(|&v| sides[v as usize] = sides[v as usize].min(0.0));
    }
}

/// The mesh of these triangles, with the vertices they use in their old order.
fn compact(vertices: &[DVec3], triangles: &[[u32; 3]]) -> Result<Option<Mesh>, MeshFault> {
    if triangles.is_empty() {
        return Ok(None);
    }
    let mut names = vec![u32::MAX; vertices.len()];
    triangles.iter().flatten().for_each(|&v| names[v as usize] = 0);
    let mut used = Vec::new();
    for (name, vertex) in names.iter_mut().zip(vertices).filter(|(name, _)| **name == 0) {
        *name = used.len() as u32;
        used.push(*vertex);
    }
    let triangles = triangles.iter().map(|t| t.map(|v| names[v as usize])).collect();
    Mesh::new(used, triangles).map(Some)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};

    use super::*;
    use crate::blade::Blade;
    use crate::sample::variants;
    use crate::slabs::NEAR;
    use crate::spec::Stage;

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

    /// Zones lie between their seams.
    fn sides(stations: &[f64], heights: &[Vec<f64>], zones: &[Option<Mesh>]) -> Result<(), String> {
        let seams = seams(stations, heights).unwrap();
        let slopes = seams.iter().flat_map(|s| s.stations.iter().map(|&x| s.at(x).1));
        let steep = slopes.fold(0.0, |m: f64, s| m.max(s.abs())).hypot(1.0);
        for (k, zone) in zones.iter().enumerate() {
            for v in zone.iter().flat_map(|z| z.vertices()) {
                let over = |s: &Seam| {
                    let (y, slope) = s.at(v.x);
                    (v.y - y) / slope.hypot(1.0)
                };
                let low = k.checked_sub(1).map_or(1.0, |k| over(&seams[k]));
                let high = seams.get(k).map_or(-1.0, over);
                // A vertex near a station may miss the seam's bend there by as much as it is off the station.
                let most = (SNAP + NEAR) * steep;
                if low < -most || high > most {
                    return Err(format!("zone {k} at {v}: {low} {high}"));
                }
            }
        }
        Ok(())
    }

    fn along(
        name: &str,
        mesh: &Mesh,
        (stations, heights): &(Vec<f64>, Vec<Vec<f64>>),
    ) -> Result<usize, String> {
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

    /// A box from the origin.
    fn block(size: DVec3) -> Mesh {
        let corner = |i: u32| DVec3::new(f64::from(i & 1), f64::from(i >> 1 & 1), f64::from(i >> 2)) * size;
        let quads = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
        let triangles = quads.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect();
        Mesh::new((0..8).map(corner).collect(), triangles).unwrap()
    }

    #[test]
    fn a_block_parts_into_the_volumes_under_its_seams() {
        let block = block(DVec3::new(10.0, 4.0, 2.0));
        let [behind, ahead] = block.split_across(2.5).unwrap().map(|m| m.unwrap().volume());
        assert!((behind - 20.0).abs() < 1e-12 && (ahead - 60.0).abs() < 1e-12, "{behind} {ahead}");
        // A rising seam, one that bends up and leaves through the top at x = 6, and one along the top.
        let seams = [vec![0.0, 1.0, 2.0], vec![2.0, 2.0, 12.0], vec![4.0, 4.0, 4.0]];
        let zones = block.split_along(&[0.0, 5.0, 10.0], &seams).unwrap();
        let volumes: Vec<f64> = zones.iter().map(|z| z.as_ref().map_or(0.0, Mesh::volume)).collect();
        // Under the second seam: level up to 5, a wedge up to 6, the whole height from there on.
        let under = 2.0 * (5.0 * 2.0 + 2.0 * 1.0 + 1.0 + 4.0 * 4.0);
        for (v, expected) in volumes.iter().zip([20.0, under - 20.0, 80.0 - under, 0.0]) {
            assert!((v - expected).abs() < 1e-12, "{volumes:?}");
        }
        assert!(zones[3].is_none());
        assert_eq!(block.split_across(10.0).unwrap(), [Some(block.clone()), None]);
        assert_eq!(block.split_along(&[], &[]).unwrap(), [Some(block)]);
    }

    #[test]
    fn seams_without_a_height_for_each_station_are_refused() {
        let block = block(DVec3::ONE);
        let two = vec![0.5, 0.5];
        let faulty = |stations: &[f64], seams: &[Vec<f64>]| block.split_along(stations, seams).unwrap_err();
        assert_eq!(faulty(&[0.0, 1.0], &[two.clone(), vec![0.7]]), MeshFault::Seam(1));
        assert_eq!(faulty(&[1.0, 1.0], std::slice::from_ref(&two)), MeshFault::Seam(0));
        assert_eq!(faulty(&[0.0, f64::NAN], &[two]), MeshFault::Seam(0));
        assert_eq!(faulty(&[0.0], &[vec![f64::INFINITY]]), MeshFault::Seam(0));
        assert_eq!(faulty(&[], &[vec![]]), MeshFault::Seam(0));
        assert!(matches!(block.split_across(f64::NAN), Err(MeshFault::Border(_))));
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
                    let mut line: Vec<DVec3> =
                        mesh.vertices().iter().skip(i).step_by(7 + i).copied().collect();
                    line.sort_by(|a, b| a.x.total_cmp(&b.x));
                    line.dedup_by(|b, a| b.x - a.x < 5.0);
                    let seams =
                        (line.iter().map(|p| p.x).collect(), vec![line.iter().map(|p| p.y).collect()]);
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
}
