//! Why a point can't be unbent.

use thiserror::Error;

/// Why a point can't be unbent.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum Unbendable {
    /// The edge has a corner in its rise.
    #[error("the edge has a corner at station {at:.1} mm: it can't be forged up in one curve")]
    Corner {
        /// Station of the corner, mm.
        at: f64,
    },
    /// The edge curves too tightly for the width of the blade over it.
    #[error(
        "at station {at:.1} mm the edge curves with a radius of {radius:.1} mm and the blade is {width:.1} mm wide: \
         lines square to the edge would cross, so it can't be made from a straight piece without losing steel"
    )]
    TooTight {
        /// Station of the edge, mm.
        at: f64,
        /// Radius of the edge there, mm.
        radius: f64,
        /// Width of the blade square to the edge there, mm.
        width: f64,
    },
    /// Square to the edge there is no back.
    #[error("square to the edge at station {at:.1} mm the blade has no back")]
    NoBack {
        /// Station of the edge, mm.
        at: f64,
    },
}
