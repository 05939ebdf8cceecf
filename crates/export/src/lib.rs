//! Writers: finished models in, bytes out, one module a format.
//!
//! No writer opens a file, decides a dimension, reads a clock or imports another writer. The same input
//! gives the same bytes. All lengths are mm.

mod fault;
mod glb;
mod manifest;
mod palette;
mod part21;
mod single;
mod step;
mod step_body;
mod stl;
mod three_mf;

#[cfg(test)]
mod sample;

pub use fault::ExportFault;
pub use glb::glb;
pub use manifest::{Entry, Facts, Kind, Manifest, Measure};
pub use step::{StepBody, step};
pub use stl::stl;
pub use three_mf::{Object, three_mf, three_mf_set};
