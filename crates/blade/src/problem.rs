//! Every rule a blade can break, in one list.

use thiserror::Error;

/// One broken rule and the field that breaks it.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The field, as the design file spells it: `taper[2].back`, `outline.back[1]`, `tang.hole[0]`.
    pub field: String,
    /// What is wrong.
    pub fault: Fault,
}

/// The rules. Each message says what is wrong; [`Fault::help`] says what would be accepted.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum Fault {
    /// A length outside what the tool accepts.
    #[error("{value} mm is out of range")]
    Range {
        /// The value found, mm.
        value: f64,
        /// Smallest accepted, mm.
        low: f64,
        /// Largest accepted, mm.
        high: f64,
    },
}

impl Fault {
    /// What would be accepted instead.
    pub fn help(&self) -> String {
        match self {
            Fault::Range { low, high, .. } => format!("give a value from {low} mm to {high} mm"),
        }
    }
}
