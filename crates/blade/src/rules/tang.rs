//! Rules on the tang: its root within the shoulder, its holes within its flat sides.

use glam::DVec3;

use crate::form::Form;
use crate::loft::spans;
use crate::rules::border::Border;
use crate::rules::violations::Violations;
use crate::rules::{Fault, Field, LEAST_WALL};
use crate::section::corners::{Side, Tag};
use crate::section::shape::Shape;
use crate::spec::{Stage, TangForm};

/// The tang's root keeps at least this far (mm) within the shoulder's section, so that a shoulder is left.
const LEDGE: f64 = 0.05;
/// The tang as a whole.
pub(super) fn tang(form: &Form, found: &mut Violations) {
    let spec = &form.spec;
    let tang = &spec.tang;
    match tang.form {
        TangForm::Full => {
            if spec.ricasso.is_none() {
                found.add(Field::TangForm, Fault::FullTangNeedsRicasso {});
            }
        }
        TangForm::Hidden { breadth, shoulder_radius, .. } => {
            if shoulder_radius > 0.0 && shoulder_radius < 0.1 {
                found.add(
                    Field::ShoulderRadius,
                    Fault::Range { value: shoulder_radius, low: 0.1, high: 50.0 },
                );
            }
            if shoulder_radius > 0.8 * tang.length {
                let high = 0.8 * tang.length;
                found.add(Field::ShoulderRadius, Fault::Range { value: shoulder_radius, low: 0.0, high });
            }
            for stage in Stage::ALL {
                let shape = form.shape(stage);
                if let Some(Outside { y, out }) = root_outside(&shape) {
                    let field = if breadth + 2.0 * shoulder_radius > 0.98 * form.side.lines.breadth(0.0) {
                        Field::TangBreadth
                    } else {
                        Field::TangThickness
                    };
                    found.add(field, Fault::RootOutside { y, out, stage });
                    break;
                }
            }
        }
    }
    holes(form, found);
}

/// A place of the tang's root against the shoulder's section.
struct Outside {
    /// Its height, mm.
    y: f64,
    /// How far it lies out of the ledge that must be left, mm; negative within.
    out: f64,
}

impl Outside {
    /// The place `p` against the border of a section whose edge lies at height `low`.
    fn new(border: &Border, low: f64, p: DVec3) -> Outside {
        Outside { y: p.y, out: LEDGE - border.inner_distance(p.y - low, p.z) }
    }
}

/// The tang root's corner that lies furthest out of the shoulder's section: where, and by how much beyond the ledge.
fn root_outside(shape: &Shape) -> Option<Outside> {
    let layout = spans::layout(shape, 1e-6);
    let low = shape.chord(0.0).edge.y;
    let border = Border::of(&shape.corners(0.0, &layout));
    shape
        .tang_nodes(0.0)
        .iter()
        .map(|n| Outside::new(&border, low, n.at))
        .chain(edges_outside(shape, &border, low))
        .max_by(|a, b| a.out.total_cmp(&b.out))
        .filter(|worst| worst.out > 0.0)
}

/// Points along the root's two flat sides: fullers and hollows may cut in between its corners.
fn edges_outside(shape: &Shape, border: &Border, low: f64) -> Vec<Outside> {
    let nodes = shape.tang_nodes(0.0);
    (1..32)
        .flat_map(|i| {
            let f = f64::from(i) / 32.0;
            [(0, 1), (2, 3)].map(|(a, b)| Outside::new(border, low, nodes[a].at.lerp(nodes[b].at, f)))
        })
        .collect()
}

/// Holes within the flat sides, apart from each other.
fn holes(form: &Form, found: &mut Violations) {
    let tang = &form.spec.tang;
    let shape = form.shape(Stage::Finished);
    let flare = match tang.form {
        TangForm::Hidden { shoulder_radius, .. } => shoulder_radius,
        TangForm::Full => 0.0,
    };
    for (i, hole) in tang.holes.iter().enumerate() {
        let r = 0.5 * hole.diameter;
        let flat = [hole.at - r, hole.at, hole.at + r].map(|at| flat_of(&shape, at));
        let low = flat.iter().map(|f| f.0).fold(f64::NEG_INFINITY, f64::max);
        let high = flat.iter().map(|f| f.1).fold(f64::INFINITY, f64::min);
        let room = r + LEAST_WALL;
        let (near, far) = (flare + room, tang.length - room);
        let (low, high) = (low + room, high - room);
        let inside = (near..=far).contains(&hole.at) && (low..=high).contains(&hole.offset);
        if !inside {
            found.add(Field::Hole(i), Fault::HoleOutside { low, high, near, far });
        }
        for (j, other) in tang.holes[..i].iter().enumerate() {
            let apart = (hole.at - other.at).hypot(hole.offset - other.offset) - r - 0.5 * other.diameter;
            if apart < LEAST_WALL {
                found.add(Field::Hole(i), Fault::HolesMeet { other: j });
            }
        }
    }
}

/// Heights between which the tang's sides are flat at a distance behind the shoulder.
fn flat_of(shape: &Shape, at: f64) -> (f64, f64) {
    let u = match shape.spec.tang.form {
        // Beyond the shoulder radius the parameter is the station less the quarter circle's extra length.
        TangForm::Hidden { .. } => shape.tang_start() + shape.spec.tang.length - at,
        TangForm::Full => -at,
    };
    let nodes = shape.tang_nodes(u.min(0.0));
    let side = |tag: Tag| nodes.iter().find(|n| n.tag == tag).map(|n| n.at.y);
    let low = side(Tag::Edge(Side::Right)).or(side(Tag::Apex)).unwrap_or(0.0);
    (low, side(Tag::Flank(Side::Right)).unwrap_or(0.0))
}
