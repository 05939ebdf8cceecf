//! Numerics: quadrature, root finding, connected components.

pub mod gauss;
pub(crate) mod newton;
pub mod root;
mod union;

pub use union::UnionFind;
