//! The broken rules found so far.

use crate::rules::{Fault, Field, Problem};

/// Broken rules, in the order in which they were found.
#[derive(Default)]
pub(super) struct Violations(Vec<Problem>);

impl Violations {
    pub(super) fn add(&mut self, field: Field, fault: Fault) {
        self.0.push(Problem { field, fault });
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Nothing, or all that was found.
    pub(super) fn into_result(self) -> Result<(), Vec<Problem>> {
        if self.0.is_empty() { Ok(()) } else { Err(self.0) }
    }
}
