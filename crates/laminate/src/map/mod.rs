//! The map between blade and stack, and the borders and bodies read through it.

pub(crate) mod antiderivative;
mod cells;
pub(crate) mod even_pitch;
pub(crate) mod flank;
pub(crate) mod material;
pub(crate) mod plugged;
pub(crate) mod seams;
mod serrated;
mod tapered;
pub(crate) mod zone;
