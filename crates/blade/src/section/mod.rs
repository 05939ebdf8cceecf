//! The section: its corners on one chord, the thickness along the blade, and sections at every station.

pub(crate) mod corners;
pub(crate) mod shape;
pub(crate) mod taper;
