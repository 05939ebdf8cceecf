//! What keeps a sheet from being made.

use export::ExportFault;
use thiserror::Error;

/// What keeps a bench sheet from being made.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum SheetFault {
    /// A picture could not be drawn.
    #[error("a picture of the sheet could not be drawn: {0}")]
    Picture(#[from] ExportFault),
    /// The pages could not be written.
    #[error("the sheet could not be set: {reason}")]
    Pages {
        /// The writer's words.
        reason: String,
    },
}
