//! The measured file: rows, columns, readings, and what can be wrong with them.

pub(crate) mod columns;
pub(crate) mod date;
pub(crate) mod edit;
pub(crate) mod fault;
pub(crate) mod hanging;
pub(crate) mod limits;
pub(crate) mod read;
pub(crate) mod reading;
pub(crate) mod steel_state;
pub(crate) mod table;
