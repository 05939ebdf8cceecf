//! What keeps a finished model from being written.

use thiserror::Error;

/// What keeps a finished model from being written in a format.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum ExportFault {
    /// A number of the model is NaN or infinite.
    #[error("{place} is not a finite number")]
    NotFinite {
        /// Where it stands, for example `vertex 3`.
        place: String,
    },
    /// Nothing to write: no bodies, no triangles.
    #[error("there is nothing to write")]
    Empty,
    /// Two vertices of a mesh fall together in the format's numbers.
    #[error("vertices {one} and {other} are the same point in the file's numbers")]
    Collapsed {
        /// Index of the first vertex.
        one: usize,
        /// Index of the second.
        other: usize,
    },
    /// A facet has no area in the format's numbers.
    #[error("triangle {triangle} has no area in the file's numbers")]
    Degenerate {
        /// Index of the triangle.
        triangle: usize,
    },
    /// A triangle names a vertex that is not there.
    #[error("triangle {triangle} names vertex {vertex}, which is not there")]
    NoVertex {
        /// Index of the triangle.
        triangle: usize,
        /// The index it names.
        vertex: u32,
    },
    /// The model is larger than the format can hold.
    #[error("{count} {what} are more than the format holds")]
    TooMany {
        /// What there is too much of.
        what: &'static str,
        /// How many there are.
        count: usize,
    },
    /// A page or picture has no size.
    #[error("a page of {width} mm by {height} mm cannot be written")]
    Size {
        /// Width, mm.
        width: f64,
        /// Height, mm.
        height: f64,
    },
    /// A name holds a character that the format cannot.
    #[error("the name {name:?} holds a character that the file cannot")]
    Name {
        /// The name.
        name: String,
    },
    /// A share of a colour lies outside 0 … 1.
    #[error("the colour of {name:?} is not between 0 and 1")]
    Colour {
        /// The paint's name.
        name: String,
    },
    /// A picture has no dots, more than 32 bits count, or not three bytes for each.
    #[error("{bytes} bytes are not a picture of {width} by {height} dots")]
    Raster {
        /// Dots across.
        width: usize,
        /// Dots from top to bottom.
        height: usize,
        /// Bytes that were given.
        bytes: usize,
    },
    /// A picture cannot be printed so finely or so coarsely.
    #[error("a picture of {dots} dots to the metre cannot be written")]
    Density {
        /// Dots to the metre.
        dots: u32,
    },
    /// Vertices and their places in the picture differ in number.
    #[error("{vertices} vertices have {places} places in the picture")]
    Places {
        /// How many vertices there are.
        vertices: usize,
        /// How many places there are.
        places: usize,
    },
    /// The packer or text writer underneath failed.
    #[error("the writer failed: {reason}")]
    Writer {
        /// Its words.
        reason: String,
    },
}

impl ExportFault {
    /// A failure of the packer or text writer underneath.
    pub(crate) fn writer(reason: impl std::fmt::Display) -> Self {
        ExportFault::Writer { reason: reason.to_string() }
    }
}
