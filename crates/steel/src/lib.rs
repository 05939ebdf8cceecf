//! Steels: composition, transformation temperatures, diffusion, tempering, hot strength, expansion.
//!
//! Pure formulas in °C, MPa, mm and mass percent, each with its source and domain. It knows no blade.

mod composition;
mod diffusion;
mod expansion;
mod nominal;
mod published;
mod strength;
mod tempering;
mod transformation;

pub use composition::{Composition, Steel};
pub use diffusion::{contrast, diffusion};
pub use expansion::{HotFault, elongation};
pub use nominal::{nominal, nominals};
pub use published::{Advice, Band, Published, published};
pub use strength::{bearing_depth, bearing_pressure, borne_torque, twisting_torque};
pub use tempering::hardness;
pub use transformation::{FITTED, ac1, ac3, ms, retained};

/// 0 °C in kelvin.
const ZERO_CELSIUS: f64 = 273.15;
