//! Drawings and pages as SVG, PDF and PNG.

pub(crate) mod extent;
pub(crate) mod font;
pub(crate) mod pdf;
pub(crate) mod picture;
pub(crate) mod png;
pub(crate) mod raster;
pub(crate) mod svg;
pub(crate) mod svg_text;
pub(crate) mod view;
