//! The bench served: a build's page from the laptop, alive for the phone at the anvil.
//!
//! It writes two files and nothing else: the measured CSV, row by row, and a log of readings, steps and what was taken
//! back beside it. Every time in them is the phone's; no clock is read. What a phone sends carries an id, and the log
//! remembers it: sent twice it counts once, also after the server was killed. What is compared and what the page holds
//! is made by others and handed in.

mod answer;
mod desk;
mod door;
mod fault;
mod given;
mod log;
mod places;
mod reply;
mod route;
mod sent;
mod serve;
mod shared;
mod shelf;
mod told;
mod words;

pub use answer::{Compare, Compared, Picture};
pub use fault::BenchFault;
pub use given::{Reach, Say, Served};
pub use serve::serve;
pub use shelf::Shelf;
