//! The connected components of a set of faces, each as a shell of its own.

use std::collections::BTreeMap;

use crate::numeric::UnionFind;
use crate::shell::{Edge, Face, Shell};

/// The faces as closed boundaries, one for each connected piece.
pub(super) fn connected_pieces(shell: &Shell, faces: Vec<Face>) -> Vec<Shell> {
    let mut sets = UnionFind::new(faces.len());
    let mut users: BTreeMap<usize, usize> = BTreeMap::new();
    for (i, face) in faces.iter().enumerate() {
        for used in face.loops.iter().flatten() {
            let first = *users.entry(used.edge).or_insert(i);
            sets.join(i, first);
        }
    }
    let mut sorted: BTreeMap<usize, Vec<Face>> = BTreeMap::new();
    for (i, face) in faces.into_iter().enumerate() {
        sorted.entry(sets.root(i)).or_default().push(face);
    }
    sorted.into_values().map(|faces| compact(shell, faces)).collect()
}

/// A boundary with only the vertices and edges that its faces use.
fn compact(shell: &Shell, mut faces: Vec<Face>) -> Shell {
    let (mut edges, mut vertices) = (BTreeMap::new(), BTreeMap::new());
    let mut made = Shell { vertices: Vec::new(), edges: Vec::new(), faces: Vec::new() };
    for used in faces.iter_mut().flat_map(|f| &mut f.loops).flatten() {
        used.edge = *edges.entry(used.edge).or_insert_with(|| {
            let edge = &shell.edges[used.edge];
            let mut vertex = |i: usize| {
                *vertices.entry(i).or_insert_with(|| {
                    made.vertices.push(shell.vertices[i]);
                    made.vertices.len() - 1
                })
            };
            let (start, end) = (vertex(edge.start), vertex(edge.end));
            made.edges.push(Edge { start, end, curve: edge.curve.clone() });
            made.edges.len() - 1
        });
    }
    made.faces = faces;
    made
}
