//! The disk: files read no further than they may reach, written whole or not at all, and output folders replaced as a
//! whole. It does not know what is in them.

mod fault;
mod file;
mod folder;
mod names;
mod platform;
mod scratch;
mod several;
mod temporary;

pub use fault::{FileFault, unread, unwritten};
pub use file::{read_at_most, write_beside, write_known, write_new, write_over};
pub use folder::{Manifest, Named, Outlet, OutputFolder};
pub use names::unfit;
