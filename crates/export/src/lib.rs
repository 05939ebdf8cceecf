//! Writers: finished models in, bytes out, one module a format.
//!
//! No writer opens a file, decides a dimension, reads a clock or imports another writer. The same input
//! gives the same bytes. All lengths are mm.

mod arcs;
mod dxf;
mod extent;
mod fault;
mod font;
mod glb;
mod gltf;
mod manifest;
mod object;
mod page;
mod paint;
mod part21;
mod pdf;
mod picture;
mod png;
mod raster;
mod single;
mod sound;
mod step;
mod step_body;
mod stl;
mod svg;
mod svg_text;
mod three_mf;

#[cfg(test)]
mod sample;

pub use dxf::dxf;
pub use fault::ExportFault;
pub use glb::{Textured, glb_set, glb_textured};
pub use manifest::{Entry, Facts, Kind, Manifest, Measure};
pub use object::Object;
pub use page::{Page, View};
pub use paint::Paint;
pub use pdf::pdf;
pub use png::{picture_png, png, png_over};
pub use raster::Raster;
pub use step::{StepBody, step};
pub use stl::stl;
pub use svg::svg;
pub use three_mf::{three_mf, three_mf_set};
