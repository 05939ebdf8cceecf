//! What the smith holds against the steel, on paper and from the printer: drawings, templates, gauges, jig parts.
//!
//! Pure computation in mm and rad: it opens no file, knows no file format and reads no clock.

mod contour;
mod drawing;

pub use contour::{Contour, Corner, Region};
pub use drawing::{Anchor, Drawing, Item, Layer, Mark, Pen};
