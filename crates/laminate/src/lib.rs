//! The billet on the blade: steels, layer sets, bars and their twist, and what of them lies where.
//!
//! Pure computation in millimetres and radians on the forged stage's [`blade::Sections`]. It opens no file, knows no
//! printer and reads no clock.

mod bar;
mod billet;
mod disc;
mod flank;
mod lay;
mod layers;
mod painter;
mod palette;
mod picture;
mod run;
#[cfg(test)]
mod sample;
mod seams;
mod survey;
mod texture;
mod twist;
mod zone;

pub use bar::{Bar, Direction, SquarePoint, Squaring};
pub use billet::{Billet, BilletFault, Recipe, StackPoint, Tip};
pub use lay::{Lay, Plane};
pub use layers::{Layer, LayerSet, MOST_LAYERS};
pub use palette::{Colour, bar_colour, linear, run_colour, steel_colour};
pub use picture::{Colouring, Fineness, MOST_PIXELS, Picture, View};
pub use seams::Seams;
pub use survey::{BarsAt, Finding, Limits, Survey};
pub use texture::{Texture, Wrap};
pub use twist::{Hand, Program, Turn};
pub use zone::{Body, Zone};
