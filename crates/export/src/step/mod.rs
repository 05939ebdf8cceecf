//! STEP: exact solids as ISO 10303-21 text.

pub(crate) mod body;
pub(crate) mod file;
pub(crate) mod part21;
