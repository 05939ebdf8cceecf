//! What the smith measures, on its way into the measured file.

use std::collections::BTreeMap;

use blade::Stage;

use crate::file::order::{Noted, Order};

/// What can be typed: the name in the measured file, the word before its field, and whether it is of the station.
pub(crate) const QUANTITIES: [(&str, &str, bool); 5] = [
    ("back", "thickness at the back", true),
    ("thickness", "thickness there", true),
    ("breadth", "breadth", true),
    ("weight", "weight", false),
    ("balance", "balance", false),
];

/// The readings of the day, as they are typed.
#[derive(Debug, Default)]
pub(crate) struct Noting {
    /// Whether readings are being typed.
    pub(crate) on: bool,
    /// The measured file's name.
    pub(crate) file: String,
    pub(crate) day: String,
    /// The stage chosen here, or that none is to be said; nothing chosen as long as the file's last reading tells.
    pub(crate) stage: Option<Option<Stage>>,
    /// The height above the edge at which thickness is read.
    pub(crate) height: String,
    /// Whether what is typed next is sure.
    pub(crate) sure: bool,
    /// What stands in the field of each quantity.
    pub(crate) typed: BTreeMap<&'static str, String>,
    /// The field that was typed in last.
    pub(crate) last: Option<&'static str>,
    /// The field that shall be typed in next.
    pub(crate) type_next: Option<&'static str>,
    /// The rows put in from here.
    pub(crate) rows: Vec<String>,
    /// Why the last one was not.
    pub(crate) refused: Option<String>,
    /// The quantity whose reading is on its way into the file, and what stood in its field.
    sent: Option<(&'static str, String)>,
    orders: Vec<Order>,
}

impl Noting {
    /// Begins or ends.
    pub(crate) fn turn(&mut self, on: bool) {
        self.on = on;
        if on {
            self.orders.push(Order::Measure);
        }
    }

    /// The stage that the file gives a reading of the day typed which names none: rows of a day go on with the stage of the
    /// row above. `last` is the day of the file's last reading and its stage.
    pub(crate) fn carried(&self, last: Option<(&str, Option<Stage>)>) -> Option<Stage> {
        last.filter(|(day, _)| *day == self.day.trim()).and_then(|(_, stage)| stage)
    }

    /// The stage of what is typed next: the one chosen, else that of the file's last reading.
    pub(crate) fn stage_of_next(&self, last: Option<(&str, Option<Stage>)>) -> Option<Stage> {
        match self.stage {
            Some(chosen) => chosen.or(self.carried(last)),
            None => last.and_then(|(_, stage)| stage),
        }
    }

    /// Sends what stands in a field into the file, of a stage where one is to be said, at a station as the file writes it;
    /// nothing where nothing stands there.
    pub(crate) fn note(&mut self, what: &'static str, stage: Option<Stage>, station: &str) {
        let measured = self.typed.get(what).map(|text| text.trim().to_owned()).unwrap_or_default();
        if measured.is_empty() || self.sent.is_some() {
            return;
        }
        // A row without a day would be one of the day before.
        if self.day.trim().is_empty() {
            (self.refused, self.type_next) =
                (Some("give the day first, as 2026-03-14".to_owned()), Some("day"));
            return;
        }
        let height = if what == "thickness" { self.height.clone() } else { String::new() };
        (self.sent, self.last) = (Some((what, measured.clone())), Some(what));
        let noted = Noted {
            day: self.day.clone(),
            stage: stage.map_or("", Stage::name),
            station: station.to_owned(),
            what,
            height,
            measured,
            sure: self.sure,
        };
        self.orders.push(Order::Note(noted));
    }

    /// Takes the last reading back.
    pub(crate) fn take_back(&mut self) {
        if !self.rows.is_empty() && self.sent.is_none() {
            self.orders.push(Order::TakeBack);
        }
    }

    /// What came of it: what was sent stays in its field where it was refused, and what was typed there since in any case.
    pub(crate) fn answered(&mut self, rows: Vec<String>, refused: Option<String>) {
        let sent = self.sent.take().filter(|_| refused.is_none());
        (self.rows, self.refused) = (rows, refused);
        if let Some((what, measured)) = sent {
            self.sure = false;
            if self.typed.get(what).is_some_and(|text| text.trim() == measured) {
                self.typed.remove(what);
            }
        }
    }

    /// What is to be asked of the building thread.
    pub(crate) fn orders(&mut self) -> Vec<Order> {
        std::mem::take(&mut self.orders)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_a_day_nothing_is_written() {
        let mut noting = Noting { on: true, ..Noting::default() };
        noting.typed.insert("back", "5".to_owned());
        noting.note("back", None, "100");
        assert!(noting.orders().is_empty() && noting.refused.is_some());
        assert_eq!(noting.type_next, Some("day"));
    }

    #[test]
    fn a_stage_is_the_one_chosen_or_that_of_the_last_reading() {
        let mut noting = Noting { day: " 2026-05-02 ".to_owned(), ..Noting::default() };
        let (same, other) =
            (Some(("2026-05-02", Some(Stage::Ground))), Some(("2026-05-01", Some(Stage::Forged))));
        let open = Some(("2026-05-02", None));
        let mut of_next = |stage, last| {
            noting.stage = stage;
            noting.stage_of_next(last)
        };
        assert_eq!([None, open].map(|last| of_next(None, last)), [None, None]);
        assert_eq!([same, other].map(|last| of_next(None, last)), [Some(Stage::Ground), Some(Stage::Forged)]);
        let chosen = Some(Some(Stage::Finished));
        assert!([None, open, same, other].iter().all(|last| of_next(chosen, *last) == Some(Stage::Finished)));
        // A row that names none is of the stage above it, as long as the day is the same.
        assert_eq!([same, other].map(|last| of_next(Some(None), last)), [Some(Stage::Ground), None]);
    }

    #[test]
    fn what_is_refused_stays_in_its_field() {
        let mut noting = Noting { day: "2026-05-01".to_owned(), height: "9".to_owned(), ..Noting::default() };
        noting.turn(true);
        noting.note("back", None, "100");
        assert_eq!(noting.orders(), [Order::Measure]);
        for (what, height) in [("back", ""), ("thickness", "9")] {
            noting.typed.insert(what, " 5.2 ".to_owned());
            noting.sure = true;
            noting.note(what, Some(Stage::Ground), "100");
            // One at a time: the second press of a key sends nothing.
            noting.note(what, Some(Stage::Ground), "100");
            let [Order::Note(noted)] = &noting.orders()[..] else { panic!() };
            assert_eq!((noted.row().what, noted.row().measured, noted.row().sure), (what, "5.2", "yes"));
            assert_eq!((noted.row().height, noted.row().stage), (height, "ground"));
            noting.answered(Vec::new(), Some("no".to_owned()));
            assert!(noting.typed.contains_key(what) && noting.refused.is_some());
            noting.note(what, Some(Stage::Ground), "100");
            noting.answered(vec!["a row".to_owned()], None);
            assert!(noting.typed.is_empty() && noting.refused.is_none() && !noting.sure);
            noting.orders();
        }
        // What was typed while the last one was written is not lost.
        noting.typed.insert("back", "5.2".to_owned());
        noting.note("back", None, "100");
        noting.typed.insert("back", "5.1".to_owned());
        noting.orders();
        noting.answered(vec!["a row".to_owned()], None);
        assert_eq!(noting.typed["back"], "5.1");
        noting.take_back();
        assert_eq!(noting.orders(), [Order::TakeBack]);
        noting.answered(Vec::new(), None);
        noting.take_back();
        assert_eq!(noting.orders(), []);
    }
}
