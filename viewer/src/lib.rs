//! The window that shows a blade, and pictures of it without a window. It computes nothing itself: what is shown comes
//! from the other packages, and is turned here into triangles, lines and words on a screen.

mod bench_strip;
mod builder;
mod camera;
mod controls;
mod fault;
mod figures;
mod frame;
mod grinding;
mod legend;
mod marks;
mod offscreen;
mod pieces;
mod problems;
mod readings;
mod save;
mod scale;
mod scene;
mod section;
mod settings;
mod shown;
mod source;
mod style;
mod surface;
mod taper;
mod trace;
mod window;

pub use fault::Fault;
pub use offscreen::picture;
pub use shown::Shown;
pub use window::view;
