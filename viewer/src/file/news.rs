//! What the building thread tells the window.

use std::time::Duration;

use crate::file::problems::LocatedProblem;
use crate::model::shown::{Coated, Shown};

/// What the thread has to tell.
pub(crate) enum News {
    /// A blade to show.
    Shown {
        shown: Box<Shown>,
        /// What can be put on it at once.
        coated: Coated,
        built: Built,
    },
    /// What shall be put on the blade that was told last.
    Coat(Coated),
    /// The design has problems: the blade shown stays.
    Problems(Vec<LocatedProblem>),
    /// The file can't be read: the blade shown stays.
    Unreadable(String),
    /// The measured file tells nothing, and why.
    Unread(String),
    /// A sound design could not be shown: a fault of ours.
    Fault(String),
}

/// How a blade came to be shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Built {
    /// Whether the file was read for it.
    pub(crate) read: bool,
    /// How long it took from the file's bytes or the wish to the surfaces.
    pub(crate) took: Duration,
}
