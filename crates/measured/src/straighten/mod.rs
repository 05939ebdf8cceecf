//! Straightening: where the section on the bench yields, what springs back, and what should not be tried cold.

pub(crate) mod condition;
pub(crate) mod moment_curve;
pub(crate) mod section;
pub(crate) mod span;
pub(crate) mod straightening;

#[cfg(test)]
mod fibre_tests;
#[cfg(test)]
mod odd_tests;
