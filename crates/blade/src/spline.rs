//! Clamped cubic B-splines in three and four dimensions.

use std::ops::{Add, Mul, Sub};

use glam::{DVec3, DVec4};

/// A cubic B-spline in space (mm).
pub type Spline3 = Spline<DVec3>;
/// A cubic B-spline in homogeneous space `(w·x, w·y, w·z, w)`: the middle row of a round strip.
pub type Spline4 = Spline<DVec4>;

/// What a spline's control points must be able to do.
pub trait Vector: Copy + Add<Output = Self> + Sub<Output = Self> + Mul<f64, Output = Self> {}
impl<T: Copy + Add<Output = T> + Sub<Output = T> + Mul<f64, Output = T>> Vector for T {}

/// A clamped cubic B-spline: `knots.len() == points.len() + 4`, the first and last knot fourfold.
#[derive(Clone, Debug, PartialEq)]
pub struct Spline<V> {
    knots: Vec<f64>,
    points: Vec<V>,
}

impl<V: Vector> Spline<V> {
    /// The knot vector, non-decreasing, with its end knots fourfold and inner knots at most threefold.
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// The control points, one fewer than the knots by four.
    pub fn points(&self) -> &[V] {
        &self.points
    }
}
