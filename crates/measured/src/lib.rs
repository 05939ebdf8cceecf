//! At the grinder: the blade on the bench against the blade in the file.

mod columns;
mod date;
mod fault;
mod figures;
mod read;
mod reading;
#[cfg(test)]
mod sample;
mod table;

pub use date::Date;
pub use read::read;
pub use reading::{Line, Reading, Session, Side, What};
