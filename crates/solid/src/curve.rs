//! An edge's curve, into the kernel and out of it.

use brep::Spline3;
use glam::{DVec3, DVec4};
use truck_modeling::{BSplineCurve, Curve as Kernel, KnotVec, Line, NurbsCurve, Point3, Vector4};

use crate::fault::SolidFault;
use crate::form::{Curve, Spline};

/// The kernel's point.
pub(crate) fn point(p: DVec3) -> Point3 {
    Point3::new(p.x, p.y, p.z)
}

/// The kernel's homogeneous point of a homogeneous `p`.
pub(crate) fn homogeneous(p: DVec4) -> Vector4 {
    Vector4::new(p.x, p.y, p.z, p.w)
}

/// A point back from the kernel.
pub(crate) fn back(p: Point3) -> DVec3 {
    DVec3::new(p.x, p.y, p.z)
}

/// A point and its weight back from the kernel's homogeneous one.
pub(crate) fn weighted(p: &Vector4) -> (DVec3, f64) {
    (DVec3::new(p.x, p.y, p.z) / p.w, p.w)
}

/// The kernel's curve from `start` to `end`; `place` names the edge in a fault.
pub(crate) fn curve(
    curve: &brep::Curve,
    start: DVec3,
    end: DVec3,
    place: &str,
) -> Result<Kernel, SolidFault> {
    match curve {
        brep::Curve::Line => Ok(Line(point(start), point(end)).into()),
        brep::Curve::Arc { middle, weight } => arc([start, *middle, end], *weight, place).map(Into::into),
        brep::Curve::Spline(spline) => cubic(spline, place).map(Into::into),
    }
}

/// The rational quadratic with weights 1, `weight`, 1.
fn arc(
    [start, middle, end]: [DVec3; 3],
    weight: f64,
    place: &str,
) -> Result<NurbsCurve<Vector4>, SolidFault> {
    positive([weight], place)?;
    finite(middle.to_array(), place)?;
    let points = vec![start.extend(1.0), (middle * weight).extend(weight), end.extend(1.0)];
    let points = points.into_iter().map(homogeneous).collect();
    BSplineCurve::try_new(KnotVec::bezier_knot(2), points)
        .map(NurbsCurve::new)
        .map_err(|e| SolidFault::refused(place, e))
}

/// The cubic spline, unchanged.
fn cubic(spline: &Spline3, place: &str) -> Result<BSplineCurve<Point3>, SolidFault> {
    finite(spline.points().iter().flat_map(|p| p.to_array()), place)?;
    BSplineCurve::try_new(knots(spline.knots(), place)?, spline.points().iter().copied().map(point).collect())
        .map_err(|e| SolidFault::refused(place, e))
}

/// The kernel's knot vector; fails on numbers that are not finite or fall.
pub(crate) fn knots(knots: &[f64], place: &str) -> Result<KnotVec, SolidFault> {
    finite(knots.iter().copied(), place)?;
    KnotVec::try_from(knots.to_vec()).map_err(|e| SolidFault::refused(place, e))
}

/// Fails unless all numbers are finite.
pub(crate) fn finite(numbers: impl IntoIterator<Item = f64>, place: &str) -> Result<(), SolidFault> {
    match numbers.into_iter().all(f64::is_finite) {
        true => Ok(()),
        false => Err(SolidFault::NotFinite { place: place.to_owned() }),
    }
}

/// Fails unless all weights are finite and above zero.
pub(crate) fn positive(weights: impl IntoIterator<Item = f64>, place: &str) -> Result<(), SolidFault> {
    match weights.into_iter().all(|w| w.is_finite() && w > 0.0) {
        true => Ok(()),
        false => Err(SolidFault::Weight { place: place.to_owned() }),
    }
}

/// The plain form of a kernel curve.
pub(crate) fn form(curve: &Kernel, place: &str) -> Result<Curve, SolidFault> {
    match curve {
        Kernel::Line(_) => Ok(Curve::Line),
        Kernel::BSplineCurve(c) => Ok(Curve::Spline(Spline {
            degree: c.degree(),
            knots: c.knot_vec().to_vec(),
            points: c.control_points().iter().copied().map(back).collect(),
            weights: None,
        })),
        Kernel::NurbsCurve(c) => Ok(Curve::Spline(rational(c))),
        Kernel::IntersectionCurve(_) => Err(SolidFault::refused(place, "an intersection curve")),
    }
}

/// The plain form of a rational curve.
fn rational(curve: &NurbsCurve<Vector4>) -> Spline {
    let (points, weights) = curve.control_points().iter().map(weighted).unzip();
    Spline { degree: curve.degree(), knots: curve.knot_vec().to_vec(), points, weights: Some(weights) }
}
