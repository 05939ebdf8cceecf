//! What the window asks of the building thread.

use measured::NewRow;

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
    /// Look at the measured file beside the design, where none was named.
    Measure,
    /// Put a reading into the measured file.
    Note(Noted),
    /// Take the last reading that was put in out of it again.
    TakeBack,
    /// Write this text, where the file still holds what was known of it.
    Save { text: String, over: String },
}

/// A reading as the smith writes it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Noted {
    /// The day, as 2026-03-14.
    pub(crate) day: String,
    /// The stage, by its name; empty where it is not said.
    pub(crate) stage: &'static str,
    /// Distance from the shoulder; empty for what is of the whole blade.
    pub(crate) station: String,
    /// What was measured, by its name in the measured file.
    pub(crate) what: &'static str,
    /// Height above the edge.
    pub(crate) height: String,
    /// The value.
    pub(crate) measured: String,
    /// Whether it is sure.
    pub(crate) sure: bool,
}

impl Noted {
    /// It as a row of the measured file.
    pub(crate) fn row(&self) -> NewRow<'_> {
        let [date, station, height, measured] =
            [&self.day, &self.station, &self.height, &self.measured].map(|cell| cell.trim());
        let sure = if self.sure { "yes" } else { "" };
        NewRow {
            date,
            stage: self.stage,
            station,
            what: self.what,
            height,
            measured,
            sure,
            ..NewRow::default()
        }
    }
}
