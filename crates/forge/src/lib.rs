//! From the finished blade back to the anvil: how much of which steel to cut, how bars are twisted, how hot they are held.
//!
//! Pure computation in mm, g and °C on a checked [`design::Design`]. It opens no file and reads no clock. What rests on
//! common practice or on a formula beyond its range says so.

mod heat;
mod plan;
mod stock;
mod twisting;

pub use heat::{SteelHeat, TEMPERING, ac1, ac3, contrast, diffusion, hardness, ms, retained};
pub use plan::{HELD, Levelling, Plan};
pub use stock::{BarStock, Block, Cut, Stack, Stock};
pub use twisting::{Stretch, Twisting};
