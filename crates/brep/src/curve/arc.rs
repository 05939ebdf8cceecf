//! Circular arcs as rational quadratic Bézier curves.

use std::ops::{Add, Div, Mul, Sub};

use glam::DVec3;

/// A circular arc of less than half a turn as a rational quadratic Bézier curve whose end weights are 1
/// (Piegl and Tiller, The NURBS Book, section 7.3, from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc<P> {
    /// Where it starts, mm.
    pub start: P,
    /// Where the tangents at its ends meet, mm.
    pub middle: P,
    /// The middle's weight: the cosine of half the arc's angle, in (0, 1].
    pub weight: f64,
    /// Where it ends, mm.
    pub end: P,
}

/// A point or vector of the plane or of space.
pub trait Coordinates:
    Copy + Add<Output = Self> + Sub<Output = Self> + Mul<f64, Output = Self> + Div<f64, Output = Self>
{
}
impl<T> Coordinates for T where
    T: Copy + Add<Output = T> + Sub<Output = T> + Mul<f64, Output = T> + Div<f64, Output = T>
{
}

impl<P: Coordinates> Arc<P> {
    /// The point at t in [0, 1].
    pub fn point(&self, t: f64) -> P {
        let s = 1.0 - t;
        let w = s * s + 2.0 * s * t * self.weight + t * t;
        (self.start * (s * s) + self.middle * (2.0 * s * t * self.weight) + self.end * (t * t)) / w
    }

    /// Point and derivative at t in [0, 1].
    pub fn at(&self, t: f64) -> (P, P) {
        let s = 1.0 - t;
        let w = s * s + 2.0 * s * t * self.weight + t * t;
        let point = self.point(t);
        let dw = -2.0 * s + 2.0 * (s - t) * self.weight + 2.0 * t;
        let dh = self.start * (-2.0 * s) + self.middle * (2.0 * (s - t) * self.weight) + self.end * (2.0 * t);
        (point, (dh - point * dw) / w)
    }

    /// Half the angle that it turns through, rad.
    pub fn half_angle(&self) -> f64 {
        half_angle(self.weight)
    }
}

/// Half the angle, rad, that an arc with this middle weight turns through.
pub fn half_angle(weight: f64) -> f64 {
    weight.clamp(-1.0, 1.0).acos()
}

impl Arc<DVec3> {
    /// The part between two parameters, `from` below `to`: the arc's blossom there, brought back to end weights of 1.
    pub fn part(&self, from: f64, to: f64) -> Arc<DVec3> {
        let (a, b) = (self.start.extend(1.0), self.end.extend(1.0));
        let m = (self.middle * self.weight).extend(self.weight);
        let blossom =
            |s: f64, t: f64| a * ((1.0 - s) * (1.0 - t)) + m * ((1.0 - s) * t + s * (1.0 - t)) + b * (s * t);
        let (first, middle, last) = (blossom(from, from), blossom(from, to), blossom(to, to));
        Arc {
            start: first.truncate() / first.w,
            middle: middle.truncate() / middle.w,
            weight: middle.w / (first.w * last.w).sqrt(),
            end: last.truncate() / last.w,
        }
    }

    /// The points at which a coordinate turns back: with s = 1 − t its slope is proportional to
    /// w(m − a)·s² + (b − a)·st + w(b − m)·t².
    pub fn turning_points(&self) -> impl Iterator<Item = DVec3> + use<> {
        let Arc { start: a, middle, weight, end: b } = *self;
        let slopes = [(middle - a) * weight, b - a, (b - middle) * weight].map(|v| v.to_array());
        let ratios = (0..3).flat_map(move |axis| {
            let [p, q, r] = slopes.map(|v| v[axis]);
            let root = (q * q - 4.0 * p * r).max(0.0).sqrt();
            // The pair of roots in the form that loses no digits.
            let sum = -0.5 * (q + root.copysign(q));
            [sum / r, p / sum]
        });
        let arc = *self;
        let inside = ratios.filter(|ratio| ratio.is_finite() && *ratio > 0.0);
        inside.map(move |ratio| arc.point(ratio / (1.0 + ratio)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A quarter circle of radius 1 about the origin, from the x axis to the y axis.
    fn quarter() -> Arc<DVec3> {
        Arc {
            start: DVec3::X,
            middle: DVec3::new(1.0, 1.0, 0.0),
            weight: std::f64::consts::FRAC_1_SQRT_2,
            end: DVec3::Y,
        }
    }

    #[test]
    fn every_point_lies_on_the_circle_and_the_slope_is_square_to_it() {
        for i in 0..=10 {
            let (p, d) = quarter().at(f64::from(i) / 10.0);
            assert!((p.length() - 1.0).abs() < 1e-15 && p.dot(d).abs() < 1e-15, "{p} {d}");
        }
        assert!((quarter().half_angle() - std::f64::consts::FRAC_PI_4).abs() < 1e-15);
    }

    #[test]
    fn a_part_lies_on_the_same_circle_between_its_parameters() {
        let part = quarter().part(0.2, 0.7);
        assert!(part.start.distance(quarter().point(0.2)) < 1e-15);
        assert!(part.end.distance(quarter().point(0.7)) < 1e-15);
        assert!((part.point(0.5).length() - 1.0).abs() < 1e-15);
    }

    #[test]
    fn a_half_turned_quarter_turns_back_at_its_top() {
        let turned = Arc {
            start: DVec3::new(1.0, 1.0, 0.0).normalize(),
            middle: DVec3::new(0.0, std::f64::consts::SQRT_2, 0.0),
            weight: std::f64::consts::FRAC_1_SQRT_2,
            end: DVec3::new(-1.0, 1.0, 0.0).normalize(),
        };
        let found: Vec<DVec3> = turned.turning_points().collect();
        assert!(found.iter().any(|p| p.distance(DVec3::Y) < 1e-15), "{found:?}");
    }
}
