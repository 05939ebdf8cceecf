//! Pictures of the layers on the blade's surface, and their colours.

pub(crate) mod colours;
pub(crate) mod curve;
pub(crate) mod frame;
pub(crate) mod line;
pub(crate) mod painter;
pub(crate) mod palette;
pub(crate) mod raster;
pub(crate) mod ridge;
pub(crate) mod texture;
