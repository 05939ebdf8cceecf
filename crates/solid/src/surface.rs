//! A face's surface, into the kernel and out of it.

use brep::{Spline3, Spline4};
use glam::{DVec2, DVec3};
use truck_modeling::{
    BSplineSurface, Curve as KernelCurve, KnotVec, Line, NurbsSurface, ParametricCurve, Plane, Point3,
    Processor, RevolutedCurve, Surface as Kernel, Vector3, Vector4,
};

use crate::curve::{back, finite, homogeneous, knots, point, positive, weighted};
use crate::fault::SolidFault;
use crate::form::{Patch, Surface};

/// The kernel's surface; `face` names it in a fault. Its own normal points out of the body.
pub(crate) fn surface(surface: &brep::Surface, face: &str) -> Result<Kernel, SolidFault> {
    match surface {
        brep::Surface::Plane { origin, normal, along } => plane(*origin, *normal, *along, face),
        brep::Surface::Ruled { low, high } => ruled(low, high, face),
        brep::Surface::Round { low, middle, high } => round(low, middle, high, face),
        brep::Surface::Cylinder { centre, radius, low, high, seam, convex } => {
            // Turned about the axis, a generator that runs up looks at the axis, one that runs down away from it.
            let ends = if *convex { [*high, *low] } else { [*low, *high] };
            cylinder(*centre, *seam * *radius, ends, face)
        }
    }
}

/// The plane with `normal` as the cross product of its axes.
fn plane(origin: DVec3, normal: DVec3, along: DVec3, face: &str) -> Result<Kernel, SolidFault> {
    finite([origin, normal, along].into_iter().flat_map(|p| p.to_array()), face)?;
    Ok(Plane::new(point(origin), point(origin + along), point(origin + normal.cross(along))).into())
}

/// Degree 3 along the rails, 1 across.
fn ruled(low: &Spline3, high: &Spline3, face: &str) -> Result<Kernel, SolidFault> {
    same_knots(low.knots(), high.knots(), face)?;
    let both = low.points().iter().zip(high.points());
    finite(both.clone().flat_map(|(l, h)| l.to_array().into_iter().chain(h.to_array())), face)?;
    let rows: Vec<Vec<Point3>> = both.map(|(&l, &h)| vec![point(l), point(h)]).collect();
    BSplineSurface::try_new((knots(low.knots(), face)?, KnotVec::bezier_knot(1)), rows)
        .map(Kernel::from)
        .map_err(|e| SolidFault::refused(face, e))
}

/// Degree 3 along the rails, rational degree 2 across.
fn round(low: &Spline3, middle: &Spline4, high: &Spline3, face: &str) -> Result<Kernel, SolidFault> {
    same_knots(low.knots(), high.knots(), face)?;
    same_knots(low.knots(), middle.knots(), face)?;
    let rows: Vec<_> = low
        .points()
        .iter()
        .zip(middle.points())
        .zip(high.points())
        .map(|((l, &m), h)| [l.extend(1.0), m, h.extend(1.0)])
        .collect();
    finite(rows.iter().flatten().flat_map(|p| p.to_array()), face)?;
    positive(rows.iter().flatten().map(|p| p.w), face)?;
    let rows: Vec<Vec<Vector4>> = rows.into_iter().map(|r| r.map(homogeneous).to_vec()).collect();
    BSplineSurface::try_new((knots(low.knots(), face)?, KnotVec::bezier_knot(2)), rows)
        .map(|s| NurbsSurface::new(s).into())
        .map_err(|e| SolidFault::refused(face, e))
}

/// A wall: a generator at `arm` from the centre, from `start` to `end`, turned about the axis.
fn cylinder(centre: DVec2, arm: DVec2, [start, end]: [f64; 2], face: &str) -> Result<Kernel, SolidFault> {
    finite([centre.x, centre.y, arm.x, arm.y, start, end], face)?;
    positive([arm.length(), (end - start).abs()], face)?;
    let at = |z| Point3::new(centre.x + arm.x, centre.y + arm.y, z);
    let generator = KernelCurve::from(Line(at(start), at(end)));
    let origin = Point3::new(centre.x, centre.y, start.min(end));
    let wall = RevolutedCurve::by_revolution(generator, origin, Vector3::unit_z());
    Ok(Kernel::RevolutedCurve(Processor::new(wall)))
}

/// Fails unless both rails have the same knots, number for number.
fn same_knots(one: &[f64], other: &[f64], face: &str) -> Result<(), SolidFault> {
    match one.len() == other.len() && one.iter().zip(other).all(|(a, b)| a.total_cmp(b).is_eq()) {
        true => Ok(()),
        false => Err(SolidFault::Rails { face: face.to_owned() }),
    }
}

/// The plain form of a kernel surface, and whether the form's own normal points out of the body.
pub(crate) fn form(surface: &Kernel) -> (Surface, bool) {
    match surface {
        Kernel::Plane(p) => (flat(p), true),
        Kernel::BSplineSurface(s) => (Surface::Patch(polynomial(s)), true),
        Kernel::NurbsSurface(s) => (Surface::Patch(rational(s)), true),
        Kernel::RevolutedCurve(s) => wall(s.entity()),
    }
}

/// The plain form of a plane.
fn flat(plane: &Plane) -> Surface {
    let (u, normal) = (plane.u_axis(), plane.normal());
    Surface::Plane {
        origin: back(plane.origin()),
        normal: DVec3::new(normal.x, normal.y, normal.z),
        along: DVec3::new(u.x, u.y, u.z).normalize_or_zero(),
    }
}

/// The plain form of a cylinder's wall, and whether it looks away from its axis.
fn wall(turned: &RevolutedCurve<KernelCurve>) -> (Surface, bool) {
    let (origin, axis) = (back(turned.origin()), turned.axis());
    let axis = DVec3::new(axis.x, axis.y, axis.z);
    let [start, end] = [0.0, 1.0].map(|t| back(turned.entity_curve().subs(t)));
    let out = (start - origin).reject_from_normalized(axis);
    let along = out.normalize_or_zero();
    (Surface::Cylinder { origin, axis, along, radius: out.length() }, (end - start).dot(axis) < 0.0)
}

/// The plain form of a patch without weights.
fn polynomial(surface: &BSplineSurface<Point3>) -> Patch {
    let rows = surface.control_points().iter();
    Patch {
        degrees: [surface.udegree(), surface.vdegree()],
        knots: [surface.knot_vecs().0.to_vec(), surface.knot_vecs().1.to_vec()],
        points: rows.map(|row| row.iter().copied().map(back).collect()).collect(),
        weights: None,
    }
}

/// The plain form of a patch with weights.
fn rational(surface: &NurbsSurface<Vector4>) -> Patch {
    let rows = surface.control_points().iter();
    let (points, weights) = rows.map(|row| row.iter().map(weighted).unzip()).unzip();
    Patch {
        degrees: [surface.udegree(), surface.vdegree()],
        knots: [surface.knot_vecs().0.to_vec(), surface.knot_vecs().1.to_vec()],
        points,
        weights: Some(weights),
    }
}
