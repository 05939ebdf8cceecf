//! Blades and tangs split along sheets: every part is closed.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use blade::{Blade, Sections, Stage};
use brep::{EdgeUse, Face, SplitSheet, TrimmedShell};
use fixtures::specs::variants;

/// Every edge is used once in each direction, its curve ends at its vertices, and the pieces are spheres but for holes.
fn closed(part: &TrimmedShell, name: &str) {
    let shell = part.boundary();
    let mut uses = vec![[0; 2]; shell.edges.len()];
    for used in shell.faces.iter().flat_map(|f| &f.loops).flatten() {
        uses[used.edge][usize::from(used.forward)] += 1;
    }
    if let Some((i, u)) = uses.iter().enumerate().find(|(_, u)| **u != [1, 1]) {
        let e = &shell.edges[i];
        let of = |f: &&Face| f.loops.iter().flatten().any(|u| u.edge == i);
        let faces: Vec<_> = shell.faces.iter().filter(of).map(|f| &f.name).collect();
        panic!("{name}: {u:?} {:?} {} {}", faces, shell.vertices[e.start], shell.vertices[e.end]);
    }
    for edge in &shell.edges {
        for (t, v) in [(0.0, edge.start), (1.0, edge.end)] {
            let off = shell.edge_point(edge, t).distance(shell.vertices[v]);
            assert!(off < 1e-9, "{name}: {off}");
        }
    }
    for face in &shell.faces {
        for one in &face.loops {
            for (a, b) in one.iter().zip(one.iter().cycle().skip(1)) {
                let end = |u: &EdgeUse, last: bool| {
                    let e = &shell.edges[u.edge];
                    if u.forward == last { e.end } else { e.start }
                };
                assert_eq!(end(a, true), end(b, false), "{name} {}", face.name);
            }
        }
    }
}

#[test]
fn blades_and_tangs_split_along_shares_of_their_area() {
    for (name, spec) in variants() {
        let forged = Sections::of(&Blade::new(&spec).unwrap().loft(Stage::Forged));
        for stage in Stage::ALL {
            let loft = Blade::new(&spec).unwrap().loft(stage);
            // Sheets are those of the forged blade, as they are where bars are welded.
            let sections = &forged;
            let (start, end) = sections.range();
            for (body, (from, to)) in loft.bodies().into_iter().zip([(0.0, end), (start, 0.0)]) {
                let mut rest = vec![TrimmedShell::whole(body)];
                for share in [0.31, 0.57, 0.83] {
                    let y = |x: f64| match sections.point().filter(|_| x >= end) {
                        Some(y) => y,
                        None => {
                            let s = sections.at(x.clamp(from + 1e-9, to - 1e-9)).unwrap();
                            s.height(share * s.area())
                        }
                    };
                    let mut corners = sections.corners();
                    corners.retain(|&x| x >= from && x <= to);
                    let sheet = SplitSheet::through(&corners, 1e-3, y);
                    assert_eq!(rest.len(), 1, "{name} {stage} {share}");
                    let [below, above] = rest[0]
                        .split(&sheet)
                        .unwrap_or_else(|f| panic!("{name} {stage} {share} from {from}: {f}"));
                    assert!(!below.is_empty() && !above.is_empty(), "{name} {stage} {share}");
                    below.iter().chain(&above).for_each(|p| closed(p, &format!("{name} {stage} {share}")));
                    rest = above;
                }
            }
        }
    }
}
