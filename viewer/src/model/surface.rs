//! A mesh as a graphics card wants it: three corners a triangle, each with the direction in which its light falls.

use brep::Mesh;
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
    /// Of a mesh: the light runs over where its faces meet smoothly.
    pub(crate) fn new(mesh: &Mesh) -> Surface {
        // Half the cross product is the area: large faces say more.
        let faces: Vec<DVec3> = mesh.corners().map(|[a, b, c]| (b - a).cross(c - a)).collect();
        let units: Vec<DVec3> = faces.iter().map(|f| f.normalize_or_zero()).collect();
        let around = VertexFaces::new(mesh);
        let mut surface = Surface {
            points: Vec::with_capacity(3 * faces.len()),
            normals: Vec::with_capacity(3 * faces.len()),
            views: faces.iter().map(|&f| View::facing(f)).collect(),
        };
        for (triangle, unit) in mesh.triangles().iter().zip(&units) {
            for &corner in triangle {
                let smooth = around.faces(corner).filter(|&f| units[f].dot(*unit) > CREASE).map(|f| faces[f]);
                surface.points.push(mesh.vertices()[corner as usize]);
                surface.normals.push(smooth.sum::<DVec3>().normalize_or(*unit));
            }
        }
        surface
    }
}

impl Surface {
    /// The same surface in triangles none of whose sides is longer than `most`, mm: what is told at corners is then true in
    /// between.
    pub(crate) fn finer(&self, most: f64) -> Surface {
        let mut fine = Surface::default();
        for (i, &view) in self.views.iter().enumerate() {
            let corner = |k: usize| Corner { point: self.points[3 * i + k], normal: self.normals[3 * i + k] };
            let mut waiting = vec![[corner(0), corner(1), corner(2)]];
            while let Some(triangle) = waiting.pop() {
                match halves(triangle, most) {
                    Some(parts) => waiting.extend(parts),
                    None => {
                        fine.points.extend(triangle.map(|c| c.point));
                        fine.normals.extend(triangle.map(|c| c.normal));
                        fine.views.push(view);
                    }
                }
            }
        }
        fine
    }
}

/// A corner of a triangle.
#[derive(Clone, Copy)]
struct Corner {
    point: DVec3,
    normal: DVec3,
}

/// A triangle cut through the middle of its longest side; `None` where that is short enough.
fn halves([a, b, c]: [Corner; 3], most: f64) -> Option<[[Corner; 3]; 2]> {
    let [ab, bc, ca] = [(a, b), (b, c), (c, a)].map(|(p, q)| p.point.distance(q.point));
    // The longest side first.
    let [a, b, c] = if ab >= bc && ab >= ca {
        [a, b, c]
    } else if bc >= ca {
        [b, c, a]
    } else {
        [c, a, b]
    };
    let middle =
        Corner { point: a.point.midpoint(b.point), normal: (a.normal + b.normal).normalize_or(a.normal) };
    (a.point.distance(b.point) > most).then_some([[a, middle, c], [middle, b, c]])
}

/// Which triangles meet at each vertex.
struct VertexFaces {
    starts: Vec<usize>,
    triangles: Vec<usize>,
}

impl VertexFaces {
    /// Of a mesh: counted first, then laid out one vertex after another.
    fn new(mesh: &Mesh) -> VertexFaces {
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
        VertexFaces { starts, triangles }
    }

    /// Those at a vertex.
    fn faces(&self, vertex: u32) -> impl Iterator<Item = usize> + '_ {
        let vertex = vertex as usize;
        self.triangles[self.starts[vertex]..self.starts[vertex + 1]].iter().copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finer_triangles_cover_the_same() {
        let corners = [DVec3::ZERO, DVec3::new(30.0, 0.0, 0.0), DVec3::new(0.0, 8.0, 0.0)];
        let one = Surface { points: corners.to_vec(), normals: vec![DVec3::Z; 3], views: vec![View::Right] };
        let fine = one.finer(5.0);
        let area = |s: &Surface| -> f64 {
            s.points.chunks(3).map(|t| 0.5 * (t[1] - t[0]).cross(t[2] - t[0]).z).sum()
        };
        assert!((area(&fine) - area(&one)).abs() < 1e-9 && fine.views.len() > 8);
        let side = |t: &[DVec3]| t[0].distance(t[1]).max(t[1].distance(t[2])).max(t[2].distance(t[0]));
        assert!(fine.points.chunks(3).all(|t| side(t) <= 5.0));
    }

    #[test]
    fn a_cube_keeps_its_edges() {
        let at = |i: u32| DVec3::new(f64::from(i & 1), f64::from(i >> 1 & 1), f64::from(i >> 2));
        let sides = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
        let triangles = sides.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect();
        let mesh = Mesh::new((0..8).map(at).collect(), triangles).unwrap();
        let surface = Surface::new(&mesh);
        assert_eq!((surface.points.len(), surface.views.len()), (36, 12));
        for (normals, corners) in surface.normals.chunks(3).zip(mesh.corners()) {
            let face = (corners[1] - corners[0]).cross(corners[2] - corners[0]).normalize();
            assert!(normals.iter().all(|n| n.distance(face) < 1e-12));
        }
    }
}
