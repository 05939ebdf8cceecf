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
    /// What the smith should think about on the blade that was told last, though it is no fault.
    Warnings(Vec<String>),
    /// A text in the smith's hand has problems.
    Refused { number: u64, problems: Vec<LocatedProblem> },
    /// The smallest change that meets the targets, or why there is none.
    Fitted(Result<Fitted, String>),
    /// What the file holds: it is new, and was not written by us.
    File(String),
    /// The text was written into the file.
    Saved(String),
    /// It was not, and why; without a reason where the file is not what was known of it.
    Unsaved(Option<String>),
    /// The file can't be read: the blade shown stays.
    Unreadable(String),
    /// The measured file tells nothing, and why.
    Unread(String),
    /// The measured file's name, once it is asked for.
    Measuring(String),
    /// The readings that were put into the measured file from here, and why the last change of them was refused, if it was.
    Noted { rows: Vec<String>, refused: Option<String> },
    /// A sound design could not be shown: a fault of ours.
    Fault(String),
}

/// A blade fitted to its targets.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Fitted {
    /// The text that was fitted, and the new one.
    pub(crate) texts: [String; 2],
    /// What was found, in words.
    pub(crate) words: String,
}

impl Fitted {
    /// Whether nothing had to change.
    pub(crate) fn is_as_it_was(&self) -> bool {
        self.texts[0] == self.texts[1]
    }
}

/// How a blade came to be shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Built {
    /// Whether the file was read for it.
    pub(crate) read: bool,
    /// The number of the text in the smith's hand that was read for it.
    pub(crate) number: Option<u64>,
    /// How long it took from the file's bytes or the wish to the surfaces.
    pub(crate) took: Duration,
}
