//! The checked design: all tables together, defaults eased, warnings.

pub(crate) mod billet_warnings;
pub(crate) mod design;
mod ease;
mod field_path;
mod heat_warnings;
mod laid_bars;
pub(crate) mod lay;
mod one_bar;
