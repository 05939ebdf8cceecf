//! The commands, one module each.

pub(crate) mod bench;
pub(crate) mod build;
pub(crate) mod check;
pub(crate) mod compare;
pub(crate) mod fit;
pub(crate) mod layers;
mod nearest;
pub(crate) mod new;
pub(crate) mod plan;
pub(crate) mod reference;
pub(crate) mod sure;
pub(crate) mod viewer;
