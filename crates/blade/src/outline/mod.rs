//! The blade seen from the side: from named forms and own points to the back line and the edge line.

pub(crate) mod forms;
pub(crate) mod grown;
