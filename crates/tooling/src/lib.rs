//! What the smith holds against the steel, on paper, from the printer and cut of sheet steel: drawings, templates, gauges,
//! jig parts.
//!
//! Pure computation in mm and rad: it opens no file, knows no file format and reads no clock.

#[cfg(test)]
mod fixtures;
mod gauge;
mod held;
mod jig;
mod metal;
mod names;
mod note;
mod paper;
mod part;
mod plate;
mod slab;

// The old place of what the package `drawing` holds.
pub use drawing::{Anchor, Drawing, Item, Layer, Mark, Pen};
pub use gauge::gauges::gauges;
pub use gauge::section_gauge::station_names;
pub use held::Held;
pub use jig::parts::jig;
pub use metal::cut_gauge::CutGauge;
pub use metal::cutting::{Cutting, CuttingFault, HAMMER_HEAT};
pub use metal::gauges::cut_gauges;
pub use metal::nest::{CutSheet, nested};
pub use metal::strokes::Stroke;
pub use metal::words::BARE;
pub use note::{CutWork, bench_note};
pub use paper::overview::{Overview, REDUCTIONS, overlays, overview};
pub use paper::preform::preform;
pub use paper::template::{Template, template};
pub use paper::tiles::{Tile, tiles};
pub use part::{Part, Stuff};
pub use plate::plates::{PlatePiece, plates};
pub use slab::contour::{Contour, Motion, Region};
pub use slab::corner::Corner;
pub use slab::extrusion::Slab;
pub use slab::lettering::Lettering;
