//! Writers: finished models in, bytes out, one module a format.
//!
//! No writer opens a file, decides a dimension, reads a clock or imports another writer. The same input
//! gives the same bytes. All lengths are mm.

mod arcs;
mod dxf;
mod fault;
#[cfg(test)]
mod fixtures;
mod manifest;
mod mesh;
mod page;
mod paint;
mod sound;
mod step;

pub use dxf::dxf;
pub use fault::ExportFault;
pub use manifest::{Entry, Facts, Kind, Manifest, Measure};
pub use mesh::glb::{Textured, glb_set, glb_textured};
pub use mesh::object::Object;
pub use mesh::stl::stl;
pub use mesh::three_mf::{three_mf, three_mf_set};
pub use page::pdf::pdf;
pub use page::picture::{Typeface, vector_picture};
pub use page::png::{picture_png, png, png_over};
pub use page::raster::Raster;
pub use page::svg::{svg, svg_sheet};
pub use page::view::{Page, View};
pub use paint::Paint;
pub use step::file::{StepBody, step};
