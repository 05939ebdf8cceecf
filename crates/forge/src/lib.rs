//! From the finished blade back to the anvil: how much of which steel to cut, how bars are twisted, how hot they are held.
//!
//! Pure computation in mm, g and °C on a checked [`design::Design`]. It opens no file and reads no clock. What rests on
//! common practice or on a formula beyond its range says so.

mod heat;
mod hot;
mod levelling;
mod plan;
mod stock;
mod text;
mod tip;
mod twisting;

pub use heat::{BladeHeat, Heat, SteelHeat, TEMPERING};
pub use hot::HotLength;
pub use levelling::{HELD, Levelled, Levelling};
pub use plan::Plan;
pub use stock::{BarStock, Block, Cut, Stack, Stock};
pub use tip::TipPreform;
pub use twisting::{Stretch, Tab, Twisting};
