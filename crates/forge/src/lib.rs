//! From the finished blade back to the anvil: how much of which steel to cut, how bars are twisted, how hot they are
//! held.
//!
//! Pure computation in mm, g and °C on a checked [`design::Design`]. It opens no file and reads no clock. What rests on
//! common practice or on a formula beyond its range says so.

mod bath;
mod bevel_lift;
mod blade_heat;
mod clock;
mod edge;
mod etching;
#[cfg(test)]
mod fixtures;
mod forging_range;
mod growth;
mod hammer;
mod hardened_as;
mod heat;
mod hot;
mod joined;
mod levelling;
mod medium;
mod normalising;
mod pitch_marks;
mod plan;
mod plugged;
mod sawn;
mod serrated;
mod skin;
mod stock;
mod taper;
mod text;
mod tip;
mod treated;
mod twisting;
mod way;
mod welding;

pub use bath::{OwnBath, QuenchBath};
pub use bevel_lift::BevelLift;
pub use blade_heat::{Behaviour, BladeHeat, Common};
pub use clock::WorkingHeat;
pub use etching::{ETCHED_GREYS, EtchedSteel, Etching};
pub use forging_range::ForgingRange;
pub use growth::Growth;
pub use hammer::DrawingOut;
pub use hardened_as::HardenedAs;
pub use heat::{Departed, Heat, Quenched, SteelHeat, TEMPERING, TemperHeat, WANTED, mark};
pub use hot::HotLength;
pub use joined::{Joined, Wrapped};
pub use levelling::{Levelled, Levelling};
pub use medium::QuenchMedium;
pub use normalising::Normalising;
pub use pitch_marks::PitchMarks;
pub use plan::Plan;
pub use plugged::Plugged;
pub use sawn::{Leaning, Sawn, Slices};
pub use serrated::Notches;
pub use skin::Skin;
pub use stock::{BarStock, Block, Cut, CutTip, Stack, Stock};
pub use taper::BarTaper;
pub use text::{MARKS, TWIST_MARKS, TWO_ROUNDS};
pub use tip::TipPreform;
pub use twisting::{Stretch, Tab, Twisting};
pub use way::{WAYS_LEAD, Way, WayStep};
pub use welding::WeldingHeat;
