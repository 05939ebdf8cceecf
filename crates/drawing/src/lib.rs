//! Drawings in mm: lines, arcs, curves, text and dimensions on layers, and the room that they take up.
//!
//! Pure computation: it knows no file format and no blade.

mod dimension;
mod drawing;
mod extent;
mod marks;

pub use drawing::{Anchor, Drawing, Ink, Item, Layer, Mark, Pen};
pub use extent::{Extent, around, overlap, text_width};
