//! The two files, and what is done to them: each thing once, whole or not at all.
//!
//! The log goes first, then the measured file. Where the server is killed between both, the log knows a reading that the
//! file doesn't have: the next start forgets it, and the phone, which got no answer, sends it again.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use design::{Design, Problem};
use files::FileFault;
use measured::{NewRow, Refused};

use crate::fault::BenchFault;
use crate::log::{Did, Entry, Log};
use crate::sent::{Cells, Readings, Tick, Undo};

/// One byte more than the 1 MiB that a measured file may have: enough to see that it is too long.
const MOST: u64 = (1 << 20) + 1;
/// How often a write is tried anew because another program wrote the file meanwhile.
const TRIES: usize = 20;

/// What became of something sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kept {
    /// It is done.
    Now,
    /// It was done before.
    Before,
}

/// Why something sent was not done, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Refusal {
    /// It never will be.
    Never(String),
    /// Try it again later.
    Later(String),
}

impl From<FileFault> for Refusal {
    fn from(fault: FileFault) -> Refusal {
        Refusal::Later(sentence(&fault.to_string()))
    }
}

impl From<BenchFault> for Refusal {
    fn from(fault: BenchFault) -> Refusal {
        Refusal::Later(sentence(&fault.to_string()))
    }
}

/// The measured file of a design, and its log.
#[derive(Debug)]
pub(crate) struct Desk {
    design: Arc<Design>,
    measured: PathBuf,
    log: Log,
}

impl Desk {
    /// Opens both; a measured file that is not there is made, to fill in.
    pub(crate) fn open(design: Arc<Design>, measured: PathBuf) -> Result<Desk, BenchFault> {
        if !measured.try_exists().map_err(|why| FileFault::Read { path: measured.clone(), why })? {
            files::write_new(&measured, measured::blank(&design, false).as_bytes())?;
        }
        let log = Log::read(Log::path(&measured))?;
        let mut desk = Desk { design, measured, log };
        desk.bytes()?;
        desk.recover()?;
        Ok(desk)
    }

    /// The log's place.
    pub(crate) fn log_path(&self) -> PathBuf {
        Log::path(&self.measured)
    }

    /// What was done, the first thing first.
    pub(crate) fn log(&self) -> &Log {
        &self.log
    }

    /// The measured file's bytes, at most one more than it may have.
    pub(crate) fn bytes(&self) -> Result<Vec<u8>, FileFault> {
        read(&self.measured)
    }

    /// Forgets the last entry of the log where the measured file doesn't show it: the run that wrote it ended between both.
    fn recover(&mut self) -> Result<(), BenchFault> {
        let bytes = self.bytes()?;
        let held = |row: &str| measured::rows_alike(&bytes, row);
        let done = match self.log.entries().last().map(|entry| &entry.did) {
            Some(Did::Read { rows, count, .. }) => rows.last().is_none_or(|row| held(row) >= *count),
            Some(Did::Undo { row, count, .. }) => held(row) <= *count,
            Some(Did::Tick { .. }) | None => true,
        };
        if done { Ok(()) } else { Ok(self.log.forget_last()?) }
    }

    /// Writes readings below the others.
    pub(crate) fn read(&mut self, sent: &Readings) -> Result<Kept, Refusal> {
        sent.check().map_err(Refusal::Never)?;
        let (at, note) = (format!("{}T{}", sent.date, sent.time), sent.time.clone());
        let rows: Vec<NewRow<'_>> = sent.rows.iter().map(|row| new_row(&sent.date, &note, row)).collect();
        self.change(&sent.id, |design, bytes, _| {
            let new = measured::appended(bytes, design, &rows).map_err(refusal)?;
            let count = new.rows.last().map_or(0, |row| measured::rows_alike(&new.bytes, row));
            let did = Did::Read { cells: sent.rows.clone(), rows: new.rows, count };
            Ok((Some(new.bytes), Entry { id: sent.id.clone(), at: at.clone(), did }))
        })
    }

    /// Takes a reading back: its rows go out of the measured file.
    pub(crate) fn undo(&mut self, sent: &Undo) -> Result<Kept, Refusal> {
        sent.check().map_err(Refusal::Never)?;
        self.log.refresh()?;
        if self.log.is_undone(&sent.of) {
            return Ok(Kept::Before);
        }
        self.change(&sent.id, |_, bytes, log| {
            let Some(Did::Read { rows, .. }) = log.find(&sent.of).map(|entry| &entry.did) else {
                return Err(Refusal::Never("There is no such reading to take back.".to_owned()));
            };
            let left = rows.iter().try_fold(bytes.to_vec(), |bytes, row| measured::without(&bytes, row));
            let (Some(left), Some(row)) = (left, rows.last()) else {
                return Err(Refusal::Never(GONE.to_owned()));
            };
            let count = measured::rows_alike(&left, row);
            let did = Did::Undo { of: sent.of.clone(), row: row.clone(), count };
            Ok((Some(left), Entry { id: sent.id.clone(), at: format!("{}T{}", sent.date, sent.time), did }))
        })
    }

    /// Ticks a step, or takes its tick away.
    pub(crate) fn tick(&mut self, sent: &Tick) -> Result<Kept, Refusal> {
        sent.check().map_err(Refusal::Never)?;
        self.change(&sent.id, |_, _, _| {
            let did = Did::Tick { step: sent.step.clone(), done: sent.done };
            Ok((None, Entry { id: sent.id.clone(), at: format!("{}T{}", sent.date, sent.time), did }))
        })
    }

    /// Does something once: its entry into the log, then the new bytes into the measured file. Where another program
    /// wrote one of both meanwhile, it is worked out anew from that.
    fn change(
        &mut self,
        id: &str,
        work: impl Fn(&Design, &[u8], &Log) -> Result<(Option<Vec<u8>>, Entry), Refusal>,
    ) -> Result<Kept, Refusal> {
        for _ in 0..TRIES {
            self.log.refresh()?;
            if self.log.find(id).is_some() {
                return Ok(Kept::Before);
            }
            let known = self.bytes()?;
            let (new, entry) = work(&self.design, &known, &self.log)?;
            if !self.log.add(entry)? {
                continue;
            }
            let Some(new) = new else { return Ok(Kept::Now) };
            match files::write_known(&self.measured, &new, Some(&known)) {
                Ok(true) => return Ok(Kept::Now),
                Ok(false) => self.log.forget_last()?,
                Err(fault) => {
                    self.log.forget_last()?;
                    return Err(fault.into());
                }
            }
        }
        Err(Refusal::Later("Another program keeps writing the measured file.".to_owned()))
    }
}

/// What is said of a reading that an editor took out.
const GONE: &str = "That reading is not in the measured file any more: another program took it out.";

/// A measured file's bytes.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, FileFault> {
    let missing = |why: std::io::Error| FileFault::Read { path: path.to_owned(), why };
    match files::read_at_most(path, MOST) {
        Err(why) if why.kind() == ErrorKind::NotFound => {
            Err(missing(std::io::Error::new(ErrorKind::NotFound, "it is not there any more")))
        }
        read => read.map_err(missing),
    }
}

fn new_row<'a>(date: &'a str, note: &'a str, cells: &'a Cells) -> NewRow<'a> {
    NewRow {
        date,
        stage: cells.stage.trim(),
        station: cells.station.trim(),
        what: cells.what.trim(),
        height: cells.height.trim(),
        measured: cells.measured.trim(),
        sure: cells.sure.trim(),
        note,
    }
}

fn refusal(refused: Refused) -> Refusal {
    match refused {
        Refused::Rows(problems) => Refusal::Never(words(&problems)),
        Refused::File(problems) => {
            Refusal::Later(format!("The measured file has a mistake, mend it first. {}", words(&problems)))
        }
    }
}

/// The first problem, and how many more there are.
fn words(problems: &[Problem]) -> String {
    let Some(first) = problems.first() else { return String::new() };
    let more = problems.len() - 1;
    let rest = if more == 0 { String::new() } else { format!(" And {more} more.") };
    format!("{} {}{rest}", sentence(&first.message), sentence(&first.help))
}

/// With a capital at its beginning and a full stop at its end.
pub(crate) fn sentence(words: &str) -> String {
    let mut letters = words.trim_end_matches('.').chars();
    let first = letters.next().map(|c| c.to_uppercase().collect::<String>()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}
