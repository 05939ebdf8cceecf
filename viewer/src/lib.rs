//! The window that shows a blade, and pictures of it without a window. It computes nothing itself: what is shown comes
//! from the other packages, and is turned here into triangles, lines and words on a screen.

mod desk;
mod draw;
mod fault;
mod figures;
mod file;
mod hand;
mod model;
mod screen;

pub use fault::Fault;
pub use model::shown::Shown;
pub use screen::offscreen::picture;
pub use screen::window::view;
