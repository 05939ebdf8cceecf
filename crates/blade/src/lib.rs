//! The blade itself: curves, outline, section, taper, tang, loft, shell, mesh, mass and swing.
//!
//! Pure computation in millimetres and radians. It never opens a file, never names a steel and
//! never reads a clock; it fails only on bad input, with typed [`Problem`]s.
//!
//! Frame: origin on the shoulder plane at the tang's centre line; x along the blade from shoulder
//! to point, y from edge up to back, z through the thickness; right-handed.

mod beam;
mod blade;
mod checks;
mod cleave;
mod cross_section;
mod cuts;
mod forms;
mod gauss;
mod loft;
mod mesh;
mod moments;
mod outline;
mod parting;
mod preform;
mod problem;
mod rails;
mod region;
#[cfg(test)]
mod sample;
mod section;
mod shape;
mod sheet;
mod shell;
mod slabs;
mod spec;
mod spline;
mod station;
mod strip;
mod swing;
mod taper;
mod tessellate;
mod trace;
mod wall;

pub use beam::{Slice, nodes};
pub use blade::{Blade, Loft};
pub use cleave::{CleaveFault, Trimmed};
pub use cross_section::{CrossSection, Sections};
pub use mesh::{MOST_TRIANGLES, Mesh, MeshFault};
pub use moments::Moments;
pub use outline::Piece;
pub use preform::{Preform, Unbendable};
pub use problem::{Fault, Problem};
pub use sheet::Sheet;
pub use shell::{Curve, Edge, EdgeUse, Face, Shell, Surface};
pub use spec::*;
pub use spline::{Spline, Spline3, Spline4};
pub use station::Station;
pub use swing::{Load, Swing};
pub use trace::{Silhouette, Trace, TraceLine};
