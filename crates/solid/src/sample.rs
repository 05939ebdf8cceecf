//! Bodies for tests: a box with a hole through it, drawn by hand, and a pointed blade from its measures.

use blade::{
    Back, Bevel, Blade, GrindLine, Hole, Outline, OutlineAllowance, OutlineForm, Section, Sides, Spec, Stage,
    Stages, Tang, TangForm, TaperStation, Tip,
};
use brep::{Curve, Edge, EdgeUse, Face, Shell, Surface};
use glam::{DVec2, DVec3};

/// A box of 20 × 10 × 4 mm with its corner in the origin and a hole of radius 2 mm along z at (10, 5).
pub(crate) fn holed_box() -> Shell {
    let mut shell = Shell { vertices: corners(), edges: Vec::new(), faces: Vec::new() };
    for z in [4, 0, 12, 8] {
        (0..4).for_each(|i| side(&mut shell, z, i));
    }
    for low in [0, 8] {
        shell.edges.extend((low..low + 4).map(|i| Edge { start: i, end: i + 4, curve: Curve::Line }));
    }
    shell.faces.push(flat("bottom", DVec3::ZERO, DVec3::NEG_Z, vec![ring(4, false), ring(12, true)]));
    shell.faces.push(flat("top", DVec3::Z * 4.0, DVec3::Z, vec![ring(0, true), ring(8, false)]));
    for (i, normal) in [DVec3::NEG_Y, DVec3::X, DVec3::Y, DVec3::NEG_X].into_iter().enumerate() {
        let origin = shell.vertices[i];
        shell.faces.push(flat(&format!("side {i}"), origin, normal, vec![wall(i, true)]));
    }
    for i in 0..4 {
        let (centre, seam) = (DVec2::new(10.0, 5.0), DVec2::X);
        let surface = Surface::Cylinder { centre, radius: 2.0, low: -1.0, high: 5.0, seam, convex: false };
        shell.faces.push(Face { name: format!("hole {i}"), surface, loops: vec![wall(i, false)] });
    }
    shell
}

/// The box's corners from below and above, then the rim's quarters.
fn corners() -> Vec<DVec3> {
    let square = [(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)];
    let rim = [(12.0, 5.0), (10.0, 7.0), (8.0, 5.0), (10.0, 3.0)];
    let at = |list: [(f64, f64); 4], z| list.map(|(x, y)| DVec3::new(x, y, z));
    [at(square, 0.0), at(square, 4.0), at(rim, 0.0), at(rim, 4.0)].concat()
}

/// Edge number `i` of the ring of four vertices from `first`: a line, or a quarter of the rim.
fn side(shell: &mut Shell, first: usize, i: usize) {
    let (start, end) = (first + i, first + (i + 1) % 4);
    let centre = DVec3::new(10.0, 5.0, shell.vertices[start].z);
    let middle = shell.vertices[start] + shell.vertices[end] - centre;
    let weight = std::f64::consts::FRAC_1_SQRT_2;
    let curve = if first < 8 { Curve::Line } else { Curve::Arc { middle, weight } };
    shell.edges.push(Edge { start, end, curve });
}

/// The ring of four edges from `first`, forwards or backwards.
fn ring(first: usize, forward: bool) -> Vec<EdgeUse> {
    let each = |i| EdgeUse { edge: first + if forward { i } else { 3 - i }, forward };
    (0..4).map(each).collect()
}

/// The loop of side `i`, seen from outside the box; or of the hole's wall, seen from its axis.
fn wall(i: usize, outer: bool) -> Vec<EdgeUse> {
    let (top, bottom, post) = if outer { (0, 4, 16) } else { (8, 12, 20) };
    let next = (i + 1) % 4;
    let round = [(bottom + i, true), (post + next, true), (top + i, false), (post + i, false)];
    let mut uses = round.map(|(edge, forward)| EdgeUse { edge, forward }).to_vec();
    if !outer {
        uses.reverse();
        uses.iter_mut().for_each(|u| u.forward = !u.forward);
    }
    uses
}

/// A plane face.
fn flat(name: &str, origin: DVec3, normal: DVec3, loops: Vec<Vec<EdgeUse>>) -> Face {
    let along = normal.any_orthonormal_vector();
    Face { name: name.to_owned(), surface: Surface::Plane { origin, normal, along }, loops }
}

/// A blade of 300 mm with rounded back corners, two ruled bevels, a hole in its tang and every rail run
/// out in one point.
pub(crate) fn pointed_blade() -> Shell {
    let form = OutlineForm::DroppedPoint {
        length: 300.0,
        breadth: 35.0,
        drop: 80.0,
        sweep: 90.0,
        point_height: 18.0,
    };
    let station = |at, back| TaperStation { at, back, grind: None };
    let spec = Spec {
        outline: Outline { form, tip: Tip::Point },
        section: Section {
            bevel: Bevel::Flat,
            sides: Sides::Both,
            grind_line: GrindLine::Share(0.6),
            back: Back::Rounded { radius: 0.8 },
        },
        taper: vec![station(0.0, 5.0), station(300.0, 2.0)],
        ricasso: None,
        fullers: vec![],
        tang: tang(),
        stages: stages(),
    };
    Blade::new(&spec).unwrap().loft(Stage::Ground).shell().clone()
}

/// A hidden tang with a hole.
fn tang() -> Tang {
    Tang {
        form: TangForm::Hidden { breadth: 10.0, thickness: 2.0, shoulder_radius: 2.0 },
        length: 120.0,
        end_breadth: 8.0,
        end_thickness: 1.8,
        offset: 6.0,
        holes: vec![Hole { at: 60.0, offset: 0.0, diameter: 3.0 }],
    }
}

/// Allowances of a common size.
fn stages() -> Stages {
    Stages {
        forged_allowance: 0.8,
        forged_edge: 2.5,
        forged_outline: OutlineAllowance::default(),
        ground_allowance: 0.15,
        ground_edge: 1.0,
        finished_edge: 0.7,
        edge_angle: None,
    }
}
