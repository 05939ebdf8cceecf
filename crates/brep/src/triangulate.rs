//! Plane regions divided into triangles: constrained Delaunay triangulation, which keeps vertices that stand in a row.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, VecDeque};

use glam::DVec2;
use spade::handles::FixedVertexHandle;
use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};

/// A vertex of a region: where it lies in the plane, mm, and by what number it is known.
#[derive(Clone, Copy)]
pub struct Spot {
    /// Place in the plane.
    pub at: DVec2,
    /// Its number.
    pub id: u32,
}

impl HasPosition for Spot {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        Point2::new(self.at.x, self.at.y)
    }
}

type Net = ConstrainedDelaunayTriangulation<Spot>;

/// Triangles, counter-clockwise, of the region whose borders are these edges between vertices at `place`; `None` when
/// borders cross or no place is there. An edge may not join a vertex to itself.
pub fn inside_borders(borders: &[[u32; 2]], place: impl Fn(u32) -> DVec2) -> Option<Vec<[u32; 3]>> {
    let mut net = Net::new();
    let mut known: BTreeMap<u32, FixedVertexHandle> = BTreeMap::new();
    for &id in borders.iter().flatten() {
        if let Entry::Vacant(slot) = known.entry(id) {
            slot.insert(net.insert(Spot { at: place(id), id }).ok()?);
        }
    }
    for [a, b] in borders {
        let (from, to) = (known[a], known[b]);
        if from == to || !net.can_add_constraint(from, to) {
            return None;
        }
        net.add_constraint(from, to);
    }
    Some(an_odd_number_of_borders_in(&net))
}

/// The triangles an odd number of borders away from the outside.
fn an_odd_number_of_borders_in(net: &Net) -> Vec<[u32; 3]> {
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

/// The triangles to the left of the rim's directed edges, counter-clockwise. `spots` are the rim's vertices in
/// order of their ids, `rim` and `ties` pairs of ids; ties are kept as edges where they don't cross the rim.
/// `None` when the rim crosses itself or is not closed.
///
/// A Delaunay triangulation keeps vertices that stand in a row, and joins them with the other side of the region
/// rather than with each other: so every triangle has area.
pub fn left_of_rim(spots: Vec<Spot>, rim: &[[u32; 2]], ties: &[[u32; 2]]) -> Option<Vec<[u32; 3]>> {
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
    reached_from(&net, &borders)
}

/// Everything to the left of the borders.
fn reached_from(net: &Net, borders: &[(FixedVertexHandle, FixedVertexHandle)]) -> Option<Vec<[u32; 3]>> {
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
