//! What the smith holds against the steel, on paper and from the printer: drawings, templates, gauges, jig parts.
//!
//! Pure computation in mm and rad: it opens no file, knows no file format and reads no clock.

mod bed;
mod biarc;
mod contour;
mod dimension;
mod drawing;
mod extent;
mod figures;
mod heat;
mod lettering;
mod marks;
mod part;
mod section_row;
mod sewing;
mod side_view;
mod slab;
mod template;
mod tiles;
mod top_view;

pub use contour::{Contour, Corner, Motion, Region};
pub use drawing::{Anchor, Drawing, Item, Layer, Mark, Pen};
pub use heat::{HotFault, elongation};
pub use lettering::Lettering;
pub use part::{Part, Stuff};
pub use slab::Slab;
pub use template::{Template, template};
pub use tiles::{Tile, tiles};
