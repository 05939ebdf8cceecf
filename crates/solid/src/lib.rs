//! Exact solids: one truck boundary representation from one [`brep::Shell`], its faces built directly.
//!
//! The only package that names truck. It knows no file format and computes no dimension: what stands in
//! the shell is what stands in the solid. All lengths are mm.

mod body;
mod curve;
mod fault;
mod form;
mod surface;

pub use body::{Solid, solid};
pub use fault::SolidFault;
pub use form::{Curve, Edge, Face, Patch, Spline, Surface};

#[cfg(test)]
mod sample;
