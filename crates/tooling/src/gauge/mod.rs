//! Gauges to hold against the blade.

pub(crate) mod bevel_gauge;
pub(crate) mod comb;
pub(crate) mod gauges;
pub(crate) mod preform_plate;
pub(crate) mod rack;
pub(crate) mod relief;
pub(crate) mod section_gauge;
pub(crate) mod tang_gauge;
pub(crate) mod unlaid;
