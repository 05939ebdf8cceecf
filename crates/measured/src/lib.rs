//! At the grinder: the blade on the bench against the blade in the file.
//!
//! [`read`] takes a measured file's bytes to [`Session`]s or to all its problems at once; [`Bench`] rebuilds the blade of
//! each from its readings and tells what to take off, what it weighs and how it is bent. Pure computation in mm, rad and
//! g: it opens no file and reads no clock, so a day is what the file says.

mod compare;
mod file;
#[cfg(test)]
mod fixtures;
mod report;
mod straighten;
mod surplus;

pub use compare::bars::{BarsHere, BarsNow};
pub use compare::bench::{Bench, History, Slice, Stages};
pub use compare::bow::Bow;
pub use compare::day::{Compared, Day, Gone, StageGoal, Weighed};
pub use compare::fittings::{Barrier, Change, HiltWay, Mount};
pub use compare::hilt::Hilt;
pub use compare::lever::{Levered, Told};
pub use compare::standing::By;
pub use compare::take_off::{Short, Spot, TakeOff};
pub use compare::warp::{Shims, Twist, Warp};
pub use file::date::Date;
pub use file::edit::{Appended, NewRow, Refused, appended, rows_alike, without};
pub use file::read::read;
pub use file::reading::{Line, Quantity, Reading, Session, Side};
pub use report::blank::blank;
pub use report::map::{Dots, Map, Shade, Shades};
pub use report::near::Near;
pub use straighten::condition::{Condition, Known};
pub use straighten::straightening::{Cold, ColdBend, Pads, Straightening};
pub use surplus::advice::Advice;
pub use surplus::doubt::Doubt;
pub use surplus::mass_balance::{MassBalance, MassBand};
pub use surplus::next_reading::NextReading;
pub use surplus::repeats::Repeat;
