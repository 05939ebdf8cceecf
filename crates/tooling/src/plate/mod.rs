//! Plates of the blade's outline, cut into pieces that fit the printer's bed.

pub(crate) mod bed;
pub(crate) mod joint;
pub(crate) mod marking;
pub(crate) mod panel;
pub(crate) mod plates;
pub(crate) mod stamps;
