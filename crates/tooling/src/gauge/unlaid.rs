//! A gauge as designed, before it is laid on the bed.

use blade::Stage;

use crate::slab::extrusion::Slab;

/// A gauge before it is laid on the bed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Gauge {
    pub(crate) name: String,
    pub(crate) title: String,
    pub(crate) note: String,
    pub(crate) stage: Option<Stage>,
    pub(crate) slab: Slab,
}
