//! Splitting closed meshes: across at a station, and along seams into zones.

mod cuts;
mod edges;
mod rings;
mod stations;
mod zones;

pub use stations::NEAR;
pub use zones::{Leaf, SNAP};
