//! The wall that closes a mesh where it was cut: triangles inside the rim of the cut.

use glam::DVec2;
use spade::handles::FixedVertexHandle;
use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};

/// A vertex of the rim as it lies in the wall.
#[derive(Clone, Copy)]
pub(crate) struct Spot {
    pub(crate) at: DVec2,
    pub(crate) id: u32,
}

impl HasPosition for Spot {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        Point2::new(self.at.x, self.at.y)
    }
}

type Net = ConstrainedDelaunayTriangulation<Spot>;

/// The triangles to the left of the rim's directed edges, counter-clockwise. `spots` are the rim's vertices in
/// order of their ids, `rim` and `ties` pairs of ids; ties are kept as edges where they don't cross the rim.
/// `None` when the rim crosses itself or is not closed.
///
/// A Delaunay triangulation keeps vertices that stand in a row, and joins them with the other side of the wall
/// rather than with each other: so every triangle has area.
pub(crate) fn wall(spots: Vec<Spot>, rim: &[[u32; 2]], ties: &[[u32; 2]]) -> Option<Vec<[u32; 3]>> {
    let ids: Vec<u32> = spots.iter().map(|s| s.id).collect();
    let count = spots.len();
    let mut net = Net::bulk_load_cdt(spots, Vec::new()).ok()?;
    if net.num_vertices() != count {
        return None;
    }
    let handle = |id: u32| ids.binary_search(&id).ok().map(FixedVertexHandle::from_index);
    let ends = |[p, q]: [u32; 2]| Some((handle(p)?, handle(q)?));
    for &edge in rim {
        let (p, q) = ends(edge)?;
        if !net.can_add_constraint(p, q) {
            return None;
        }
        net.add_constraint(p, q);
    }
    let borders: Vec<_> = rim.iter().filter_map(|&e| ends(e)).collect();
    for &tie in ties {
        let (p, q) = ends(tie)?;
        if net.can_add_constraint(p, q) {
            net.add_constraint(p, q);
        }
    }
    inside(&net, &borders)
}

/// Everything to the left of the borders.
fn inside(net: &Net, borders: &[(FixedVertexHandle, FixedVertexHandle)]) -> Option<Vec<[u32; 3]>> {
    let mut closed = vec![false; net.num_undirected_edges()];
    let mut queue = Vec::with_capacity(borders.len());
    for &(p, q) in borders {
        let edge = net.get_edge_from_neighbors(p, q)?;
        closed[edge.as_undirected().fix().index()] = true;
        queue.push(edge.face().as_inner()?);
    }
    let mut seen = vec![false; net.num_all_faces()];
    let mut triangles = Vec::new();
    while let Some(face) = queue.pop() {
        if std::mem::replace(&mut seen[face.fix().index()], true) {
            continue;
        }
        triangles.push(face.vertices().map(|v| v.data().id));
        for edge in face.adjacent_edges() {
            if !closed[edge.as_undirected().fix().index()] {
                queue.push(edge.rev().face().as_inner()?);
            }
        }
    }
    Some(triangles)
}
