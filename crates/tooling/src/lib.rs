//! What the smith holds against the steel, on paper and from the printer: drawings, templates, gauges, jig parts.
//!
//! Pure computation in mm and rad: it opens no file, knows no file format and reads no clock.

mod biarc;
mod contour;
mod dimension;
mod drawing;
mod sewing;
mod slab;

pub use contour::{Contour, Corner, Motion, Region};
pub use drawing::{Anchor, Drawing, Item, Layer, Mark, Pen};
pub use slab::Slab;
