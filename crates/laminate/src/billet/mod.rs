//! The billet: steels, layer sets, bars and their twist.

pub(crate) mod bar;
pub(crate) mod height;
pub(crate) mod layers;
pub(crate) mod pitch;
pub(crate) mod pitched;
pub(crate) mod plug;
pub(crate) mod recipe;
pub(crate) mod share;
pub(crate) mod square_disc;
pub(crate) mod stack;
pub(crate) mod standing;
pub(crate) mod teeth;
pub(crate) mod twist;
