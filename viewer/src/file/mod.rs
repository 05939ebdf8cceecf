//! Files: read and watched, built into what is shown, and pictures saved.

pub(crate) mod builder;
pub(crate) mod guard;
pub(crate) mod news;
pub(crate) mod order;
pub(crate) mod problems;
pub(crate) mod readings;
pub(crate) mod save;
pub(crate) mod source;
mod written;
