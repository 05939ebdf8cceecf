//! Units and quantities: how a length, angle or mass is written and read.

pub(crate) mod figures;
pub(crate) mod quantity;
pub(crate) mod scales;
