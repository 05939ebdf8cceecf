//! Reading the file: its tree, its drafts, their checks, and problems with their places.

pub(crate) mod checker;
pub(crate) mod document;
pub(crate) mod draft;
mod draft_schema;
pub(crate) mod name;
pub(crate) mod places;
pub(crate) mod problem;
pub(crate) mod syntax;
