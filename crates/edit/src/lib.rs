//! A design file under the hand: values put into its text with everything else as it was, what can be taken hold of on the
//! blade, undo and redo, and two people's changes brought together.
//!
//! The text is the truth. Every change is a change of its bytes; comments, order and line ends stay, and whoever reads the
//! file next reads it as any other design. Nothing here judges a blade: [`design::read`] does.

mod begin;
mod choices;
mod fields;
mod handles;
mod history;
mod merge;
mod offers;
mod place;
mod stack;
mod stretches;
mod tables;
mod values;
mod written;

pub use begin::{FORMS, begin};
pub use choices::{Choice, choose};
pub use fields::{BILLET, Block, Row, blocks};
pub use handles::{Handle, Kind, Pull, handles};
pub use history::{Change, History};
pub use merge::{Clash, Merged, merge};
pub use stack::{twisted, weld};
pub use stretches::interrupt;
pub use tables::{insert, remove, swap};
pub use values::{put, put_length, put_share, raw, unset};
