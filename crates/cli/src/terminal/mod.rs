//! What the smith reads on the terminal: words, progress, diagnostics, errors.

pub(crate) mod diagnostics;
pub(crate) mod error;
pub(crate) mod excerpt;
pub(crate) mod lines;
pub(crate) mod output;
pub(crate) mod progress;
pub(crate) mod shown;
pub(crate) mod source;
pub(crate) mod usage;
