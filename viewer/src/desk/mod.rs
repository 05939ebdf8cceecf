//! What the smith sees and sets around the blade.

pub(crate) mod controls;
pub(crate) mod frame;
pub(crate) mod marks;
pub(crate) mod strip;
pub(crate) mod style;
