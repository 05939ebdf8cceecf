//! A mesh parted into closed meshes by sheets parallel to z: across the blade, or along it by seams.
//!
//! Each sheet parts one closed set of plane faces in two. The faces are cut where they cross the sheet, handed to
//! their side, and the rim they leave there is closed by one wall for both sides, which each uses in its own sense. So
//! both are closed by construction, whatever the sheet meets: the edge, a hole, a face that lies in it, the
//! point. Their volumes sum to the whole, for no vertex is moved.

use std::collections::{BTreeMap, BTreeSet};

use glam::{DVec2, DVec3};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

use super::cuts::{Cuts, clip};
use super::edges::{Edges, Patch, edges_of, patches, pinched};
use super::rings::{Rings, edges, fan};
use super::stations::{at_stations, station_at};
use crate::mesh::{Mesh, MeshFault};
use crate::triangulate::{Spot, left_of_rim};

/// Vertices nearer to a seam than this (mm) count as on it and stay where they are. Files in single precision
/// keep 3e-5 mm at half a metre: a cut made nearer to a vertex could fall together with it, or leave a
/// triangle between both that has no area there. A bar's border is not known to a hundredth in any forge.
pub const SNAP: f64 = 2e-3;

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
        let (vertices, faces) = (self.vertices().to_vec(), Rings::of(self.triangles()));
        let mut body = Body { vertices, faces, walls: BTreeSet::new() };
        let (behind, ahead) = Cutter::Across(x).part(&mut body, &name)?;
        let ahead = ahead.triangles(&body.vertices);
        let (behind, ahead) =
            rayon::join(|| compact(&body.vertices, &behind), || compact(&body.vertices, &ahead));
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
        let (vertices, faces) = at_stations(self, stations);
        let mut body = Body { vertices, faces, walls: BTreeSet::new() };
        let mut zones = Vec::with_capacity(seams.len() + 1);
        for (i, seam) in seams.iter().enumerate() {
            let (below, above) = Cutter::Along(seam).part(&mut body, &format!("seam {}", i + 1))?;
            zones.push(below);
            body.faces = above;
        }
        body.meshes(zones)
    }

    /// The bodies between sheets that face to the sides, from the least z up: one more than there are sheets, `None`
    /// where there is nothing. The mesh is cut at the increasing `stations` (x, mm) first, so that between two of
    /// them sheets may count as straight. Sheets stand in order and don't cross.
    ///
    /// # Errors
    /// As [`Mesh::split_along`].
    pub fn split_through(
        &self,
        stations: &[f64],
        sheets: &[Leaf<'_>],
    ) -> Result<Vec<Option<Mesh>>, MeshFault> {
        let (vertices, faces) = at_stations(self, stations);
        let mut body = Body { vertices, faces, walls: BTreeSet::new() };
        let mut bodies = Vec::with_capacity(sheets.len() + 1);
        for (i, sheet) in sheets.iter().enumerate() {
            let (below, above) = Cutter::Through(sheet).part(&mut body, &format!("sheet {}", i + 1))?;
            bodies.push(below);
            body.faces = above;
        }
        body.meshes(bodies)
    }
}

/// A sheet that faces to the sides: one z (mm) over every place of the side.
pub struct Leaf<'a> {
    /// z (mm) at a place (x, y) of the side, mm.
    pub z: &'a dyn Fn(DVec2) -> f64,
    /// Places of the side, mm, at which a wall in the sheet keeps to it where they lie inside the wall: between them
    /// it is flat.
    pub marks: &'a [DVec2],
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
enum Cutter<'a> {
    Across(f64),
    Along(&'a Seam<'a>),
    Through(&'a Leaf<'a>),
}

impl Cutter<'_> {
    /// How far a point lies ahead of the plane, along y above the seam or along z over the sheet.
    fn off(&self, p: DVec3) -> f64 {
        match self {
            Cutter::Across(x) => p.x - x,
            Cutter::Along(seam) => p.y - seam.at(p.x).0,
            Cutter::Through(leaf) => p.z - (leaf.z)(p.truncate()),
        }
    }

    /// The side of every vertex: how far it is off, zero if it counts as on the sheet.
    fn sides(&self, body: &Body) -> Vec<f64> {
        let off: Vec<f64> = body.vertices.iter().map(|&v| self.off(v)).collect();
        let near = body.vertices.iter().zip(&off).map(|(v, off)| off.abs() < self.near(v.x));
        let mut on: Vec<bool> = near.collect();
        for (p, q) in body.faces.iter().flat_map(edges).map(|(p, q)| (p as usize, q as usize)) {
            // An edge that runs through the sheet rather than along it can have only one end on it: both would
            // be one point of the wall.
            if on[p] && on[q] && (off[p] - off[q]).abs() > 0.5 * body.vertices[p].distance(body.vertices[q]) {
                on[if off[p].abs() > off[q].abs() { p } else { q }] = false;
            }
        }
        let mut sides: Vec<f64> = off.iter().zip(on).map(|(&off, on)| if on { 0.0 } else { off }).collect();
        body.hold(&mut sides);
        sides
    }

    /// The unit normal of the sheet at a station, ahead or up; of one that faces to the sides about that.
    fn up(&self, x: f64) -> DVec3 {
        match self {
            Cutter::Across(_) => DVec3::X,
            Cutter::Along(seam) => DVec3::new(-seam.at(x).1, 1.0, 0.0).normalize(),
            Cutter::Through(_) => DVec3::Z,
        }
    }

    /// How far off a point at station `x` may be to count as on the sheet, measured as by `off`.
    fn near(&self, x: f64) -> f64 {
        match self {
            Cutter::Across(x) => (x.abs() * SHARE_ACROSS).max(SNAP_ACROSS),
            // The distance from a slanting line is less than the height over it.
            Cutter::Along(seam) => SNAP * seam.at(x).1.hypot(1.0).min(STEEP),
            Cutter::Through(_) => SNAP,
        }
    }

    /// A point of the wall in the plane in which the wall of the upper side is seen counter-clockwise.
    fn flat(&self, p: DVec3) -> DVec2 {
        match self {
            Cutter::Across(_) => DVec2::new(p.z, p.y),
            Cutter::Along(_) => DVec2::new(p.x, p.z),
            Cutter::Through(_) => DVec2::new(p.y, p.x),
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
    fn lay(&self, vertices: &[DVec3], flat: &[[u32; 3]], below: &mut Vec<[u32; 3]>, above: &mut Rings) {
        let known = [edges_of(slices(below)), edges_of(above.iter())];
        let patch_of = patches(flat);
        let mut patches: BTreeMap<usize, Patch> = BTreeMap::new();
        for (t, patch) in flat.iter().zip(&patch_of) {
            let patch = patches.entry(*patch).or_default();
            let (rise, size) = self.rise(t.map(|v| vertices[v as usize]));
            patch.rise += rise;
            patch.size += size;
            for (p, q) in edges(t) {
                let edge = [p.min(q), p.max(q)];
                patch.below += usize::from(known[0].binary_search(&edge).is_ok());
                patch.above += usize::from(known[1].binary_search(&edge).is_ok());
            }
        }
        for (t, patch) in flat.iter().zip(&patch_of) {
            if patches[patch].goes_below() { below.push(*t) } else { above.push(t) }
        }
    }

    /// Parts closed faces into those below, as triangles, and those above, each closed by the same wall.
    fn part(&self, body: &mut Body, name: &str) -> Result<(Vec<[u32; 3]>, Rings), MeshFault> {
        let old = body.vertices.len();
        let mut sides = self.sides(body);
        for _ in 0..ROUNDS {
            body.vertices.truncate(old);
            let (mut below, mut above) = self.cut(&mut body.vertices, &body.faces, &sides);
            let on = |v: u32| sides.get(v as usize).is_none_or(|&s| s == 0.0);
            let (under, over) = (Edges::of(slices(&below), on), Edges::of(above.iter(), on));
            let made = self.wall(body, &under.rim).ok_or_else(|| MeshFault::Border(name.into()))?;
            let pinched = pinched(&made, [&under, &over], &sides);
            if pinched.is_empty() {
                body.walls.extend(under.rim.iter().flatten());
                // Those at marks within the wall, too.
                body.walls.extend(made.iter().flatten());
                below.extend(made.iter().map(|&[a, b, c]| [a, c, b]));
                above.extend(&made);
                return Ok((below, above));
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
    fn wall(&self, body: &mut Body, rim: &[[u32; 2]]) -> Option<Vec<[u32; 3]>> {
        if rim.is_empty() {
            return Some(Vec::new());
        }
        let mut spots = self.spots(&body.vertices, rim);
        let ties = if let Cutter::Along(seam) = self { seam.ties(&spots) } else { Vec::new() };
        if let Cutter::Through(leaf) = self {
            let borders: Vec<[DVec2; 2]> =
                rim.iter().map(|ends| ends.map(|v| self.flat(body.vertices[v as usize]))).collect();
            for &mark in leaf.marks {
                let at = DVec2::new(mark.y, mark.x);
                if borders.iter().all(|border| clear(*border, at)) {
                    let id = body.vertices.len() as u32;
                    body.vertices.push(mark.extend((leaf.z)(mark)));
                    spots.push(Spot { at, id });
                }
            }
        }
        left_of_rim(spots, rim, &ties)
    }

    /// What is below, as triangles, and above, faces that cross cut at the sheet.
    fn cut(&self, vertices: &mut Vec<DVec3>, faces: &Rings, sides: &[f64]) -> (Vec<[u32; 3]>, Rings) {
        let on = |v: u32| sides.get(v as usize).is_none_or(|&s| s == 0.0);
        let (mut below, mut above, mut flat) = (Vec::new(), Rings::default(), Vec::new());
        let mut parts = Vec::new();
        let mut cuts = Cuts::new(vertices);
        for face in faces.iter() {
            let side = |sign: f64| face.iter().any(|&v| sign * sides[v as usize] > 0.0);
            match (side(-1.0), side(1.0)) {
                (true, true) => parts.push(halves(face, sides, &mut cuts)),
                (true, false) => fan(cuts.vertices(), face, &mut below),
                (false, true) => keep(cuts.vertices(), face, on, &mut above),
                (false, false) => fan(cuts.vertices(), face, &mut flat),
            }
        }
        for [low, high] in parts {
            fan(cuts.vertices(), &cuts.whole(&low), &mut below);
            keep(cuts.vertices(), &cuts.whole(&high), on, &mut above);
        }
        if !flat.is_empty() {
            self.lay(vertices, &flat, &mut below, &mut above);
        }
        (below, above)
    }

    /// The rim's vertices, in order of their ids.
    fn spots(&self, vertices: &[DVec3], rim: &[[u32; 2]]) -> Vec<Spot> {
        let mut ids: Vec<u32> = rim.iter().flatten().copied().collect();
        ids.sort_unstable();
        ids.dedup();
        ids.into_iter().map(|id| Spot { at: self.flat(vertices[id as usize]), id }).collect()
    }
}

/// A mark nearer to the border of its wall than this, mm, would only leave slivers there.
const CLEAR: f64 = 0.02;

/// Whether a place is clear of a border.
fn clear([from, to]: [DVec2; 2], at: DVec2) -> bool {
    let (way, rest) = (to - from, at - from);
    let share = (rest.dot(way) / way.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
    (rest - way * share).length_squared() > CLEAR * CLEAR
}

/// Takes up a face above a sheet. Where more of it lies on the sheet than a corner or an edge it is parted into triangles, so that no
/// edge between two places of the sheet is found only later.
fn keep(vertices: &[DVec3], face: &[u32], on: impl Fn(u32) -> bool, above: &mut Rings) {
    let lies = face.iter().filter(|&&v| on(v)).count();
    let is_side = lies < 3 && edges(face).filter(|&(p, q)| on(p) && on(q)).count() + 1 >= lies;
    if is_side {
        above.push(face);
    } else {
        let mut triangles = Vec::new();
        fan(vertices, face, &mut triangles);
        above.extend(&triangles);
    }
}

/// Triangles as faces.
fn slices(triangles: &[[u32; 3]]) -> impl Iterator<Item = &[u32]> {
    triangles.iter().map(<[u32; 3]>::as_slice)
}

/// The rings of a face below and above.
fn halves(face: &[u32], sides: &[f64], cuts: &mut Cuts) -> [Vec<u32>; 2] {
    let side = |v: u32| sides[v as usize];
    let parts = clip(face, side, |p, q| {
        // Counted from below in every face, so that mirrored edges give mirrored points.
        let share = side(p) / (side(p) - side(q));
        cuts.between(p, q, |p, q| p + (q - p) * share)
    });
    let mut border = parts[0].iter().filter(|v| parts[1].contains(v));
    if let (Some(&one), Some(&other)) = (border.next(), border.next()) {
        cuts.merge(one, other);
    }
    parts
}

/// Closed plane faces that are parted step by step.
struct Body {
    vertices: Vec<DVec3>,
    faces: Rings,
    /// The vertices of the walls made so far.
    walls: BTreeSet<u32>,
}

impl Body {
    /// Holds walls made so far below the next seam, whatever rounding, snapping or bends may do to their vertices:
    /// then no wall is cut, and both its zones keep the same triangles.
    fn hold(&self, sides: &mut [f64]) {
        self.walls.iter().for_each(|&v| sides[v as usize] = sides[v as usize].min(0.0));
    }

    /// The meshes of the parts taken off below, one after the other, and of the rest.
    fn meshes(self, mut parts: Vec<Vec<[u32; 3]>>) -> Result<Vec<Option<Mesh>>, MeshFault> {
        parts.push(self.faces.triangles(&self.vertices));
        // Proved beside each other; of several faults the lowest part's is told.
        let meshes: Vec<_> = parts.par_iter().map(|part| compact(&self.vertices, part)).collect();
        meshes.into_iter().collect()
    }
}

/// The mesh of these triangles, with the vertices they use in their old order.
fn compact(vertices: &[DVec3], triangles: &[[u32; 3]]) -> Result<Option<Mesh>, MeshFault> {
    if triangles.is_empty() {
        return Ok(None);
    }
    let mut is_used = vec![false; vertices.len()];
    triangles.iter().flatten().for_each(|&v| is_used[v as usize] = true);
    // The name of a vertex that is not used is that of the next one which is, and is never asked for.
    let mut names = Vec::with_capacity(vertices.len());
    let mut used = Vec::new();
    for (vertex, is_used) in vertices.iter().zip(is_used) {
        names.push(used.len() as u32);
        if is_used {
            used.push(*vertex);
        }
    }
    let triangles = triangles.iter().map(|t| t.map(|v| names[v as usize])).collect();
    Mesh::new(used, triangles).map(Some)
}

#[cfg(test)]
mod tests {
    use super::*;

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

    /// A seam adds as many triangles as the one before it, however many there are.
    #[test]
    fn triangles_grow_with_the_seams() {
        let block = block(DVec3::new(10.0, 4.0, 2.0));
        let cut = |seams: u32| {
            // None through a corner of the block's own triangles.
            let heights: Vec<Vec<f64>> = (1..=seams).map(|i| vec![0.37 * f64::from(i); 3]).collect();
            let zones = block.split_along(&[0.0, 5.0, 10.0], &heights).unwrap();
            zones.iter().flatten().map(|zone| zone.triangles().len()).sum::<usize>()
        };
        let [one, two, three, nine] = [1, 2, 3, 9].map(cut);
        assert_eq!((three - two, nine - three), (two - one, 6 * (two - one)));
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
}
