//! A mesh as a graphics card wants it: three corners a triangle, each with the direction in which its light falls.

use blade::Mesh;
use glam::DVec3;
use laminate::View;

/// Faces that meet at less than this angle, 30°, are parts of one rounding: their light runs over. Arcs and fans turn
/// by a few degrees from one triangle to the next, ridges and edges of blades by more.
const CREASE: f64 = 0.866;

/// Triangles that share no corners.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Surface {
    /// Corners, three for each triangle, mm.
    pub(crate) points: Vec<DVec3>,
    /// Unit normals at the corners.
    pub(crate) normals: Vec<DVec3>,
    /// From where each triangle is seen best.
    pub(crate) views: Vec<View>,
}

impl Surface {
    pub(crate) fn of(mesh: &Mesh) -> Surface {
        // Half the cross product is the area: large faces say more.
        let faces: Vec<DVec3> = mesh.corners().map(|[a, b, c]| (b - a).cross(c - a)).collect();
        let units: Vec<DVec3> = faces.iter().map(|f| f.normalize_or_zero()).collect();
        let around = Around::new(mesh);
        let mut surface = Surface {
            points: Vec::with_capacity(3 * faces.len()),
            normals: Vec::with_capacity(3 * faces.len()),
            views: faces.iter().map(|&f| View::facing(f)).collect(),
        };
        for (triangle, unit) in mesh.triangles().iter().zip(&units) {
            for &corner in triangle {
                let smooth = around.of(corner).filter(|&f| units[f].dot(*unit) > CREASE).map(|f| faces[f]);
                surface.points.push(mesh.vertices()[corner as usize]);
                surface.normals.push(smooth.sum::<DVec3>().normalize_or(*unit));
            }
        }
        surface
    }
}

/// Which triangles meet at each vertex.
struct Around {
    starts: Vec<usize>,
    triangles: Vec<usize>,
}

impl Around {
    fn new(mesh: &Mesh) -> Around {
        let mut starts = vec![0; mesh.vertices().len() + 1];
        for &corner in mesh.triangles().iter().flatten() {
            starts[corner as usize + 1] += 1;
        }
        for i in 1..starts.len() {
            starts[i] += starts[i - 1];
        }
        let (mut next, mut triangles) = (starts.clone(), vec![0; 3 * mesh.triangles().len()]);
        for (i, triangle) in mesh.triangles().iter().enumerate() {
            for &corner in triangle {
                triangles[next[corner as usize]] = i;
                next[corner as usize] += 1;
            }
        }
        Around { starts, triangles }
    }

    fn of(&self, vertex: u32) -> impl Iterator<Item = usize> + '_ {
        let vertex = vertex as usize;
        self.triangles[self.starts[vertex]..self.starts[vertex + 1]].iter().copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cube_keeps_its_edges() {
        let at = |i: u32| DVec3::new(f64::from(i & 1), f64::from(i >> 1 & 1), f64::from(i >> 2));
        let sides = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
        let triangles = sides.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect();
        let mesh = Mesh::new((0..8).map(at).collect(), triangles).unwrap();
        let surface = Surface::of(&mesh);
        assert_eq!((surface.points.len(), surface.views.len()), (36, 12));
        for (normals, corners) in surface.normals.chunks(3).zip(mesh.corners()) {
            let face = (corners[1] - corners[0]).cross(corners[2] - corners[0]).normalize();
            assert!(normals.iter().all(|n| n.distance(face) < 1e-12));
        }
    }
}
