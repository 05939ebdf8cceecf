//! The tables of the shop and of what it holds against the steel.

pub(crate) mod gauges;
pub(crate) mod jig;
pub(crate) mod paper;
pub(crate) mod plate;
pub(crate) mod quench;
pub(crate) mod shop;
