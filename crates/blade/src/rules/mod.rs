//! The rules of a blade: the list of them, and where each is tried.

mod border;
mod field;
mod fullers;
mod lines;
mod measures;
mod problem;
mod tang;
#[cfg(test)]
mod tests;
mod thickness;
mod told;
mod violations;
mod whole;

pub use field::{Field, OutlineLine};
pub use problem::{Fault, Problem};
pub use told::LengthUnit;
pub(crate) use whole::check;

/// Steel that must stay between two faces (mm): thinner tears or burns through under the hammer and the
/// wheel (common practice, no source).
const LEAST_WALL: f64 = 0.3;
/// The edge must be at least this much thinner than the blade, mm: less is no bevel that a wheel could grind (common practice,
/// no source).
const THINNER: f64 = 0.1;
