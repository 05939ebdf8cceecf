//! Flat parts: their contours and letters, and the shells sewn from those that are printed.

pub(crate) mod biarc;
pub(crate) mod chain;
pub(crate) mod contour;
pub(crate) mod corner;
pub(crate) mod engraving;
pub(crate) mod extrusion;
pub(crate) mod halves;
pub(crate) mod label;
pub(crate) mod lettering;
pub(crate) mod sewing;
pub(crate) mod walls;
pub(crate) mod writer;
