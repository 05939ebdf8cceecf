//! Small pictures as inline SVG: drawings, and flat parts by their upper faces.

pub(crate) mod drawn;
pub(crate) mod flat;
mod path;
