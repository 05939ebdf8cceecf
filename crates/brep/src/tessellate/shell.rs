//! From a shell to triangles: edges first, so that neighbours share their vertices; then face by face.

use std::collections::BTreeSet;

use crate::curve::Spline3;
use crate::mesh::{MOST_TRIANGLES, Mesh, MeshFault};
use crate::numeric::UnionFind;
use crate::shell::{Curve, Face, Shell, Surface};
use crate::tessellate::steps::{Strip, stations};
use crate::tessellate::triangles::Triangles;

impl Mesh {
    /// The mesh of a shell: no point of either lies further than `tolerance` (mm, positive) from the other.
    ///
    /// # Errors
    /// [`MeshFault::TooFine`] when it would take more than [`MOST_TRIANGLES`]; any other fault means that
    /// the shell itself is not sound.
    pub fn of(shell: &Shell, tolerance: f64) -> Result<Mesh, MeshFault> {
        let groups = RailGroups::new(shell);
        let strips: Vec<Option<Strip>> = shell.faces.iter().map(|f| Strip::new(f, tolerance)).collect();
        let rows = rows(shell, &groups, &strips, tolerance)?;
        let mut out = Triangles::new(shell);
        let fine = ledges(shell);
        let lines: Vec<Vec<u32>> = shell
            .edges
            .iter()
            .enumerate()
            .map(|(i, e)| {
                let tolerance = if fine.contains(&i) { tolerance.min(LEDGE) } else { tolerance };
                out.edge(shell, e, groups.of_edge[i].map(|g| &*rows[g]), tolerance)
            })
            .collect();
        for (face, strip) in shell.faces.iter().zip(&strips) {
            match (strip, groups.of_face(face)) {
                (Some(strip), Some(g)) => out.strip(shell, face, strip, &rows[g], &lines),
                _ => out.flat(face, &lines)?,
            }
        }
        Mesh::new(out.vertices, out.triangles)
    }
}

/// The parameters at which each group of rails is divided.
fn rows(
    shell: &Shell,
    groups: &RailGroups,
    strips: &[Option<Strip>],
    tolerance: f64,
) -> Result<Vec<Vec<f64>>, MeshFault> {
    let mut rows = Vec::with_capacity(groups.count);
    let mut cells = 0;
    for group in 0..groups.count {
        let here = strips.iter().zip(&shell.faces).filter(|(_, f)| groups.of_face(f) == Some(group));
        let members: Vec<&Strip> = here.filter_map(|(s, _)| s.as_ref()).collect();
        let edges = shell.edges.iter().zip(&groups.of_edge).filter(|(_, g)| **g == Some(group));
        let rails: Vec<&Spline3> =
            edges.filter_map(|(e, _)| if let Curve::Spline(s) = &e.curve { Some(s) } else { None }).collect();
        let across: usize = members.iter().map(|s| s.across.len()).sum();
        let most = (MOST_TRIANGLES - cells) / (2 * across.max(1));
        let made = stations(&members, &rails, tolerance, most).ok_or(MeshFault::TooFine { tolerance })?;
        cells += 2 * made.len() * across;
        rows.push(made);
    }
    Ok(rows)
}

/// Tolerance (mm) of arcs around a flat face with a loop inside: less than the least ledge between two loops,
/// so that a coarse chord can't cut across the inner one.
const LEDGE: f64 = 0.02;

/// Edges of flat faces with more than one loop.
fn ledges(shell: &Shell) -> BTreeSet<usize> {
    shell
        .faces
        .iter()
        .filter(|f| f.loops.len() > 1)
        .flat_map(|f| f.loops.iter().flatten())
        .map(|u| u.edge)
        .collect()
}

/// The rails of a shell in groups that must be divided alike: those joined by strips.
struct RailGroups {
    /// For each edge its group; none for edges that are no rails.
    of_edge: Vec<Option<usize>>,
    count: usize,
}

impl RailGroups {
    /// Groups the rails that a chain of faces joins: they are cut at the same parameters.
    fn new(shell: &Shell) -> RailGroups {
        let is_rail = |e: usize| matches!(shell.edges[e].curve, Curve::Spline(_));
        let mut sets = UnionFind::new(shell.edges.len());
        for face in &shell.faces {
            let rails: Vec<usize> =
                face.loops.iter().flatten().map(|u| u.edge).filter(|&e| is_rail(e)).collect();
            rails.windows(2).for_each(|pair| sets.join(pair[0], pair[1]));
        }
        let mut roots = Vec::new();
        let of_edge = (0..shell.edges.len()).map(|e| is_rail(e).then(|| numbered(&mut roots, sets.root(e))));
        let of_edge = of_edge.collect();
        RailGroups { of_edge, count: roots.len() }
    }

    /// The group of a strip's rails; none for a face that is no strip.
    fn of_face(&self, face: &Face) -> Option<usize> {
        if matches!(face.surface, Surface::Plane { .. } | Surface::Cylinder { .. }) {
            return None;
        }
        face.loops[0].iter().find_map(|used| self.of_edge[used.edge])
    }
}

/// The place of a root in the list, put at its end when it is new.
fn numbered(roots: &mut Vec<usize>, root: usize) -> usize {
    roots.iter().position(|&known| known == root).unwrap_or_else(|| {
        roots.push(root);
        roots.len() - 1
    })
}
