//! The point before it is forged up, unbent along the edge.

mod blend;
mod edge;
mod tip;
mod unbendable;

pub use tip::Preform;
pub use unbendable::Unbendable;
