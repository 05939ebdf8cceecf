//! What the window shows and how long its frames take, a JSON object a line: for those who test it, and for those who
//! want to know why it is slow.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;
use std::time::Duration;

use serde_json::{Value, json};

use crate::fault::Fault;
use crate::file::news::Built;

/// The trace's file; none unless it is asked for.
pub(crate) struct Trace {
    out: Option<BufWriter<File>>,
    /// The last state written.
    state: Value,
    /// Whether the window was last said to rest.
    rests: bool,
}

impl Trace {
    /// # Errors
    /// [`Fault::Write`] when the file can't be opened.
    pub(crate) fn open(path: Option<&Path>) -> Result<Trace, Fault> {
        let open = |path: &Path| {
            let file = File::options().create(true).append(true).open(path);
            file.map(BufWriter::new).map_err(|why| Fault::Write { path: path.to_owned(), why })
        };
        Ok(Trace { out: path.map(open).transpose()?, state: Value::Null, rests: false })
    }

    /// Whether anybody listens.
    pub(crate) fn is_on(&self) -> bool {
        self.out.is_some()
    }

    /// A frame: our own work on it, and all of it with the card's.
    pub(crate) fn frame(&mut self, work: Duration, whole: Duration) {
        self.line(&json!({ "frame": { "work_ms": milliseconds(work), "whole_ms": milliseconds(whole) } }));
    }

    /// A blade that was built.
    pub(crate) fn built(&mut self, built: Built) {
        self.line(&json!({ "built": { "read": built.read, "took_ms": milliseconds(built.took) } }));
    }

    /// A change by the hand that has come to be seen: how long after the mouse or the key was heard, what of that the blade's
    /// making took, and what the card's drawing of it.
    pub(crate) fn followed(&mut self, whole: Duration, built: Duration, drawn: Duration) {
        let [whole, built, drawn] = [whole, built, drawn].map(milliseconds);
        self.line(&json!({ "followed": { "whole_ms": whole, "built_ms": built, "drawn_ms": drawn } }));
    }

    /// What is shown, when it is something else than before.
    pub(crate) fn state(&mut self, state: Value) {
        if state != self.state {
            self.line(&json!({ "state": &state }));
            self.state = state;
        }
    }

    /// Whether the window rests: nothing is drawn and nothing built.
    pub(crate) fn rests(&mut self, rests: bool) {
        if rests != self.rests {
            self.line(&json!({ "rests": rests }));
            self.rests = rests;
        }
    }

    fn line(&mut self, line: &Value) {
        // A trace that can't be written any more must not stop the smith.
        let done = self.out.as_mut().map(|out| writeln!(out, "{line}").and_then(|()| out.flush()));
        if matches!(done, Some(Err(_))) {
            self.out = None;
        }
    }
}

fn milliseconds(time: Duration) -> f64 {
    // To a microsecond.
    (time.as_secs_f64() * 1e6).round() * 1e-3
}
