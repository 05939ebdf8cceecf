//! Flat faces and upright walls along contours.

use brep::Surface;
use glam::{DVec2, DVec3};

use crate::slab::contour::Contour;
use crate::slab::corner::{Corner, arc_of};
use crate::slab::sewing::{Sewing, Step, backwards};

/// A contour at a height as a loop, as it runs.
pub(crate) fn level(contour: &Contour, z: f64) -> Vec<Step> {
    contour.sides().map(|(a, b)| step(a, b, z)).collect()
}

fn step(a: Corner, b: DVec2, z: f64) -> Step {
    let half = 2.0 * a.bulge.atan();
    let arc = (a.bulge.abs() > STRAIGHT).then(|| {
        let chord = b - a.at;
        // The tangents at both ends meet beyond the chord, to its right on a turn to the left.
        let middle = 0.5 * (a.at + b) - chord.perp() * (0.5 * half.tan());
        (middle.extend(z), half.cos())
    });
    Step { at: a.at.extend(z), arc }
}

/// Bulges under this are straight: 1e-9 of a chord of 1 m is a nanometre.
const STRAIGHT: f64 = 1e-9;

/// A horizontal face inside `outer` and outside `inner` (both counter-clockwise).
pub(crate) fn flat(sewing: &mut Sewing, name: &str, up: bool, z: f64, outer: &Contour, inner: &[Contour]) {
    let normal = if up { DVec3::Z } else { DVec3::NEG_Z };
    let surface = Surface::Plane { origin: DVec3::new(0.0, 0.0, z), normal, along: DVec3::X };
    let ring = |c: &Contour, forward: bool| {
        let steps = level(c, z);
        if forward == up { steps } else { backwards(&steps) }
    };
    let loops: Vec<_> =
        std::iter::once(ring(outer, true)).chain(inner.iter().map(|c| ring(c, false))).collect();
    sewing.face(name, surface, &loops);
}

/// Upright walls along a contour with the material on its left.
pub(crate) fn walls(sewing: &mut Sewing, name: &str, contour: &Contour, [low, high]: [f64; 2]) {
    for (a, b) in contour.sides() {
        sewing.face(name, wall_surface(a, b, [low, high]), &[wall_loop(a, b, [low, high])]);
    }
}

/// The loop of one wall: along the lower rim, up, back along the upper rim, down.
pub(crate) fn wall_loop(a: Corner, b: DVec2, [low, high]: [f64; 2]) -> Vec<Step> {
    let (below, above) = (step(a, b, low), step(a, b, high));
    let post = |p: DVec2, z: f64| Step { at: p.extend(z), arc: None };
    vec![below, post(b, low), Step { at: b.extend(high), arc: above.arc }, post(a.at, high)]
}

/// The surface of one wall.
pub(crate) fn wall_surface(a: Corner, b: DVec2, [low, high]: [f64; 2]) -> Surface {
    let along = (b - a.at).normalize_or_zero();
    if a.bulge.abs() <= STRAIGHT {
        let normal = -along.perp();
        return Surface::Plane {
            origin: a.at.extend(low),
            normal: normal.extend(0.0),
            along: along.extend(0.0),
        };
    }
    let (centre, radius, from, to) = arc_of(a.at, a.bulge, b);
    let seam = -DVec2::from_angle(0.5 * (from + to));
    Surface::Cylinder { centre, radius, low, high, seam, convex: a.bulge > 0.0 }
}
