//! What the smith holds against the steel, on paper and from the printer: drawings, templates, gauges, jig parts.
//!
//! Pure computation in mm and rad: it opens no file, knows no file format and reads no clock.

mod bed;
mod bevel_gauge;
mod biarc;
mod chain;
mod comb;
mod contour;
mod coupon;
mod dimension;
mod drawing;
mod engraving;
mod extent;
mod figures;
mod gauges;
mod halves;
mod heat;
mod insert;
mod jig;
mod joint;
mod label;
mod lettering;
mod marks;
mod note;
mod overview;
mod panel;
mod part;
mod plate;
mod preform;
mod rack;
mod relief;
#[cfg(test)]
mod sample;
mod seam_lines;
mod section_gauge;
mod section_row;
mod sewing;
mod side_view;
mod slab;
mod stamps;
mod stops;
mod tang_gauge;
mod template;
mod tiles;
mod top_view;
mod torque;

pub use contour::{Contour, Corner, Motion, Region};
pub use drawing::{Anchor, Drawing, Item, Layer, Mark, Pen};
pub use figures::Figures;
pub use gauges::gauges;
pub use heat::{HotFault, elongation};
pub use jig::jig;
pub use lettering::Lettering;
pub use note::bench_note;
pub use overview::{Overview, overlays, overview};
pub use part::{Part, Stuff};
pub use plate::{PlatePiece, plates};
pub use preform::preform;
pub use slab::Slab;
pub use template::{Template, template};
pub use tiles::{Tile, tiles};
pub use torque::{bearing_pressure, twisting_torque};
