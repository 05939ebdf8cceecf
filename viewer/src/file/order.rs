//! What the window asks of the building thread.

use crate::model::shown::Wish;

/// Something to do.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Order {
    /// Show the blade in another way.
    Wish(Wish),
    /// Go by this text from now on, in place of the file; its answer bears its number.
    Text { number: u64, text: String },
    /// Look for the smallest change of the blade shown that meets its targets.
    Fit,
    /// Write this text, where the file still holds what was known of it.
    Save { text: String, over: String },
}
