//! The checked design: all tables together, defaults eased, warnings.

pub(crate) mod billet_warnings;
pub(crate) mod design;
pub(crate) mod ease;
pub(crate) mod lay;
