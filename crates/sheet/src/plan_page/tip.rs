//! The tip before it is forged up.

use design::Figures;
use forge::{Plan, TipPreform};
use serde::Serialize;

/// The piece that the tip is forged up from, as figures.
#[derive(Serialize)]
pub(crate) struct Tip {
    /// The blade's station at which it begins.
    start: String,
    /// Length of its straight edge.
    edge: String,
    /// Lengths along the edge and breadths there.
    breadths: Vec<[String; 2]>,
    /// Why there is none.
    why_not: Option<String>,
}

/// The tip of a plan.
pub(crate) fn tip(plan: &Plan, figures: Figures) -> Tip {
    match &plan.tip {
        TipPreform::Straight { start_mm, edge_mm, breadths_mm, .. } => Tip {
            start: figures.length(*start_mm),
            edge: figures.length(*edge_mm),
            breadths: breadths_mm.iter().map(|[s, b]| [figures.station(*s), figures.length(*b)]).collect(),
            why_not: None,
        },
        TipPreform::Impossible { why_not } => Tip {
            start: String::new(),
            edge: String::new(),
            breadths: Vec::new(),
            why_not: Some(why_not.clone()),
        },
    }
}
