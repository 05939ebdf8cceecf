//! Undo and redo of a text.

/// Most changes that can be undone: a day's work at one a second, in a few hundred bytes each.
const MOST: usize = 30_000;

/// A change of a text: what stood in its place, what stands there now, and what was done, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    at: usize,
    before: String,
    after: String,
    /// What was done, for a list or a button.
    pub what: String,
}

impl Change {
    /// The change between two texts, as short as it can be told: what both begin and end with stands.
    fn between(old: &str, new: &str, what: &str) -> Change {
        let same = |a: &mut dyn Iterator<Item = (char, char)>| {
            a.take_while(|(x, y)| x == y).map(|(x, _)| x.len_utf8()).sum::<usize>()
        };
        let head = same(&mut old.chars().zip(new.chars()));
        let tail = same(&mut old[head..].chars().rev().zip(new[head..].chars().rev()));
        Change {
            at: head,
            before: old[head..old.len() - tail].to_owned(),
            after: new[head..new.len() - tail].to_owned(),
            what: what.to_owned(),
        }
    }

    fn undone(&self, text: &str) -> String {
        [&text[..self.at], &self.before, &text[self.at + self.after.len()..]].concat()
    }

    fn done(&self, text: &str) -> String {
        [&text[..self.at], &self.after, &text[self.at + self.before.len()..]].concat()
    }
}

/// A text and the way it came to be.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct History {
    text: String,
    done: Vec<Change>,
    undone: Vec<Change>,
}

impl History {
    /// Begins with a text.
    pub fn new(text: String) -> History {
        History { text, done: Vec::new(), undone: Vec::new() }
    }

    /// The text as it stands.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Takes another text in its place. What was undone before can't be done again; the same text is no change.
    pub fn change(&mut self, text: String, what: &str) {
        if text == self.text {
            return;
        }
        self.done.push(Change::between(&self.text, &text, what));
        self.undone.clear();
        self.text = text;
        if self.done.len() > MOST {
            self.done.remove(0);
        }
    }

    /// The change that would be undone.
    pub fn last(&self) -> Option<&Change> {
        self.done.last()
    }

    /// The change that would be done again.
    pub fn next(&self) -> Option<&Change> {
        self.undone.last()
    }

    /// The text as it was before the last change; whether there was one.
    pub fn undo(&mut self) -> bool {
        let Some(change) = self.done.pop() else { return false };
        self.text = change.undone(&self.text);
        self.undone.push(change);
        true
    }

    /// Does again what was undone last; whether there was anything.
    pub fn redo(&mut self) -> bool {
        let Some(change) = self.undone.pop() else { return false };
        self.text = change.done(&self.text);
        self.done.push(change);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_that_was_done_is_undone_and_done_again_byte_for_byte() {
        let texts =
            ["a\r\nb", "a\r\nbb", "", "größe = 1", "große = 1", "x\u{301}y", "xy", "aaaa", "aa", "aaa"];
        let mut history = History::new(texts[0].to_owned());
        for text in &texts[1..] {
            history.change((*text).to_owned(), text);
            history.change((*text).to_owned(), "nothing");
        }
        for text in texts[..texts.len() - 1].iter().rev() {
            assert!(history.undo());
            assert_eq!(history.text(), *text);
        }
        assert!(!history.undo() && history.last().is_none());
        for text in &texts[1..] {
            assert_eq!(history.next().map(|c| c.what.as_str()), Some(*text));
            assert!(history.redo());
            assert_eq!(history.text(), *text);
        }
        assert!(!history.redo());
        assert!(history.undo());
        history.change("other".to_owned(), "other");
        assert!(!history.redo());
    }
}
