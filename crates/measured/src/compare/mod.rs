//! The blade on the bench against the stages of the design.

pub(crate) mod bars;
pub(crate) mod bench;
pub(crate) mod bow;
pub(crate) mod day;
pub(crate) mod fittings;
pub(crate) mod hilt;
pub(crate) mod lever;
pub(crate) mod standing;
pub(crate) mod take_off;
pub(crate) mod warp;

#[cfg(test)]
mod bench_tests;
#[cfg(test)]
mod lever_tests;
