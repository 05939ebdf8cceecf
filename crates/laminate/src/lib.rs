//! The billet on the blade: steels, layer sets, bars and their twist, and what of them lies where.
//!
//! Pure computation in millimetres and radians on the forged stage's [`blade::Sections`]. It opens no file, knows no
//! printer and reads no clock.

mod billet;
#[cfg(test)]
mod fixtures;
mod flank_point;
mod map;
mod pattern;
mod picture;
#[cfg(test)]
mod plug_tests;
#[cfg(test)]
mod slant_tests;
mod slip;
mod survey;

pub use billet::bar::{Bar, Direction, SquarePoint, Squaring};
pub use billet::height::Height;
pub use billet::layers::{Layer, LayerSet, MOST_LAYERS};
pub use billet::pitch::Pitch;
pub use billet::pitched::Pitched;
pub use billet::plug::Plug;
pub use billet::recipe::{Billet, BilletFault, LayerPlace, Recipe, StackPoint, Tip};
pub use billet::share::{Cell, Share, Skins, parted};
pub use billet::standing::Standing;
pub use billet::teeth::{Serration, Teeth};
pub use billet::twist::{Asked, Hand, Place, Program, Turn, Winding};
pub use flank_point::{FlankPoint, OffBlade};
pub use map::even_pitch::Hardest;
pub use map::material::{MaterialMap, Plane};
pub use map::plugged::Spot;
pub use map::seams::Seams;
pub use map::zone::{Body, Zone};
pub use pattern::{Cuts, Meeting, Pattern, Run};
pub use picture::curve::Curve;
pub use picture::frame::{Colouring, Etched, Fineness, MOST_PIXELS, View};
pub use picture::palette::{Colour, bar_colour, etched_grey, linear, plug_colour, run_colour, steel_colour};
pub use picture::raster::Picture;
pub use picture::texture::{Texture, Wrap};
pub use slip::{Drift, Slip, Slipped};
pub use survey::{BarsAt, Finding, Limits, Survey};
