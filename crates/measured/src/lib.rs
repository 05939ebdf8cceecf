//! At the grinder: the blade on the bench against the blade in the file.
mod date;
pub use date::Date;
