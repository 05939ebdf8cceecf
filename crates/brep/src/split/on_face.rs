//! Curves on a shell's edges and faces: parts of edges, heights of faces, cubics fitted to a line on a face.

use glam::{DVec2, DVec3};

use crate::curve::{Spline3, cubic_point};
use crate::shell::{Curve, Edge, Shell, Surface};
use crate::strip::{Across, station_on};

/// How far new edges may stand off their faces, mm.
const FIT: f64 = 1e-6;
/// Halvings of a new edge at most.
pub(super) const HALVINGS: usize = 12;

/// The curve of an edge between two shares.
pub(super) fn part(shell: &Shell, edge: &Edge, from: f64, to: f64) -> Curve {
    if from <= 0.0 && to >= 1.0 {
        return edge.curve.clone();
    }
    match &edge.curve {
        Curve::Line => Curve::Line,
        Curve::Arc { middle, weight } => {
            let arc = shell.arc(edge, *middle, *weight).part(from, to);
            Curve::Arc { middle: arc.middle, weight: arc.weight }
        }
        Curve::Spline(s) => {
            let (low, high) = s.domain();
            let at = |t: f64| low + (high - low) * t;
            Curve::Spline(s.part(at(from), at(to)))
        }
    }
}

/// z of a surface at a place of the side; `None` where it is not found.
pub(super) fn height(surface: &Surface, at: DVec2) -> Option<f64> {
    match surface {
        Surface::Plane { origin, normal, .. } if normal.z.abs() > 1e-9 => {
            let rest = at - origin.truncate();
            Some(origin.z - normal.truncate().dot(rest) / normal.z)
        }
        Surface::Ruled { low, .. } | Surface::Round { low, .. } => on_strip(surface, low, at),
        Surface::Plane { .. } | Surface::Cylinder { .. } => None,
    }
}

/// z of a strip: for every share of its width the place along it is found, and so the share.
fn on_strip(surface: &Surface, low: &Spline3, at: DVec2) -> Option<f64> {
    let range = low.domain();
    let nowhere = (DVec3::NAN, DVec3::NAN, DVec3::NAN);
    let point = |u: f64, v: f64| Across::at(surface, u).map_or(nowhere, |line| line.point(v));
    let mut guess = None;
    let mut along = |v: f64| {
        let (u, found) = station_on(|u| point(u, v), range, at.x, guess);
        guess = Some(u);
        found
    };
    // Regula falsi as the Illinois rule mends it, with halving when it creeps: heights grow or fall with the share.
    let (mut a, mut b) = (0.0, 1.0);
    let (mut fa, mut fb) = (along(a).y - at.y, along(b).y - at.y);
    for i in 0..200 {
        let share = a - fa * (b - a) / (fb - fa);
        let v = if i % 8 == 7 || !(share > a.min(b) && share < a.max(b)) { 0.5 * (a + b) } else { share };
        let found = along(v);
        let f = found.y - at.y;
        if f.abs() < 1e-12 || (b - a).abs() < 1e-14 {
            return (found.truncate().distance(at) < 1e-3).then_some(found.z);
        }
        if f * fb < 0.0 {
            (a, fa) = (b, fb);
        } else {
            fa *= 0.5;
        }
        (b, fb) = (v, f);
    }
    None
}

/// Cubics whose plan is the line's own, halved until their z keeps to the surface.
pub(super) fn fit_cubics(
    place: &impl Fn(f64) -> Option<DVec3>,
    from: f64,
    to: f64,
    halvings: usize,
    knots: &mut Vec<f64>,
    curves: &mut Vec<[DVec3; 4]>,
) -> Option<()> {
    let rest = to - from;
    // The cubic through four of its points: z by its coefficients, x and y with it.
    let at: [DVec3; 4] = [place(from)?, place(from + rest / 3.0)?, place(to - rest / 3.0)?, place(to)?];
    let [a, b, c, d] = at;
    let curve = [
        a,
        (b * 18.0 - c * 9.0 - a * 5.0 + d * 2.0) / 6.0,
        (c * 18.0 - b * 9.0 - d * 5.0 + a * 2.0) / 6.0,
        d,
    ];
    let off = |t: f64| Some(cubic_point(curve, t).distance(place(from + rest * t)?) > FIT);
    if halvings > 0 && (off(0.5)? || off(0.15)? || off(0.85)?) {
        let middle = 0.5 * (from + to);
        fit_cubics(place, from, middle, halvings - 1, knots, curves)?;
        return fit_cubics(place, middle, to, halvings - 1, knots, curves);
    }
    knots.push(to);
    curves.push(curve);
    Some(())
}
