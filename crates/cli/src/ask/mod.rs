//! What may be asked of the command, as the command line spells it.

pub(crate) mod arguments;
pub(crate) mod cut_choice;
pub(crate) mod heat;
pub(crate) mod kinds;
pub(crate) mod order;
