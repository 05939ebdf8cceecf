//! What is measured on a loft: stations, sections, silhouette, mass and swing.

mod beam;
mod caliper;
mod cross_section;
mod station;
mod strip_chords;
mod swing;
mod trace;

pub use beam::{Slice, nodes};
pub use caliper::Caliper;
pub use cross_section::{CrossSection, Sections, Trapezium};
pub use station::Station;
pub use swing::{Load, Swing};
pub use trace::{Silhouette, Trace, TraceLine};
