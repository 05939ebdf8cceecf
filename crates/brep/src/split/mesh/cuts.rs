//! Cuts through the triangles of a mesh: each edge is cut once, so that both its triangles share the new vertex.

use std::collections::BTreeMap;

use glam::DVec3;

/// Ends of a cut nearer to each other than this share of each coordinate are one vertex: 16 steps of a
/// single-precision number (2⁻²³ of it each). Nearer ones would fall together in such files, or stand there in a
/// row with a third. As all three coordinates count for themselves, a vertex moves along the blade, not out of
/// its faces: a millimetre's thousandth at half a metre, a tenth of a micrometre across.
const SHARE: f64 = 16.0 / 8_388_608.0;

/// Small coordinates are counted as this share of the greatest: a quarter of its own step. Two vertices one step apart in
/// x and next to nothing across would stand in a row with any third one above them.
const LEAST: f64 = 1.0 / 64.0;

/// The vertices of a mesh and those that cuts add to them.
pub(crate) struct Cuts<'a> {
    vertices: &'a mut Vec<DVec3>,
    /// How many vertices there were before the first cut.
    old: u32,
    made: BTreeMap<(u32, u32), u32>,
    /// For each new vertex the one it stands for, itself unless it fell together with another.
    root: Vec<u32>,
}

impl<'a> Cuts<'a> {
    pub(crate) fn new(vertices: &'a mut Vec<DVec3>) -> Self {
        let old = vertices.len() as u32;
        Cuts { vertices, old, made: BTreeMap::new(), root: Vec::new() }
    }

    pub(crate) fn at(&self, vertex: u32) -> DVec3 {
        self.vertices[vertex as usize]
    }

    /// The vertex on the edge between `low` and `high`, made by `point` when the edge is first cut.
    pub(crate) fn between(&mut self, low: u32, high: u32, point: impl Fn(DVec3, DVec3) -> DVec3) -> u32 {
        if let Some(&known) = self.made.get(&(low, high)) {
            return known;
        }
        let new = self.vertices.len() as u32;
        self.vertices.push(point(self.at(low), self.at(high)));
        self.root.push(new);
        self.made.insert((low, high), new);
        new
    }

    /// The vertex that stands for this one.
    pub(crate) fn root(&self, vertex: u32) -> u32 {
        let mut found = vertex;
        while found >= self.old && self.root[(found - self.old) as usize] != found {
            found = self.root[(found - self.old) as usize];
        }
        found
    }

    /// Makes the ends of a cut through one triangle the same vertex if single precision can't tell them apart.
    /// Old vertices stay.
    pub(crate) fn merge(&mut self, one: u32, other: u32) {
        let (one, other) = (self.root(one), self.root(other));
        let (low, high) = (one.min(other), one.max(other));
        if low != high && high >= self.old && together(self.at(low), self.at(high)) {
            self.root[(high - self.old) as usize] = low;
        }
    }

    /// A ring after all merging; fewer than three vertices where nothing is left of it.
    pub(crate) fn whole(&self, ring: &[u32]) -> Vec<u32> {
        let mut ring: Vec<u32> = ring.iter().map(|&v| self.root(v)).collect();
        ring.dedup();
        while ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        ring
    }

    /// All vertices so far.
    pub(crate) fn vertices(&self) -> &[DVec3] {
        self.vertices
    }
}

fn together(a: DVec3, b: DVec3) -> bool {
    let size = a.abs().max(b.abs());
    let step = size.max(DVec3::splat(size.max_element() * LEAST)) * SHARE;
    (a - b).abs().cmplt(step).all()
}

/// What of a ring lies below and above a cut. `side` is negative below, positive above and zero on the cut; `cut`
/// makes the vertex between one below and one above.
pub(crate) fn clip(
    ring: &[u32],
    side: impl Fn(u32) -> f64,
    mut cut: impl FnMut(u32, u32) -> u32,
) -> [Vec<u32>; 2] {
    let (mut low, mut high) = (Vec::with_capacity(5), Vec::with_capacity(5));
    for (i, &p) in ring.iter().enumerate() {
        let q = ring[(i + 1) % ring.len()];
        let (sp, sq) = (side(p), side(q));
        if sp <= 0.0 {
            low.push(p);
        }
        if sp >= 0.0 {
            high.push(p);
        }
        if sp * sq < 0.0 {
            let new = if sp < 0.0 { cut(p, q) } else { cut(q, p) };
            low.push(new);
            high.push(new);
        }
    }
    [low, high]
}
