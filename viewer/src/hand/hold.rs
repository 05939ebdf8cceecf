//! A change that is being made: the hand holds something.

/// How a text is changed; `None` where the file has no room for it.
pub(crate) type Change = Box<dyn Fn(&str) -> Option<String>>;

/// What the hand holds.
pub(crate) struct Hold {
    /// What is being done, in words.
    pub(crate) what: String,
    /// The text that is being changed.
    pub(crate) base: String,
    /// The last change asked for.
    pub(crate) change: Option<Change>,
    /// The last change that made a sound design.
    pub(crate) good: Option<String>,
    /// The number of the last text that was sent.
    pub(crate) last: u64,
    /// Whether the hand has let go: the answer to the last text ends it.
    pub(crate) let_go: bool,
}

impl Hold {
    pub(crate) fn new(what: String, base: String) -> Hold {
        Hold { what, base, change: None, good: None, last: 0, let_go: false }
    }

    /// The text as the hand wants it now.
    pub(crate) fn wanted(&self) -> Option<String> {
        self.change.as_ref().and_then(|change| change(&self.base))
    }
}
