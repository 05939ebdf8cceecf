//! Setting pages from markup, data and pictures.

pub(crate) mod files;
pub(crate) mod press;
pub(crate) mod words;
