//! The loft: rails through like-named corners, and the closed shell made of them.

#[allow(clippy::module_inception, reason = "the loft itself, beside what it is made of")]
mod loft;
mod names;
pub(crate) mod rails;
mod shell;
pub(crate) mod spans;

pub use loft::Loft;
