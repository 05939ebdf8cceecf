//! The twisting jig's insert: a flanged body that fits the jig's bore, with a square socket for the tab on a bar's end.

mod body;
mod forms;
mod part;

pub(crate) use forms::{notch, socket};
pub(crate) use part::insert;
