//! Triangle meshes that are closed, consistently oriented, finite and free of degenerate faces.

use glam::DVec3;
use thiserror::Error;

/// A closed triangle mesh, counter-clockwise seen from outside. Only [`Mesh::new`] makes one.
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
}

impl Mesh {
    /// The vertices, mm.
    pub fn vertices(&self) -> &[DVec3] {
        &self.vertices
    }

    /// Vertex indices of each triangle, counter-clockwise seen from outside.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }
}
