//! What keeps a shell from being a solid.

use thiserror::Error;

/// What keeps a [`brep::Shell`] from being a [`crate::Solid`].
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum SolidFault {
    /// An edge names a vertex that is not there.
    #[error("edge {edge} names vertex {vertex}, which is not there")]
    NoVertex {
        /// Index of the edge.
        edge: usize,
        /// The index it names.
        vertex: usize,
    },
    /// A face names an edge that is not there.
    #[error("face `{face}` names edge {edge}, which is not there")]
    NoEdge {
        /// Name of the face.
        face: String,
        /// The index it names.
        edge: usize,
    },
    /// A coordinate, knot or weight is NaN or infinite.
    #[error("{place} is not a finite number")]
    NotFinite {
        /// Where it stands, for example `vertex 3`.
        place: String,
    },
    /// A weight is not above zero.
    #[error("a weight of {place} is not above zero")]
    Weight {
        /// Where it stands.
        place: String,
    },
    /// A curve does not begin and end in its edge's vertices.
    #[error("edge {edge} ends {gap} mm away from its vertex")]
    LooseEnd {
        /// Index of the edge.
        edge: usize,
        /// Largest distance between a curve's end and its vertex, mm.
        gap: f64,
    },
    /// A face's corner does not lie on its plane or cylinder.
    #[error("a corner of face `{face}` lies {gap} mm off its surface")]
    OffSurface {
        /// Name of the face.
        face: String,
        /// Distance, mm.
        gap: f64,
    },
    /// The rails of one strip have different knots.
    #[error("the rails of face `{face}` have different knots")]
    Rails {
        /// Name of the face.
        face: String,
    },
    /// A curve, surface or loop that the kernel refuses.
    #[error("{place}: {reason}")]
    Refused {
        /// What was refused, for example `face flank right`.
        place: String,
        /// The kernel's words.
        reason: String,
    },
    /// The faces do not close: an edge is not used exactly once in each direction, or the boundary falls apart.
    #[error("the faces do not bound a solid: {reason}")]
    Open {
        /// The kernel's words.
        reason: String,
    },
}

impl SolidFault {
    /// The kernel's refusal of what stands at `place`.
    pub(crate) fn refused(place: impl Into<String>, reason: impl std::fmt::Display) -> Self {
        SolidFault::Refused { place: place.into(), reason: reason.to_string() }
    }
}
