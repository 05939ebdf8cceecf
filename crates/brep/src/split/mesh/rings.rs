//! Plane faces as rings of vertices. A face that is cut again and again stays one ring: cut as triangles, it would be crossed
//! in every diagonal of those before.

use glam::DVec3;

/// Rings of three vertices or more, counter-clockwise as seen from outside the body.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Rings {
    /// The vertices of all of them, one ring after the other.
    corners: Vec<u32>,
    /// Where each ends among those.
    ends: Vec<usize>,
}

impl Rings {
    /// These triangles.
    pub(crate) fn of(triangles: &[[u32; 3]]) -> Rings {
        let corners = triangles.iter().flatten().copied().collect();
        Rings { corners, ends: (1..=triangles.len()).map(|i| 3 * i).collect() }
    }

    /// Takes up a ring; what has fewer than three vertices is none.
    pub(crate) fn push(&mut self, ring: &[u32]) {
        if ring.len() > 2 {
            self.corners.extend(ring);
            self.ends.push(self.corners.len());
        }
    }

    /// Takes up triangles.
    pub(crate) fn extend(&mut self, triangles: &[[u32; 3]]) {
        triangles.iter().for_each(|triangle| self.push(triangle));
    }

    /// Each ring.
    pub(crate) fn iter(&self) -> impl Iterator<Item = &[u32]> {
        self.ends.iter().scan(0, |from, &to| Some(&self.corners[std::mem::replace(from, to)..to]))
    }

    /// All of them as triangles.
    pub(crate) fn triangles(&self, vertices: &[DVec3]) -> Vec<[u32; 3]> {
        let mut triangles = Vec::with_capacity(self.corners.len() - 2 * self.ends.len());
        self.iter().for_each(|ring| fan(vertices, ring, &mut triangles));
        triangles
    }
}

/// The edges of a ring.
pub(super) fn edges(ring: &[u32]) -> impl Iterator<Item = (u32, u32)> {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(&p, &q)| (p, q))
}

/// A ring as triangles: of the ways to fan it out the one whose least triangle is highest. Of fewer than three vertices there
/// is none.
pub(super) fn fan(vertices: &[DVec3], ring: &[u32], out: &mut Vec<[u32; 3]>) {
    match *ring {
        [a, b, c] => out.push([a, b, c]),
        [_, _, _, ..] => {
            let best = (0..ring.len()).map(|i| (i, least_height(vertices, ring, i))).reduce(|a, b| {
                // A tenth of a millionth more is rounding: then the first one stays.
                if b.1 > a.1 * (1.0 + 1e-7) { b } else { a }
            });
            out.extend(fan_from(ring, best.map_or(0, |b| b.0)));
        }
        _ => {}
    }
}

fn least_height(vertices: &[DVec3], ring: &[u32], from: usize) -> f64 {
    fan_from(ring, from).map(|t| height(t.map(|v| vertices[v as usize]))).fold(f64::INFINITY, f64::min)
}

fn fan_from(ring: &[u32], from: usize) -> impl Iterator<Item = [u32; 3]> + '_ {
    let n = ring.len();
    (1..n - 1).map(move |i| [ring[from], ring[(from + i) % n], ring[(from + i + 1) % n]])
}

/// Height of a triangle over its longest side, mm.
fn height([a, b, c]: [DVec3; 3]) -> f64 {
    let longest = (b - a).length().max((c - b).length()).max((a - c).length());
    (b - a).cross(c - a).length() / longest
}
