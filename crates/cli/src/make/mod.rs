//! What a design's files are made of: the pipeline and one module for each sort of file.

mod bars;
mod bench_sheet;
mod body;
mod layers;
pub(crate) mod made;
pub(crate) mod metal;
pub(crate) mod needed;
mod pages;
mod paper;
mod parts;
pub(crate) mod pipeline;
pub(crate) mod side_by_side;
mod told;
