//! The tables of mass and balance: fittings and targets.

pub(crate) mod fitting;
pub(crate) mod material;
pub(crate) mod pattern;
pub(crate) mod pattern_target;
pub(crate) mod targets;
pub(crate) mod wanted;
