//! The smallest change of a design file that brings its finished blade to the file's `[targets]`.
//!
//! Pure computation on the text of a design file: it opens no file and reads no clock. Every candidate is written as a
//! design file and read like one, so that what is promised is what the new file gives.

mod aim;
mod edit;
mod knob;
mod least;
mod search;
#[cfg(test)]
mod tests;
mod text;
mod within;

pub use aim::{FitFault, Fitted, Zone, fit};
pub use knob::Change;
pub use within::{Ceiling, Nearest, within};
