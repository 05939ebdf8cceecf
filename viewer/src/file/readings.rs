//! The measured file beside the design.

use std::io::ErrorKind;
use std::path::Path;
use std::sync::Arc;

use design::Design;
use measured::{Bench, Refused};

use crate::file::guard::guarded;
use crate::file::news::News;
use crate::file::order::Noted;
use crate::file::problems::located;
use crate::file::source::{Source, read};
use crate::model::grinding::Grinding;

/// How often a file is read anew that another program wrote meanwhile.
const TRIES: usize = 5;

/// A measured file that is looked at for changes, and the blade that it tells of.
pub(crate) struct Readings {
    source: Source,
    pub(crate) name: String,
    /// Whether the window itself asked for it: then it may hold nothing yet.
    is_begun_here: bool,
    /// The rows that were put in from here, and not taken back.
    rows: Vec<String>,
    pub(crate) grinding: Option<Arc<Grinding>>,
}

impl Readings {
    pub(crate) fn new(path: &Path) -> Readings {
        Readings::of(path, false)
    }

    /// Those of a file that is begun with the first reading, unless there is one already.
    pub(crate) fn begun(path: &Path) -> Readings {
        Readings::of(path, true)
    }

    fn of(path: &Path, is_begun_here: bool) -> Readings {
        let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
        Readings { source: Source::new(path), name, is_begun_here, rows: Vec::new(), grinding: None }
    }

    /// Whether the file is another one than before.
    pub(crate) fn changed(&mut self) -> bool {
        self.source.changed().is_some()
    }

    /// Compares the file as last read with a design; what is to be told where that can't be done.
    pub(crate) fn compare(&mut self, design: &Design) -> Option<News> {
        self.grinding = None;
        let bytes = match self.source.last() {
            Ok(bytes) => bytes,
            Err(_) if self.is_begun_here && !self.source.path().exists() => return None,
            Err(why) => return Some(News::Unread(format!("{} can't be read: {why}", self.name))),
        };
        match guarded(|| compared(bytes, design)) {
            Ok(Ok(Some(grinding))) => self.grinding = Some(Arc::new(grinding)),
            Ok(Ok(None)) if self.is_begun_here => {}
            Ok(Ok(None)) => return Some(News::Unread(format!("nothing is filled in in {}", self.name))),
            Ok(Err(problems)) => {
                let mut problems = located(bytes, &problems);
                for problem in &mut problems {
                    problem.message = format!("{}: {}", self.name, problem.message);
                }
                return Some(News::Problems(problems));
            }
            Err(why) => return Some(News::Fault(why)),
        }
        None
    }

    /// The rows that were put in from here, and not taken back.
    pub(crate) fn rows(&self) -> &[String] {
        &self.rows
    }

    /// Puts a reading below the others, or says why not.
    pub(crate) fn note(&mut self, design: &Design, noted: &Noted) -> Result<(), String> {
        let row = self.change(design, |bytes| {
            let new =
                measured::appended(bytes, design, &[noted.row()]).map_err(|why| refusal(bytes, &why))?;
            Ok((new.bytes, new.rows.concat()))
        })?;
        self.rows.push(row);
        Ok(())
    }

    /// Takes the last reading that was put in from here out again, or says why not: then it stays among them, unless it is
    /// in the file no more.
    pub(crate) fn take_back(&mut self, design: &Design) -> Result<(), String> {
        let Some(row) = self.rows.last().cloned() else { return Ok(()) };
        let gone = || format!("{row} is not in the file any more");
        let held = read(self.source.path()).map(|bytes| measured::rows_alike(&bytes, &row));
        if matches!(held, Ok(0)) {
            self.rows.pop();
            return Err(gone());
        }
        self.change(design, |bytes| {
            measured::without(bytes, &row).map(|bytes| (bytes, String::new())).ok_or_else(gone)
        })?;
        self.rows.pop();
        Ok(())
    }

    /// Changes the file as it is now; what the change tells of itself.
    fn change(
        &self,
        design: &Design,
        change: impl Fn(&[u8]) -> Result<(Vec<u8>, String), String>,
    ) -> Result<String, String> {
        let unwritten = |why: &dyn std::fmt::Display| format!("{} was not written: {why}", self.name);
        for _ in 0..TRIES {
            let known = match read(self.source.path()) {
                Ok(bytes) => Some(bytes),
                Err(why) if why.kind() == ErrorKind::NotFound => None,
                Err(why) => return Err(unwritten(&why)),
            };
            let blank = || measured::blank(design, false).into_bytes();
            let (bytes, told) = change(&known.clone().unwrap_or_else(blank))?;
            let written = files::write_known(self.source.path(), &bytes, known.as_deref());
            if written.map_err(|why| unwritten(&why))? {
                return Ok(told);
            }
        }
        Err(unwritten(&"another program keeps writing it"))
    }
}

/// Why a row was refused, in a sentence; with its line where the file's own rows are wrong.
fn refusal(bytes: &[u8], why: &Refused) -> String {
    let told = |problem: &design::Problem| format!("{}; {}", problem.message, problem.help);
    match why {
        Refused::Rows(problems) => problems.first().map(told).unwrap_or_default(),
        Refused::File(problems) => {
            let first = located(bytes, problems).into_iter().next();
            first
                .map(|p| format!("line {} of the file: {}; {}", p.line, p.message, p.help))
                .unwrap_or_default()
        }
    }
}

/// The blade that a measured file tells of; `None` where nothing is filled in.
pub(crate) fn compared(bytes: &[u8], design: &Design) -> Result<Option<Grinding>, Vec<design::Problem>> {
    let sessions = measured::read(bytes, design)?;
    let bench = Bench::from_sessions(design, &sessions, None)?;
    Ok(bench.map(|bench| Grinding::new(bench, &sessions)))
}
