//! The smith's hand on the design: what it changes goes into the file's text, is judged as any file, and is written when it is
//! sound. It knows nothing of the screen.

pub(crate) mod before;
mod hold;
mod holder;
mod noting;

pub(crate) use holder::Hand;
pub(crate) use noting::{Noting, QUANTITIES};
