//! Units and quantities: how a length, angle or mass is written and read.

pub(crate) mod quantity;
