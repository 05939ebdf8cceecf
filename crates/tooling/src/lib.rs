//! What the smith holds against the steel, on paper and from the printer: drawings, templates, gauges, jig parts.
//!
//! Pure computation in mm and rad: it opens no file, knows no file format and reads no clock.

mod bed;
mod biarc;
mod contour;
mod dimension;
mod drawing;
mod lettering;
mod part;
mod sewing;
mod slab;

pub use contour::{Contour, Corner, Motion, Region};
pub use drawing::{Anchor, Drawing, Item, Layer, Mark, Pen};
pub use lettering::Lettering;
pub use part::{Part, Stuff};
pub use slab::Slab;
