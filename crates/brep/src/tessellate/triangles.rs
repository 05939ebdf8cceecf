//! Triangles of a shell's faces, neighbours sharing the vertices of their edges.

use glam::{DVec2, DVec3};

use crate::mesh::MeshFault;
use crate::shell::{Curve, Edge, EdgeUse, Face, Shell, Surface};
use crate::tessellate::steps::{Strip, arc_size, divisions, equal_turns};
use crate::triangulate;

/// The vertices and triangles made so far.
pub(super) struct Triangles {
    pub(super) vertices: Vec<DVec3>,
    pub(super) triangles: Vec<[u32; 3]>,
}

impl Triangles {
    /// A shell's vertices, and no triangles yet.
    pub(super) fn new(shell: &Shell) -> Triangles {
        Triangles { vertices: shell.vertices.clone(), triangles: Vec::new() }
    }

    fn add(&mut self, p: DVec3) -> u32 {
        self.vertices.push(p);
        (self.vertices.len() - 1) as u32
    }

    /// Vertices along an edge from its start to its end.
    pub(super) fn edge(
        &mut self,
        shell: &Shell,
        edge: &Edge,
        rows: Option<&[f64]>,
        tolerance: f64,
    ) -> Vec<u32> {
        let (a, b) = (shell.vertices[edge.start], shell.vertices[edge.end]);
        let mut line = vec![edge.start as u32];
        match &edge.curve {
            Curve::Line => {}
            Curve::Arc { middle, weight } => {
                let size = arc_size(a, *weight, b);
                let arc = shell.arc(edge, *middle, *weight);
                let n = divisions(size, tolerance);
                for v in &equal_turns(size.1, n)[1..n] {
                    line.push(self.add(arc.point(*v)));
                }
            }
            Curve::Spline(spline) => {
                if let Some(rows) = rows {
                    for &u in &rows[1..rows.len() - 1] {
                        line.push(self.add(spline.point(u)));
                    }
                }
            }
        }
        line.push(edge.end as u32);
        line
    }

    /// A strip as rows of vertices across, zipped together.
    pub(super) fn strip(
        &mut self,
        shell: &Shell,
        face: &Face,
        strip: &Strip,
        rows: &[f64],
        lines: &[Vec<u32>],
    ) {
        let sides = Sides::of(shell, &face.loops[0], lines);
        let mut before = sides.start;
        for (i, &u) in rows.iter().enumerate().skip(1) {
            let row = if i + 1 == rows.len() {
                sides.end.clone()
            } else {
                let mut row = vec![sides.low[i]];
                let points = if strip.across.len() > 2 { strip.row(u) } else { Vec::new() };
                for &p in points.iter().take(strip.across.len() - 1).skip(1) {
                    row.push(self.add(p));
                }
                row.push(sides.high[i]);
                row
            };
            self.zip(&before, &row);
            before = row;
        }
    }

    /// Triangles between two rows, the second further along u, both running up v.
    fn zip(&mut self, a: &[u32], b: &[u32]) {
        let (ta, tb) = (self.shares(a), self.shares(b));
        let (mut i, mut j) = (0, 0);
        while i + 1 < a.len() || j + 1 < b.len() {
            let first = if i + 1 == a.len() {
                false
            } else if j + 1 == b.len() {
                true
            } else {
                let gap = ta[i + 1] - tb[j + 1];
                // Like shares make a quadrangle: its shorter diagonal, ties by height, so that mirrored strips match.
                if gap.abs() < 1e-6 { self.first_diagonal(a[i], a[i + 1], b[j], b[j + 1]) } else { gap < 0.0 }
            };
            if first {
                self.triangles.push([a[i], b[j], a[i + 1]]);
                i += 1;
            } else {
                self.triangles.push([a[i], b[j], b[j + 1]]);
                j += 1;
            }
        }
    }

    fn first_diagonal(&self, a: u32, a_next: u32, b: u32, b_next: u32) -> bool {
        let p = |i: u32| self.vertices[i as usize];
        let (one, other) = (p(b).distance(p(a_next)), p(a).distance(p(b_next)));
        if (one - other).abs() > 1e-9 { one < other } else { p(a_next).y > p(a).y }
    }

    /// Share of a row's length at each of its vertices.
    fn shares(&self, row: &[u32]) -> Vec<f64> {
        let mut sums = vec![0.0];
        for pair in row.windows(2) {
            let step = self.vertices[pair[0] as usize].distance(self.vertices[pair[1] as usize]);
            sums.push(sums[sums.len() - 1] + step);
        }
        let whole = sums[sums.len() - 1].max(f64::MIN_POSITIVE);
        sums.into_iter().map(|s| s / whole).collect()
    }

    /// A flat face, or a hole's wall laid flat: constrained Delaunay triangles inside its loops.
    pub(super) fn flat(&mut self, face: &Face, lines: &[Vec<u32>]) -> Result<(), MeshFault> {
        if let Surface::Cylinder { .. } = face.surface {
            self.wall(&face.loops[0], lines);
            return Ok(());
        }
        let Surface::Plane { origin, normal, along } = face.surface else { return Ok(()) };
        let up = normal.cross(along);
        let borders: Vec<[u32; 2]> = face
            .loops
            .iter()
            .flat_map(|one| {
                let ring = ring(one, lines);
                (0..ring.len()).map(|i| [ring[i], ring[(i + 1) % ring.len()]]).collect::<Vec<_>>()
            })
            .collect();
        let place = |id: u32| {
            let p = self.vertices[id as usize] - origin;
            DVec2::new(p.dot(along), p.dot(up))
        };
        let found = triangulate::inside_borders(&borders, place)
            .ok_or_else(|| MeshFault::Border(face.name.clone()))?;
        self.triangles.extend(found);
        Ok(())
    }

    /// A hole's wall: its two rims zipped together.
    fn wall(&mut self, used: &[EdgeUse], lines: &[Vec<u32>]) {
        let (top, bottom) = (along(used[0], lines), along(used[2], lines));
        let bottom: Vec<u32> = bottom.into_iter().rev().collect();
        // Loop: top forward, down, bottom back, up: seen from outside the top runs from left to right.
        self.zip(&bottom, &top);
    }
}

/// Vertices along an edge as a loop runs.
fn along(used: EdgeUse, lines: &[Vec<u32>]) -> Vec<u32> {
    let line = &lines[used.edge];
    if used.forward { line.clone() } else { line.iter().rev().copied().collect() }
}

/// Vertices of a loop, each once.
fn ring(used: &[EdgeUse], lines: &[Vec<u32>]) -> Vec<u32> {
    used.iter()
        .flat_map(|&u| {
            let mut line = along(u, lines);
            line.pop();
            line
        })
        .collect()
}

/// The four sides of a strip as vertex rows.
struct Sides {
    low: Vec<u32>,
    high: Vec<u32>,
    start: Vec<u32>,
    end: Vec<u32>,
}

impl Sides {
    /// The loop of a strip begins with its low rail, then the end, the high rail backwards, the start backwards.
    fn of(shell: &Shell, used: &[EdgeUse], lines: &[Vec<u32>]) -> Sides {
        let rail = |u: &EdgeUse| matches!(shell.edges[u.edge].curve, Curve::Spline(_));
        let back = used.iter().skip(1).position(rail).map_or(used.len() - 1, |i| i + 1);
        let low = along(used[0], lines);
        let high: Vec<u32> = along(used[back], lines).into_iter().rev().collect();
        let chain = |part: &[EdgeUse], first: u32| {
            let mut all = vec![first];
            for &u in part {
                all.extend(&along(u, lines)[1..]);
            }
            all
        };
        let end = chain(&used[1..back], low[low.len() - 1]);
        let mut start = chain(&used[back + 1..], high[0]);
        start.reverse();
        Sides { low, high, start, end }
    }
}
