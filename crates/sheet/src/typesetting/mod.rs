//! Setting pages: words, tables and pictures in a column, from top to bottom. Nothing here knows what stands on them.

pub(crate) mod face;
pub(crate) mod flow;
pub(crate) mod paragraph;
pub(crate) mod picture;
pub(crate) mod press;
pub(crate) mod shape;
pub(crate) mod strip;
pub(crate) mod table;
pub(crate) mod text;
pub(crate) mod words;
