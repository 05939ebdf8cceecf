//! The smallest change of a design file that brings its finished blade to the file's `[targets]`.
//!
//! Pure computation on the text of a design file: it opens no file and reads no clock. Every candidate is written as a
//! design file and read like one, so that what is promised is what the new file gives.

mod aim;
mod bars;
mod conflict;
mod cost;
mod count;
mod edit;
mod edit_bars;
mod knob;
mod least;
#[cfg(test)]
mod pattern_tests;
mod search;
#[cfg(test)]
mod tests;
mod text;
mod wanted;
mod within;

pub use aim::{FitFault, Fitted, Size, Zone, fit};
pub use cost::Cost;
pub use knob::Change;
pub use within::{Ceiling, Nearest, within};
