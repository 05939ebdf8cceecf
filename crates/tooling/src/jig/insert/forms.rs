//! Plane forms of the insert: its body in the bore, the socket with its notches, its mouth, the least wall between.

use std::f64::consts::FRAC_PI_2;

use design::Bore;
use glam::DVec2;

use crate::slab::contour::Contour;
use crate::slab::corner::{Corner, arc_of};

/// Where a round body's flat lies, in radii: deep enough that its chord (0.78 radii) takes a screw's mouth, and takes
/// only 2 % of the section.
pub(super) const FLAT: f64 = 0.92;
/// Least notch in a socket's corner, mm: a print's inside corner is never sharp, and the tab's corners are.
const NOTCH: f64 = 0.6;
/// The same in widths of the nozzle, which rounds inside corners with half its width and spreads a little.
const NOTCH_NOZZLES: f64 = 1.5;

/// Side of the relief notches in a printed socket's corners, mm.
pub(crate) fn notch(nozzle: f64) -> f64 {
    NOTCH.max(NOTCH_NOZZLES * nozzle)
}

/// A square socket around the origin, counter-clockwise from its side at +x: `half` (mm) from the middle to the flats,
/// with a square notch of side `notch` (mm) around each corner.
pub(crate) fn socket(half: f64, notch: f64) -> Contour {
    let (near, far) = (half - 0.5 * notch, half + 0.5 * notch);
    let corner = [(half, -near), (half, near), (far, near), (far, far), (near, far)].map(DVec2::from);
    // A turn by quarters is exact.
    let quarter = |k: usize| corner.map(|p| (0..k).fold(p, |p, _| p.perp()));
    Contour::polygon(&(0..4).flat_map(quarter).collect::<Vec<_>>())
}

/// A counter-clockwise polygon with every side moved out by `by` (mm), side by side parallel.
pub(super) fn moved_out(polygon: &Contour, by: f64) -> Contour {
    let points: Vec<DVec2> = polygon.corners.iter().map(|c| c.at).collect();
    let n = points.len();
    let out = |i: usize| -(points[(i + 1) % n] - points[i]).normalize_or_zero().perp();
    let corner = |i: usize| {
        let (a, b) = (out((i + n - 1) % n), out(i));
        points[i] + (a + b) * (by / (1.0 + a.dot(b)))
    };
    Contour::polygon(&(0..n).map(corner).collect::<Vec<_>>())
}

/// A bore's form around the origin, counter-clockwise, `size` (mm) across flats or in diameter; its first side is the
/// flat at +x if it has one. A round one gets a flat where `flat` says so.
pub(super) fn form(bore: Bore, size: f64, flat: bool) -> Contour {
    let radius = 0.5 * size;
    match bore {
        Bore::Square => Contour::polygon(&[
            DVec2::new(radius, -radius),
            DVec2::new(radius, radius),
            DVec2::new(-radius, radius),
            DVec2::new(-radius, -radius),
        ]),
        Bore::Hexagon => {
            let half = radius / 3f64.sqrt();
            let corner =
                |k: i32| DVec2::from_angle(f64::from(k) * FRAC_PI_2 / 1.5).rotate(DVec2::new(radius, -half));
            Contour::polygon(&(0..6).map(corner).collect::<Vec<_>>())
        }
        Bore::Round if flat => flattened(radius),
        Bore::Round => Contour::circle(DVec2::ZERO, radius),
    }
}

/// A circle with a flat at +x: the flat, then three equal arcs.
fn flattened(radius: f64) -> Contour {
    let from = FLAT.acos();
    let turn = (4.0 * FRAC_PI_2 - 2.0 * from) / 3.0;
    let corner = |k: i32| Corner {
        at: DVec2::from_angle(from + f64::from(k) * turn) * radius,
        bulge: (0.25 * turn).tan(),
    };
    let last = corner(0).at * DVec2::new(1.0, -1.0);
    Contour { corners: [Corner::sharp(last), corner(0), corner(1), corner(2)].to_vec() }
}

/// Least distance of points inside a convex form of straight sides and arcs of one circle from its border, mm.
pub(super) fn least_wall(form: &Contour, inner: &Contour) -> f64 {
    let from_side = |p: DVec2, a: Corner, b: DVec2| {
        if a.bulge.abs() < 1e-12 {
            (b - a.at).normalize_or_zero().perp_dot(p - a.at)
        } else {
            let (centre, radius, ..) = arc_of(a.at, a.bulge, b);
            radius - centre.distance(p)
        }
    };
    let distances = inner.corners.iter().flat_map(|c| form.sides().map(move |(a, b)| from_side(c.at, a, b)));
    distances.fold(f64::INFINITY, f64::min)
}
