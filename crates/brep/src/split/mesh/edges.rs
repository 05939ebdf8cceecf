//! Edges of triangles: those in the sheet, patches joined by edges, and places where a wall would pinch.

use std::collections::BTreeMap;

use super::rings::edges;
use crate::numeric::UnionFind;

/// Triangles in the sheet that hang together.
#[derive(Default)]
pub(super) struct Patch {
    /// Twice the size as seen from above the sheet, mm²; negative if it looks down.
    pub(super) rise: f64,
    /// Twice the size, mm².
    pub(super) size: f64,
    /// Edges shared with triangles below and above.
    pub(super) below: usize,
    pub(super) above: usize,
}

impl Patch {
    pub(super) fn goes_below(&self) -> bool {
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

/// Edges of faces, the lesser end first, in order.
pub(super) fn edges_of<'a>(faces: impl Iterator<Item = &'a [u32]>) -> Vec<[u32; 2]> {
    let mut all: Vec<[u32; 2]> = faces.flat_map(edges).map(|(p, q)| [p.min(q), p.max(q)]).collect();
    all.sort_unstable();
    all
}

/// For each triangle the least index among those joined to it by edges.
pub(super) fn patches(triangles: &[[u32; 3]]) -> Vec<usize> {
    let mut edges: Vec<([u32; 2], usize)> = Vec::with_capacity(3 * triangles.len());
    for (i, &[a, b, c]) in triangles.iter().enumerate() {
        edges.extend([(a, b), (b, c), (c, a)].map(|(p, q)| ([p.min(q), p.max(q)], i)));
    }
    edges.sort_unstable();
    let mut sets = UnionFind::new(triangles.len());
    for pair in edges.windows(2).filter(|p| p[0].0 == p[1].0) {
        sets.join(pair[0].1, pair[1].1);
    }
    sets.roots()
}

/// Edges in the sheet among the faces of one side.
pub(super) struct Edges {
    /// Directed ones without counterpart.
    pub(super) rim: Vec<[u32; 2]>,
    /// Those between two faces, the lesser end first, in order.
    pub(super) inner: Vec<[u32; 2]>,
}

impl Edges {
    /// The edges of these faces between vertices that lie `on` the cut.
    pub(super) fn of<'a>(faces: impl Iterator<Item = &'a [u32]>, on: impl Fn(u32) -> bool) -> Edges {
        let within = faces.flat_map(edges).filter(|&(p, q)| on(p) && on(q));
        let mut all: Vec<(u32, u32, bool)> = within.map(|(p, q)| (p.min(q), p.max(q), p < q)).collect();
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
pub(super) fn pinched(wall: &[[u32; 3]], [below, above]: [&Edges; 2], sides: &[f64]) -> BTreeMap<u32, f64> {
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
