//! What sheet and pages tell of a design, computed once for all of them.

use design::{Design, Summary};

/// A design's plan and summary.
pub(crate) struct Told {
    /// The forging plan, where the design's steel is told.
    pub(crate) plan: Option<forge::Plan>,
    /// Sizes and weights.
    pub(crate) summary: Summary,
}

impl Told {
    /// Of a design.
    pub(crate) fn of(design: &Design) -> Told {
        Told { plan: forge::Plan::of(design), summary: Summary::from_design(design) }
    }
}
