//! The parts of the bench sheet, one module each: what the markup is told of them.

pub(crate) mod content;
mod heats;
mod log;
mod pictures;
mod stack;
mod stations;
mod steps;
mod tip;
mod title;
mod twists;
