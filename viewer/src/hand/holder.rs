//! The text in the smith's hand: what was done to it, what of it is on the disk, and what others did meanwhile.

use std::collections::BTreeMap;

use edit::{History, Merged};

use crate::file::order::Order;
use crate::hand::hold::{Change, Hold};

/// What is said where the file has no room for a change.
const NO_ROOM: &str = "the file has no room for this here";
/// What is said where a change comes while another is not settled, or the file can't be read.
const WAITS: &str = "the last change, or what another program made of the file, has to be settled first";
/// What a change by others is called among the things that can be undone.
const OUTSIDE: &str = "a change by another program";

/// The hand and its text. Texts are judged by the builder: what it is sent has a number, and its answer comes back with it.
#[derive(Default)]
pub(crate) struct Hand {
    /// Whether handles and fields are shown.
    pub(crate) on: bool,
    /// Whether a change is written only when asked for.
    pub(crate) waits: bool,
    history: History,
    /// The file as it was last seen on the disk; none before it was read.
    disk: Option<String>,
    /// The last text that made a blade: the one that is shown.
    shown: String,
    hold: Option<Hold>,
    /// Texts sent and not answered yet.
    sent: BTreeMap<u64, String>,
    number: u64,
    /// Whether the text shall be written as soon as it is known to be sound.
    wants_save: bool,
    saving: bool,
    /// Whether the file on the disk can't be read as TOML at the moment; `disk` is what it was before.
    is_broken: bool,
    orders: Vec<Order>,
    /// Why the hand was stopped, in the words of the rule.
    pub(crate) refused: Option<String>,
    /// What both sides changed, until the smith has chosen.
    pub(crate) clash: Option<Merged>,
}

impl Hand {
    /// What the builder shall do now.
    pub(crate) fn orders(&mut self) -> Vec<Order> {
        std::mem::take(&mut self.orders)
    }

    /// Whether there is something that is not on the disk.
    pub(crate) fn is_unsaved(&self) -> bool {
        self.disk.as_deref().is_some_and(|disk| disk != self.history.text())
    }

    /// Whether the hand is free and the blade shown is the one of the text: only then can it be pulled.
    pub(crate) fn can_pull(&self) -> bool {
        let is_free = self.disk.is_some() && self.clash.is_none() && !self.is_broken && self.hold.is_none();
        self.on && is_free && self.shown == self.history.text()
    }

    /// What the hand is doing.
    pub(crate) fn doing(&self) -> Option<&str> {
        self.hold.as_ref().filter(|hold| !hold.let_go).map(|hold| hold.what.as_str())
    }

    /// What would be undone and done again.
    pub(crate) fn steps(&self) -> [Option<&str>; 2] {
        [self.history.last(), self.history.next()].map(|change| change.map(|c| c.what.as_str()))
    }

    /// Takes hold of something.
    pub(crate) fn take(&mut self, what: &str) {
        if self.can_pull() {
            self.refused = None;
            self.hold = Some(Hold::new(what.to_owned(), self.history.text().to_owned()));
        }
    }

    /// Moves what it holds: the change is made to the text as it was when the hand took hold.
    pub(crate) fn pull(&mut self, change: Change) {
        let Some(hold) = self.hold.as_mut().filter(|hold| !hold.let_go) else { return };
        hold.change = Some(change);
        self.send_held();
    }

    /// Lets go: what made a blade last stands.
    pub(crate) fn let_go(&mut self) {
        let Some(hold) = &mut self.hold else { return };
        hold.let_go = true;
        let last = hold.last;
        if !self.sent.contains_key(&last) {
            self.end();
        }
    }

    /// Lets go of everything: the text stays as it was.
    pub(crate) fn drop_it(&mut self) {
        if self.hold.take().is_some() {
            self.send(self.history.text().to_owned());
        }
        self.refused = None;
    }

    /// A change all at once, as one that was typed.
    pub(crate) fn change(&mut self, what: &str, change: Change) {
        if !self.can_pull() {
            self.refused = Some(WAITS.to_owned());
            return;
        }
        self.take(what);
        self.pull(change);
        self.let_go();
    }

    /// Takes back the last change, or does it again.
    pub(crate) fn step(&mut self, back: bool) {
        if self.hold.is_some() || self.clash.is_some() {
            return;
        }
        self.refused = None;
        if if back { self.history.undo() } else { self.history.redo() } {
            self.wants_save |= !self.waits;
            self.send(self.history.text().to_owned());
        }
    }

    /// Asks for the smallest change that meets the targets.
    pub(crate) fn fit(&mut self) {
        if self.can_pull() {
            self.orders.push(Order::Fit);
        }
    }

    /// Asks for the text to be written.
    pub(crate) fn save(&mut self) {
        self.wants_save = true;
        self.save_if_sound();
    }

    /// Sends the text as what is held wants it.
    fn send_held(&mut self) {
        let Some(wanted) = self.hold.as_ref().map(Hold::wanted) else { return };
        match wanted {
            Some(text) => {
                let number = self.send(text);
                if let Some(hold) = &mut self.hold {
                    hold.last = number;
                }
            }
            None => self.refused = Some(NO_ROOM.to_owned()),
        }
    }

    fn send(&mut self, text: String) -> u64 {
        self.number += 1;
        self.orders.push(Order::Text { number: self.number, text: text.clone() });
        self.sent.insert(self.number, text);
        self.number
    }

    /// The builder's answer to a text: it is shown, or why it is no blade. Whether the answer was the hand's own, so that nobody
    /// else need hear of it. Older texts are not answered any more.
    pub(crate) fn answered(&mut self, number: u64, refused: Option<String>) -> bool {
        let later = self.sent.split_off(&(number + 1));
        let Some(text) = std::mem::replace(&mut self.sent, later).remove(&number) else { return false };
        let is_refused = refused.is_some();
        if !is_refused {
            self.shown.clone_from(&text);
        }
        let Some(hold) = &mut self.hold else {
            self.save_if_sound();
            return false;
        };
        if !is_refused {
            hold.good = Some(text);
        }
        let ends = hold.let_go && number >= hold.last;
        self.refused = refused;
        if ends {
            self.end();
        }
        true
    }

    /// The hand has let go and its last text is answered.
    fn end(&mut self) {
        let Some(hold) = self.hold.take() else { return };
        if let Some(good) = hold.good {
            self.history.change(good, &hold.what);
            self.wants_save |= !self.waits;
        }
        if self.shown != self.history.text() {
            self.send(self.history.text().to_owned());
        }
        self.save_if_sound();
    }

    /// Writes the text where that is wanted, and it is known to be a blade.
    fn save_if_sound(&mut self) {
        let is_sound = self.shown == self.history.text() && self.hold.is_none() && self.clash.is_none();
        if !self.wants_save || self.saving || self.is_broken || !is_sound {
            return;
        }
        if let Some(over) = self.disk.clone().filter(|disk| disk != self.history.text()) {
            self.saving = true;
            self.orders.push(Order::Save { text: self.history.text().to_owned(), over });
        }
        self.wants_save = false;
    }

    /// The text was written.
    pub(crate) fn saved(&mut self, text: String) {
        self.saving = false;
        self.disk = Some(text);
        self.save_if_sound();
    }

    /// The text was not written. Where the file is only another one than was known, that will be told, and then it is tried again.
    pub(crate) fn unsaved(&mut self, again: bool) {
        self.saving = false;
        self.wants_save = again;
    }

    /// The blade of the file itself is shown.
    pub(crate) fn shows_file(&mut self) {
        if let Some(disk) = self.disk.clone().filter(|_| self.number == 0) {
            self.shown = disk;
        }
    }

    /// The file on the disk holds this. What both sides changed in different places stands side by side; of what is no TOML
    /// nothing can be taken over: the text stays as it is, and is not written over it.
    pub(crate) fn file_is(&mut self, file: String) {
        let Some(disk) = self.disk.clone().filter(|_| self.number > 0) else {
            // The builder goes by the file until the hand first changes something.
            (self.history, self.disk) = (History::new(file.clone()), Some(file));
            return;
        };
        let merged = edit::merge(&disk, self.history.text(), &file);
        self.is_broken = merged.is_none();
        let Some(merged) = merged.filter(|_| disk != file) else { return };
        let differs = merged.text != file;
        self.disk = Some(file);
        if merged.clashes.is_empty() {
            self.wants_save |= differs && !self.waits;
            self.take_over(merged.text);
        } else {
            self.clash = Some(merged);
        }
    }

    /// Goes on from another text; what the hand holds is held on it.
    fn take_over(&mut self, text: String) {
        self.history.change(text.clone(), OUTSIDE);
        match &mut self.hold {
            Some(hold) => {
                (hold.base, hold.good) = (text, None);
                self.send_held();
            }
            None => {
                self.send(text);
            }
        }
    }

    /// The smith's choice where both sides changed the same.
    pub(crate) fn choose(&mut self, ours: bool) {
        let Some(merged) = self.clash.take() else { return };
        let text = if ours { merged.ours } else { merged.text };
        self.wants_save |= !self.waits;
        self.history.change(text.clone(), OUTSIDE);
        self.hold = None;
        self.send(text);
    }
}

#[cfg(test)]
#[path = "holder_tests.rs"]
mod tests;
