//! Triangle meshes that are closed, consistently oriented, finite and free of degenerate faces.

use glam::DVec3;
use thiserror::Error;

/// More triangles than this are refused: no printer's program or viewer takes them.
pub const MOST_TRIANGLES: usize = 5_000_000;

/// The least height (mm) of a triangle over its longest side: single-precision files keep 3e-5 mm at half
/// a metre, in-memory meshes far less.
const LEAST_HEIGHT: f64 = 1e-9;

/// A closed triangle mesh, counter-clockwise seen from outside. Only [`Mesh::new`] makes one, from whatever source.
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh {
    vertices: Vec<DVec3>,
    triangles: Vec<[u32; 3]>,
}

/// What keeps a set of triangles from being a [`Mesh`].
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum MeshFault {
    /// No triangles at all.
    #[error("the mesh has no triangles")]
    Empty,
    /// A coordinate is not a finite number.
    #[error("vertex {0} is not finite")]
    NotFinite(usize),
    /// A triangle names a vertex that isn't there, or one vertex twice.
    #[error("triangle {0} does not join three different vertices")]
    NotATriangle(usize),
    /// A triangle's corners lie on one line.
    #[error("triangle {0} has no area")]
    Degenerate(usize),
    /// A directed edge is used more than once or has no counterpart.
    #[error(
        "the edge from vertex {0} to vertex {1} is not shared by exactly two triangles of one orientation"
    )]
    Open(u32, u32),
    /// A flat face could not be divided into triangles.
    #[error("the flat face `{0}` has a border that crosses itself")]
    Border(String),
    /// A seam lacks a finite height for each of the stations, or these don't increase.
    #[error("seam {0} does not give one finite height for each of the increasing stations")]
    Seam(usize),
    /// The tolerance asks for too much.
    #[error("a tolerance of {tolerance} mm would need more than {MOST_TRIANGLES} triangles")]
    TooFine {
        /// The tolerance asked for, mm.
        tolerance: f64,
    },
}

impl Mesh {
    /// A mesh of these vertices (mm) and triangles, proved closed, oriented, finite and free of degenerate
    /// faces.
    ///
    /// # Errors
    /// The first [`MeshFault`] found.
    pub fn new(vertices: Vec<DVec3>, triangles: Vec<[u32; 3]>) -> Result<Mesh, MeshFault> {
        if triangles.is_empty() {
            return Err(MeshFault::Empty);
        }
        if let Some(i) = vertices.iter().position(|v| !v.is_finite()) {
            return Err(MeshFault::NotFinite(i));
        }
        for (i, t) in triangles.iter().enumerate() {
            let [a, b, c] = t.map(|k| k as usize);
            if a == b || b == c || c == a || a.max(b).max(c) >= vertices.len() {
                return Err(MeshFault::NotATriangle(i));
            }
            if flat(vertices[a], vertices[b], vertices[c]) {
                return Err(MeshFault::Degenerate(i));
            }
        }
        closed(&triangles)?;
        Ok(Mesh { vertices, triangles })
    }

    /// The vertices, mm.
    pub fn vertices(&self) -> &[DVec3] {
        &self.vertices
    }

    /// Vertex indices of each triangle, counter-clockwise seen from outside.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }

    /// Corners of each triangle, mm.
    pub fn corners(&self) -> impl Iterator<Item = [DVec3; 3]> + '_ {
        self.triangles.iter().map(|t| t.map(|i| self.vertices[i as usize]))
    }

    /// Volume, mm³: signed tetrahedra over the origin.
    pub fn volume(&self) -> f64 {
        self.corners().map(|[a, b, c]| a.dot(b.cross(c)) / 6.0).sum()
    }

    /// Surface, mm².
    pub fn surface(&self) -> f64 {
        self.corners().map(|[a, b, c]| (b - a).cross(c - a).length() / 2.0).sum()
    }

    /// Least and greatest coordinates, mm.
    pub fn bounds(&self) -> (DVec3, DVec3) {
        let start = (DVec3::INFINITY, DVec3::NEG_INFINITY);
        self.vertices.iter().fold(start, |(low, high), v| (low.min(*v), high.max(*v)))
    }
}

fn flat(a: DVec3, b: DVec3, c: DVec3) -> bool {
    let longest = (b - a).length().max((c - b).length()).max((a - c).length());
    (b - a).cross(c - a).length() <= LEAST_HEIGHT * longest
}

/// Fails unless every edge is used by two triangles, once each way.
fn closed(triangles: &[[u32; 3]]) -> Result<(), MeshFault> {
    let mut edges: Vec<(u32, u32, bool)> = Vec::with_capacity(3 * triangles.len());
    for &[a, b, c] in triangles {
        for (p, q) in [(a, b), (b, c), (c, a)] {
            edges.push((p.min(q), p.max(q), p < q));
        }
    }
    edges.sort_unstable();
    for pair in edges.chunks(2) {
        let (a, b, _) = pair[0];
        let matched = pair.len() == 2 && (pair[1].0, pair[1].1) == (a, b) && pair[0].2 != pair[1].2;
        if !matched {
            return Err(MeshFault::Open(a, b));
        }
    }
    let twice = edges.windows(3).find(|w| (w[0].0, w[0].1) == (w[2].0, w[2].1));
    twice.map_or(Ok(()), |w| Err(MeshFault::Open(w[0].0, w[0].1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TETRAHEDRON: [[u32; 3]; 4] = [[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]];

    fn corners() -> Vec<DVec3> {
        vec![DVec3::ZERO, DVec3::X, DVec3::Y, DVec3::Z]
    }

    #[test]
    fn a_tetrahedron_is_a_mesh_of_a_sixth() {
        let mesh = Mesh::new(corners(), TETRAHEDRON.to_vec()).unwrap();
        assert!((mesh.volume() - 1.0 / 6.0).abs() < 1e-15);
        assert_eq!(mesh.bounds(), (DVec3::ZERO, DVec3::ONE));
    }

    #[test]
    fn whatever_is_not_closed_oriented_finite_or_solid_is_refused() {
        assert_eq!(Mesh::new(vec![], vec![]), Err(MeshFault::Empty));
        let open = Mesh::new(corners(), TETRAHEDRON[..3].to_vec());
        assert!(matches!(open, Err(MeshFault::Open(..))), "{open:?}");
        let mut turned = TETRAHEDRON;
        turned[0].reverse();
        assert!(matches!(Mesh::new(corners(), turned.to_vec()), Err(MeshFault::Open(..))));
        let doubled = [TETRAHEDRON, TETRAHEDRON].concat();
        assert!(matches!(Mesh::new(corners(), doubled), Err(MeshFault::Open(..))));
        let mut wild = corners();
        wild[3].x = f64::NAN;
        assert_eq!(Mesh::new(wild, TETRAHEDRON.to_vec()), Err(MeshFault::NotFinite(3)));
        let mut flat = corners();
        flat[3] = DVec3::new(0.5, 0.0, 0.0);
        assert!(matches!(Mesh::new(flat, TETRAHEDRON.to_vec()), Err(MeshFault::Degenerate(_))));
        assert_eq!(Mesh::new(corners(), vec![[0, 1, 1]]), Err(MeshFault::NotATriangle(0)));
        assert_eq!(Mesh::new(corners(), vec![[0, 1, 9]]), Err(MeshFault::NotATriangle(0)));
    }
}
