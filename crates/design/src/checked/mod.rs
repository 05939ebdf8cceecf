//! The checked design: all tables together, defaults eased, warnings.

pub(crate) mod billet_warnings;
pub(crate) mod design;
mod ease;
mod even_pitch;
mod field_path;
mod heat_warnings;
pub(crate) mod lay;
mod one_bar;
