//! What the window and its pictures show of a blade, and from where, as arguments of the command line: read by the
//! `seaxwright` command, handed on in words, and read again by the viewer.

mod choice;
mod request;

pub use choice::{Colour, From, Mark, StageName};
pub use request::{Look, Picture, Size, View};

/// What program this is: its version and a mark of the sources that it was built from. `seaxwright` and the window program are
/// one only where both have the same.
pub const BUILD: &str = concat!(env!("CARGO_PKG_VERSION"), " of sources ", env!("SOURCES_MARK"));
