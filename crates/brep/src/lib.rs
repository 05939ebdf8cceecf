//! Boundary representation: plane paths and splines, shells, closed triangle meshes, splitting of both, and moments.
//! It knows no blade: lengths are in mm, and that is all it shares with one.

pub mod curve;
mod mesh;
mod moments;
pub mod numeric;
mod shell;
pub mod split;
mod strip;
mod tessellate;
pub mod triangulate;

pub use curve::{Arc, KnotPlace, Monotone, Path, Piece, Spline, Spline3, Spline4};
pub use mesh::{MOST_TRIANGLES, Mesh, MeshFault};
pub use moments::Moments;
pub use shell::{Curve, Edge, EdgeUse, Face, Shell, Surface};
pub use split::{Leaf, SplitFault, SplitSheet, TrimmedShell};
pub use strip::{Across, station_on};
