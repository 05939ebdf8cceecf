//! The bench sheet: what stands on it, part by part.

mod as_one_piece;
mod cautions;
mod clock;
mod heat_record;
mod heats;
mod log;
pub(crate) mod page;
mod pictures;
mod stack;
mod stations;
mod steps;
mod tapered_side;
mod tip;
mod title;
mod treatment;
mod twists;
