//! What the window and its pictures show of a blade, and from where, as arguments of the command line: read by the
//! `seaxwright` command, handed on in words, and read again by the viewer.

mod choice;
mod request;

pub use choice::{Colour, From, Mark, StageName};
pub use request::{Look, Picture, Size, View};
