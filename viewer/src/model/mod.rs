//! The design as it is shown: settings, surfaces, sections, scales and what the colours stand for.

pub(crate) mod grinding;
pub(crate) mod legend;
pub(crate) mod picture;
pub(crate) mod pieces;
pub(crate) mod scale;
pub(crate) mod section;
pub(crate) mod settings;
pub(crate) mod shown;
pub(crate) mod surface;
pub(crate) mod taper;
