//! The log beside the measured file: one line of JSON for each thing that was done, under a line that says what it is.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use files::FileFault;
use serde::{Deserialize, Serialize};

use crate::fault::BenchFault;
use crate::sent::Cells;

/// The first line.
const HEAD: &str = "{\"log\":\"seaxwright bench\",\"version\":1}";
/// Most bytes: a hundred for each of forty thousand entries, more than a blade gets, and still read at once.
const MOST: usize = 1 << 22;

/// Something done.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
pub(crate) struct Entry {
    /// Made by the phone, for this alone.
    pub(crate) id: String,
    /// The phone's day and time.
    pub(crate) at: String,
    #[serde(flatten)]
    pub(crate) did: Did,
}

/// What was done.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(tag = "did", rename_all = "lowercase")]
pub(crate) enum Did {
    /// Readings taken.
    Read {
        cells: Vec<Cells>,
        /// Their rows in the measured file.
        rows: Vec<String>,
        /// How often the last of them stands in the file with it.
        count: usize,
    },
    /// A reading taken back.
    Undo {
        /// Its id.
        of: String,
        /// Its last row.
        row: String,
        /// How often that stands in the file without it.
        count: usize,
    },
    /// A step ticked, or its tick taken away.
    Tick { step: String, done: bool },
}

/// All that was done, in its order, as it stands on the disk.
#[derive(Debug)]
pub(crate) struct Log {
    path: PathBuf,
    /// What the file holds; nothing where it is not there yet.
    text: Option<String>,
    entries: Vec<Entry>,
    /// Where each id's entry is.
    places: BTreeMap<String, usize>,
}

impl Log {
    /// Of a measured file: beside it, with its own ending.
    pub(crate) fn path(measured: &Path) -> PathBuf {
        let path = measured.with_extension("log");
        if path == measured { measured.with_extension("bench.log") } else { path }
    }

    /// Reads it; an empty one where none is yet.
    pub(crate) fn read(path: PathBuf) -> Result<Log, BenchFault> {
        let text = match files::read_at_most(&path, MOST as u64 + 1) {
            Ok(bytes) => Some(String::from_utf8(bytes).map_err(|_| foreign(&path, None))?),
            Err(why) if why.kind() == ErrorKind::NotFound => None,
            Err(why) => return Err(FileFault::Read { path, why }.into()),
        };
        let mut log = Log { path, text: None, entries: Vec::new(), places: BTreeMap::new() };
        let mut lines = text.as_deref().unwrap_or(HEAD).lines();
        if lines.next() != Some(HEAD) {
            return Err(foreign(&log.path, None));
        }
        for (i, line) in lines.enumerate().filter(|(_, line)| !line.trim().is_empty()) {
            let entry = serde_json::from_str(line).map_err(|_| foreign(&log.path, Some(i + 2)))?;
            log.take(entry);
        }
        log.text = text;
        Ok(log)
    }

    fn take(&mut self, entry: Entry) {
        self.places.insert(entry.id.clone(), self.entries.len());
        self.entries.push(entry);
    }

    /// All entries, the first one first.
    pub(crate) fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// What has this id.
    pub(crate) fn find(&self, id: &str) -> Option<&Entry> {
        self.entries.get(*self.places.get(id)?)
    }

    /// Whether this reading was taken back.
    pub(crate) fn is_undone(&self, id: &str) -> bool {
        self.entries.iter().any(|entry| matches!(&entry.did, Did::Undo { of, .. } if of == id))
    }

    /// Reads it again where another program wrote it.
    pub(crate) fn refresh(&mut self) -> Result<(), BenchFault> {
        let found = files::read_at_most(&self.path, MOST as u64 + 1).ok();
        if found.as_deref() != self.text.as_deref().map(str::as_bytes) {
            *self = Log::read(self.path.clone())?;
        }
        Ok(())
    }

    /// Puts an entry on the disk; whether that came off: not where another program wrote the file meanwhile.
    pub(crate) fn add(&mut self, entry: Entry) -> Result<bool, FileFault> {
        let line = serde_json::to_string(&entry).map_err(|why| self.unwritten(why.into()))?;
        let before = self.text.as_deref().map_or_else(|| format!("{HEAD}\n"), ended);
        let text = format!("{before}{line}\n");
        if text.len() > MOST {
            return Err(self.unwritten(std::io::Error::other("it is full: move it away to begin a new one")));
        }
        let written = self.put(text)?;
        if written {
            self.take(entry);
        }
        Ok(written)
    }

    /// Takes an entry away again, if it still is the last one.
    pub(crate) fn forget(&mut self, id: &str) -> Result<(), BenchFault> {
        while self.entries.last().is_some_and(|last| last.id == id) {
            let text = self.text.as_deref().unwrap_or_default().trim_end();
            let kept = text.rsplit_once('\n').map_or(HEAD, |(kept, _)| kept);
            if self.put(format!("{kept}\n"))? {
                self.places.remove(id);
                self.entries.pop();
                return Ok(());
            }
            self.refresh()?;
        }
        Ok(())
    }

    fn put(&mut self, text: String) -> Result<bool, FileFault> {
        let known = self.text.as_deref().map(str::as_bytes);
        let written = files::write_known(&self.path, text.as_bytes(), known)?;
        if written {
            self.text = Some(text);
        }
        Ok(written)
    }

    fn unwritten(&self, why: std::io::Error) -> FileFault {
        FileFault::Write { path: self.path.clone(), why }
    }
}

/// With the end of its last line.
fn ended(text: &str) -> String {
    format!("{}\n", text.trim_end_matches('\n'))
}

fn foreign(path: &Path, line: Option<usize>) -> BenchFault {
    BenchFault::Log { path: path.to_owned(), line }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tick(id: &str) -> Entry {
        let did = Did::Tick { step: "forging-1".to_owned(), done: true };
        Entry { id: id.to_owned(), at: "2026-05-01T10:00:00".to_owned(), did }
    }

    #[test]
    fn what_is_written_is_read_back() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a.log");
        let mut log = Log::read(path.clone()).unwrap();
        assert!(!path.exists(), "nothing is written for nothing");
        assert!(log.add(tick("first-one")).unwrap() && log.add(tick("second-one")).unwrap());
        let again = Log::read(path.clone()).unwrap();
        assert_eq!(again.entries(), log.entries());
        assert_eq!(again.find("second-one"), Some(&tick("second-one")));
        log.forget("second-one").unwrap();
        log.forget("never-there").unwrap();
        let again = Log::read(path).unwrap();
        assert_eq!((again.entries().len(), again.find("second-one")), (1, None));
    }

    #[test]
    fn what_others_wrote_stays() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a.log");
        let (mut one, mut two) = (Log::read(path.clone()).unwrap(), Log::read(path.clone()).unwrap());
        assert!(one.add(tick("first-one")).unwrap());
        assert!(!two.add(tick("second-one")).unwrap(), "it was written meanwhile");
        two.refresh().unwrap();
        assert!(two.add(tick("second-one")).unwrap());
        assert_eq!(Log::read(path).unwrap().entries().len(), 2);
    }

    #[test]
    fn what_is_no_log_is_left_alone() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a.log");
        for text in ["", "mine\n", &format!("{HEAD}\n{{\"id\":1}}\n"), "\u{0}"] {
            std::fs::write(&path, text).unwrap();
            assert!(matches!(Log::read(path.clone()), Err(BenchFault::Log { .. })), "{text:?}");
        }
        assert_eq!(Log::path(Path::new("a/b.csv")), Path::new("a/b.log"));
        assert_eq!(Log::path(Path::new("b.log")), Path::new("b.bench.log"));
    }
}
