//! Bodies drawn by hand for tests.

use blade::Mesh;
use glam::DVec3;

#[path = "../../solid/src/sample.rs"]
mod body;

pub(crate) use body::{holed_box, pointed_blade};

/// A corner cut off a cube of 10 mm.
pub(crate) fn tetrahedron() -> Mesh {
    let vertices = [DVec3::ZERO, DVec3::X, DVec3::Y, DVec3::Z].map(|v| v * 10.0).to_vec();
    Mesh::new(vertices, vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]]).unwrap()
}
