//! The blade itself: outline, section, taper, tang, loft, mass and swing, and the point before it is forged up.
//!
//! Pure computation in millimetres and radians. It never opens a file, never names a steel and
//! never reads a clock; it fails only on bad input, with typed [`Problem`]s.
//!
//! Frame: origin on the shoulder plane at the tang's centre line; x along the blade from shoulder
//! to point, y from edge up to back, z through the thickness; right-handed.

#[cfg(test)]
extern crate self as blade;
#[cfg(test)]
#[path = "../../fixtures/src/specs.rs"]
#[allow(unreachable_pub, reason = "shared with the tests of other packages")]
mod specs;

mod checked;
mod form;
mod loft;
mod measure;
mod outline;
mod preform;
mod rules;
mod section;
mod spec;

pub use checked::Blade;
pub use loft::Loft;
pub use measure::{
    Caliper, CrossSection, Load, Sections, Silhouette, Slice, Station, Swing, Trace, TraceLine, Trapezium,
    nodes,
};
pub use preform::{Preform, Unbendable};
pub use rules::{Fault, Field, LengthUnit, OutlineLine, Problem};
pub use spec::*;
