//! The bench sheet: a PDF for the smith to take to forge and grinder, with what to cut, do and measure, and room to write;
//! and the bench page, with what is still to take off after measuring.
//!
//! It takes finished models and returns bytes. It opens no file, reads no clock, and knows no font but its own; the same
//! input gives the same bytes. The markup stands in `typst/`, figures reach it as data.

mod bench;
#[cfg(test)]
mod bench_tests;
mod content;
mod fault;
mod hangs;
mod heats;
mod log;
mod pictures;
mod press;
mod shades;
mod sheet;
mod stack;
mod stations;
mod steps;
mod take_off;
#[cfg(test)]
mod tests;
mod tip;
mod title;
mod twists;
mod words;

pub use bench::bench_page;
pub use fault::SheetFault;
pub use sheet::{Sheet, sheet};
