//! At the grinder: the blade on the bench against the blade in the file.
//!
//! [`read`] takes a measured file's bytes to [`Session`]s or to all its problems at once; [`Bench`] rebuilds the blade of
//! each from its readings and tells what to take off, what it weighs and how it is bent. Pure computation in mm, rad and
//! g: it opens no file and reads no clock, so a day is what the file says.

mod bars;
mod bench;
mod blank;
mod columns;
mod date;
mod day;
mod fault;
mod field;
mod fit;
mod hang;
mod jury;
mod map;
mod places;
mod planned;
mod progress;
mod read;
mod reading;
#[cfg(test)]
mod sample;
mod slip;
mod stages;
mod surface;
mod table;
mod take_off;
mod text;
mod warp;

#[cfg(test)]
mod bench_tests;

pub use bars::{BarsHere, BarsNow};
pub use bench::{Bench, History, Slice};
pub use blank::blank;
pub use date::Date;
pub use day::{Compared, Day, Way, Weighed};
pub use hang::Hang;
pub use jury::Aside;
pub use map::{Dots, Map, Shade, Shades};
pub use read::read;
pub use reading::{Line, Reading, Session, Side, What};
pub use take_off::{Short, Spot, TOLD, TakeOff};
pub use warp::{Bow, Shims, Twist, Warp};
