//! What is compared, and the thread that compares whenever the measured file is another.

use std::sync::{Arc, OnceLock, PoisonError};

use crate::desk;
use crate::shared::Shared;

/// Compares a measured file with its design.
pub trait Compare: Send + Sync {
    /// What comes of these bytes.
    fn compare(&self, measured: &[u8]) -> Compared;
}

/// A picture that is drawn once it is asked for: words come first.
pub struct Picture {
    draw: Box<dyn Fn() -> Result<Vec<u8>, String> + Send + Sync>,
    drawn: OnceLock<Result<Vec<u8>, String>>,
}

impl Picture {
    /// By what draws it: its PNG, or why there is none.
    pub fn new(draw: impl Fn() -> Result<Vec<u8>, String> + Send + Sync + 'static) -> Picture {
        Picture { draw: Box::new(draw), drawn: OnceLock::new() }
    }

    pub(crate) fn png(&self) -> Result<Vec<u8>, String> {
        self.drawn.get_or_init(|| (self.draw)()).clone()
    }
}

/// What a comparison comes to.
pub enum Compared {
    /// Nothing is measured yet.
    Nothing,
    /// The file has mistakes: each in a line of words.
    Problems(Vec<String>),
    /// The comparison.
    Told {
        /// As the command prints it.
        text: String,
        /// What to take off.
        map: Picture,
    },
}

/// A comparison and the bytes that it is of.
pub(crate) struct Answer {
    /// `None` before the first one, and where the file can't be read.
    pub(crate) of: Option<Vec<u8>>,
    pub(crate) compared: Compared,
}

impl Answer {
    /// Before anything is compared.
    pub(crate) fn none() -> Answer {
        Answer { of: None, compared: Compared::Nothing }
    }
}

/// Compares again and again until the bench is closed.
pub(crate) fn keep_comparing(shared: &Shared, compare: &dyn Compare) {
    while shared.wait_for_work() {
        let found = desk::read(&shared.measured);
        let answered = shared.answer();
        let next = match found {
            Ok(bytes) if answered.of.as_ref() == Some(&bytes) => continue,
            Ok(bytes) => Answer { compared: compare.compare(&bytes), of: Some(bytes) },
            Err(fault) => {
                let words = vec![desk::sentence(&fault.to_string())];
                let told = |said: &Vec<String>| answered.of.is_none() && *said == words;
                if matches!(&answered.compared, Compared::Problems(said) if told(said)) {
                    continue;
                }
                Answer { of: None, compared: Compared::Problems(words) }
            }
        };
        *shared.answer.lock().unwrap_or_else(PoisonError::into_inner) = Arc::new(next);
        shared.changed();
    }
}
