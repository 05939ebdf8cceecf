//! Plane regions inside borders, divided into triangles: constrained Delaunay triangles.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, VecDeque};

use glam::DVec2;
use spade::handles::FixedVertexHandle;
use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};

/// A vertex of a region.
#[derive(Clone, Copy)]
struct Named {
    at: DVec2,
    id: u32,
}

impl HasPosition for Named {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        Point2::new(self.at.x, self.at.y)
    }
}

type Net = ConstrainedDelaunayTriangulation<Named>;

/// Triangles, counter-clockwise, of the region whose borders are these edges between vertices at `place`; `None` when
/// borders cross or no place is there. An edge may not join a vertex to itself.
pub(crate) fn triangles(borders: &[[u32; 2]], place: impl Fn(u32) -> DVec2) -> Option<Vec<[u32; 3]>> {
    let mut net = Net::new();
    let mut known: BTreeMap<u32, FixedVertexHandle> = BTreeMap::new();
    for &id in borders.iter().flatten() {
        if let Entry::Vacant(slot) = known.entry(id) {
            slot.insert(net.insert(Named { at: place(id), id }).ok()?);
        }
    }
    for [a, b] in borders {
        let (from, to) = (known[a], known[b]);
        if from == to || !net.can_add_constraint(from, to) {
            return None;
        }
        net.add_constraint(from, to);
    }
    Some(inside(&net))
}

/// The triangles an odd number of borders away from the outside.
fn inside(net: &Net) -> Vec<[u32; 3]> {
    let mut depth: Vec<Option<bool>> = vec![None; net.num_all_faces()];
    let mut queue = VecDeque::new();
    let mut found = Vec::new();
    depth[net.outer_face().fix().index()] = Some(false);
    for edge in net.convex_hull() {
        queue.push_back((edge.rev(), edge.is_constraint_edge()));
    }
    while let Some((edge, inside)) = queue.pop_front() {
        // `edge` bounds the face to enter on one of its sides; the hull gives both, the outer one is done.
        let Some(face) = edge.face().as_inner() else {
            queue.push_back((edge.rev(), inside));
            continue;
        };
        if depth[face.fix().index()].is_some() {
            continue;
        }
        depth[face.fix().index()] = Some(inside);
        if inside {
            found.push(face.vertices().map(|v| v.data().id));
        }
        for next in face.adjacent_edges() {
            if next.rev().face().as_inner().is_some() {
                queue.push_back((next.rev(), inside != next.is_constraint_edge()));
            }
        }
    }
    found
}
