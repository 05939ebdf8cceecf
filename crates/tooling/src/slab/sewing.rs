//! Sews faces into a closed shell: points that are the same to the last bit become one vertex, ways between the same
//! two vertices one edge.

use std::collections::BTreeMap;

use brep::{Curve, Edge, EdgeUse, Face, Shell, Spline, Spline3, Surface};
use glam::DVec3;

/// A step of a loop: from a point along a curve to the next step's point.
#[derive(Clone, Debug)]
pub(crate) struct Step {
    pub(crate) at: DVec3,
    /// The arc's middle control point and weight; straight without one.
    pub(crate) arc: Option<(DVec3, f64)>,
}

/// A shell in the making.
#[derive(Debug, Default)]
pub(crate) struct Sewing {
    vertices: BTreeMap<[u64; 3], usize>,
    edges: BTreeMap<(usize, usize, [u64; 3]), usize>,
    points: Vec<DVec3>,
    made: Vec<Edge>,
    faces: Vec<Face>,
}

/// The bits of a point, both zeros alike.
fn bits(p: DVec3) -> [u64; 3] {
    p.to_array().map(|v| (v + 0.0).to_bits())
}

impl Sewing {
    /// Adds a face: loops counter-clockwise seen from outside, holes clockwise.
    pub(crate) fn face(&mut self, name: &str, surface: Surface, loops: &[Vec<Step>]) {
        let loops = loops.iter().map(|l| self.around(l)).collect();
        self.faces.push(Face { name: name.to_owned(), surface, loops });
    }

    /// Makes the straight way between two points a rail, as round strips want them. Steps that run along it later,
    /// either way, share it.
    pub(crate) fn rail(&mut self, a: DVec3, b: DVec3) -> Spline3 {
        let (from, to) = (self.vertex(a), self.vertex(b));
        let (start, end, first, last) = if from < to { (from, to, a, b) } else { (to, from, b, a) };
        self.edges.entry((start, end, [0; 3])).or_insert_with(|| {
            self.made.push(Edge { start, end, curve: Curve::Spline(Spline::straight(first, last)) });
            self.made.len() - 1
        });
        Spline::straight(a, b)
    }

    /// The finished shell.
    pub(crate) fn shell(self) -> Shell {
        Shell { vertices: self.points, edges: self.made, faces: self.faces }
    }

    fn around(&mut self, steps: &[Step]) -> Vec<EdgeUse> {
        let ids: Vec<usize> = steps.iter().map(|s| self.vertex(s.at)).collect();
        let next = ids.iter().cycle().skip(1);
        ids.iter().zip(next).zip(steps).map(|((&a, &b), step)| self.edge(a, b, step.arc)).collect()
    }

    fn vertex(&mut self, at: DVec3) -> usize {
        *self.vertices.entry(bits(at)).or_insert_with(|| {
            self.points.push(at);
            self.points.len() - 1
        })
    }

    /// The edge between two corners, the same one for both faces that meet in it.
    fn edge(&mut self, a: usize, b: usize, arc: Option<(DVec3, f64)>) -> EdgeUse {
        let forward = a < b;
        let (start, end) = if forward { (a, b) } else { (b, a) };
        let middle = arc.map_or([0; 3], |(m, _)| bits(m));
        let edge = *self.edges.entry((start, end, middle)).or_insert_with(|| {
            let curve = arc.map_or(Curve::Line, |(middle, weight)| Curve::Arc { middle, weight });
            self.made.push(Edge { start, end, curve });
            self.made.len() - 1
        });
        EdgeUse { edge, forward }
    }
}

/// A loop run through the other way.
pub(crate) fn backwards(steps: &[Step]) -> Vec<Step> {
    let n = steps.len();
    (0..n).map(|i| Step { at: steps[n - 1 - i].at, arc: steps[(2 * n - 2 - i) % n].arc }).collect()
}
