//! The window and pictures without one: both draw the same desk.

pub(crate) mod early;
pub(crate) mod kit;
pub(crate) mod offscreen;
pub(crate) mod stillness;
pub(crate) mod trace;
pub(crate) mod window;
