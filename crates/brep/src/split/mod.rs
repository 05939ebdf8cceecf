//! Splitting: a mesh by planes and seams, an exact boundary by a sheet.

mod brep;
pub mod mesh;
mod on_face;
mod pieces;
mod sheet;

pub use brep::{SplitFault, TrimmedShell};
pub use mesh::Leaf;
pub use sheet::SplitSheet;
