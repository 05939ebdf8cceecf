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
    /// The figures could not be handed over.
    #[error("the sheet's figures could not be written: {reason}")]
    Figures {
        /// The writer's words.
        reason: String,
    },
    /// The pages could not be set.
    #[error("the sheet could not be set: {reason}")]
    Pages {
        /// The setter's words.
        reason: String,
    },
}
