//! Curves: cubic B-splines in space, circular arcs as rational quadratics, plane paths, monotone curves through values.

mod arc;
mod beside;
mod bezier;
mod monotone;
mod path;
mod spline;

pub use arc::{Arc, Coordinates, half_angle};
pub use bezier::cubic_point;
pub use monotone::Monotone;
pub use path::{Path, Piece};
pub use spline::{KnotPlace, Spline, Spline3, Spline4, Vector};
