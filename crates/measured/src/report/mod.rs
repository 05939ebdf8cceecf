//! The comparison as text, map and chart, and the blank file to fill in.

pub(crate) mod blank;
pub(crate) mod hilt_text;
pub(crate) mod map;
pub(crate) mod near;
pub(crate) mod progress;
pub(crate) mod straighten_text;
pub(crate) mod text;
pub(crate) mod warp_text;
