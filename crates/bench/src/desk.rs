//! The two files, and what is done to them: each thing once, whole or not at all.
//!
//! The log goes first, then the measured file. Where the server is killed between both, the log knows a reading that
//! the file doesn't have: the next start forgets it, and the phone, which got no answer, sends it again.

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

    /// Forgets the last entry of the log where the measured file doesn't show it: the run that wrote it ended between
    /// both.
    fn recover(&mut self) -> Result<(), BenchFault> {
        let bytes = self.bytes()?;
        let held = |row: &str| measured::rows_alike(&bytes, row);
        let Some(last) = self.log.entries().last() else { return Ok(()) };
        let done = match &last.did {
            Did::Read { rows, count, .. } => rows.last().is_none_or(|row| held(row) >= *count),
            Did::Undo { row, count, .. } => held(row) <= *count,
            Did::Tick { .. } => true,
        };
        let id = last.id.clone();
        if done { Ok(()) } else { self.log.forget(&id) }
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
                Ok(false) => self.log.forget(id)?,
                Err(fault) => {
                    self.log.forget(id)?;
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

/// What a phone sent of a row, trimmed, as a row to write below the others.
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

#[cfg(test)]
mod tests {
    use std::fs;

    use tempfile::TempDir;

    use super::*;

    /// A folder with a measured file that an editor made: columns of its own, a note, a row already there.
    const FILE: &str = "note by Wulf,date,stage,station,what,height,measured,planned x\r\n\
                        \"the first, cold\",2026-04-30,ground,0,back,,6.4,9\r\nnothing here,,,,,,,\r\n";

    struct Shop {
        room: TempDir,
        design: Arc<Design>,
    }

    impl Shop {
        fn new() -> Shop {
            let profile = fixtures::profiles::named("landing-seax");
            let shop = Shop {
                room: tempfile::tempdir().unwrap(),
                design: Arc::new(design::read(profile.text.as_bytes()).unwrap()),
            };
            fs::write(shop.path("a.csv"), FILE).unwrap();
            shop
        }

        fn path(&self, name: &str) -> PathBuf {
            self.room.path().join(name)
        }

        fn desk(&self) -> Desk {
            Desk::open(self.design.clone(), self.path("a.csv")).unwrap()
        }

        fn file(&self) -> String {
            fs::read_to_string(self.path("a.csv")).unwrap()
        }

        fn log(&self) -> String {
            fs::read_to_string(self.path("a.log")).unwrap()
        }
    }

    fn reading(id: &str, station: &str, measured: &str) -> Readings {
        let cells = Cells {
            what: "back".to_owned(),
            station: station.to_owned(),
            measured: measured.to_owned(),
            ..Cells::default()
        };
        Readings {
            id: id.to_owned(),
            date: "2026-05-01".to_owned(),
            time: "10:00:00".to_owned(),
            rows: vec![cells],
        }
    }

    fn undo(id: &str, of: &str) -> Undo {
        Undo {
            id: id.to_owned(),
            date: "2026-05-01".to_owned(),
            time: "10:05:00".to_owned(),
            of: of.to_owned(),
        }
    }

    const ROW: &str = "10:00:00,2026-05-01,,50,back,,6.1,\r\n";

    #[test]
    fn a_reading_counts_once_however_often_it_comes_and_the_rest_of_the_file_stays() {
        let shop = Shop::new();
        let sent = reading("reading-one", "50", "6.1");
        assert_eq!(shop.desk().read(&sent), Ok(Kept::Now));
        assert_eq!(shop.file(), format!("{FILE}{ROW}"));
        let mut desk = shop.desk();
        for _ in 0..3 {
            assert_eq!(desk.read(&sent), Ok(Kept::Before));
        }
        // The same value again is another reading, for it has another id.
        assert_eq!(desk.read(&reading("reading-two", "50", "6.1")), Ok(Kept::Now));
        assert_eq!(shop.file(), format!("{FILE}{ROW}{ROW}"));
    }

    #[test]
    fn what_is_taken_back_goes_and_does_not_come_again() {
        let shop = Shop::new();
        let mut desk = shop.desk();
        let (one, two) = (reading("reading-one", "50", "6.1"), reading("reading-two", "100", "6"));
        desk.read(&one).unwrap();
        desk.read(&two).unwrap();
        assert_eq!(desk.undo(&undo("undo-of-one", "reading-one")), Ok(Kept::Now));
        let left = format!("{FILE}10:00:00,2026-05-01,,100,back,,6,\r\n");
        assert_eq!(shop.file(), left);
        // Sent again: the reading, the undo, and an undo by a second phone.
        let mut desk = shop.desk();
        assert_eq!(desk.read(&one), Ok(Kept::Before));
        assert_eq!(desk.undo(&undo("undo-of-one", "reading-one")), Ok(Kept::Before));
        assert_eq!(desk.undo(&undo("undo-by-two", "reading-one")), Ok(Kept::Before));
        assert!(matches!(desk.undo(&undo("undo-of-none", "never-there")), Err(Refusal::Never(_))));
        assert_eq!(shop.file(), left);
    }

    /// Killed between the log and the file: the log has an entry more than the file shows. The phone had no answer, so
    /// it sends it again.
    #[test]
    fn what_a_kill_left_half_done_is_done_when_it_is_sent_again() {
        let shop = Shop::new();
        let (one, two) = (reading("reading-one", "50", "6.1"), reading("reading-two", "50", "6.1"));
        let mut desk = shop.desk();
        desk.read(&one).unwrap();
        desk.read(&two).unwrap();
        // Both rows hold the same, so that the one that is there must not pass for the other.
        fs::write(shop.path("a.csv"), format!("{FILE}{ROW}")).unwrap();
        let mut desk = shop.desk();
        assert!(!shop.log().contains("reading-two"));
        assert_eq!(desk.read(&two), Ok(Kept::Now));
        assert_eq!(shop.file(), format!("{FILE}{ROW}{ROW}"));
        desk.undo(&undo("undo-of-two", "reading-two")).unwrap();
        fs::write(shop.path("a.csv"), format!("{FILE}{ROW}{ROW}")).unwrap();
        let mut desk = shop.desk();
        assert_eq!(desk.undo(&undo("undo-of-two", "reading-two")), Ok(Kept::Now));
        assert_eq!(shop.file(), format!("{FILE}{ROW}"));
    }

    /// The smith takes a row out while the bench is closed: it stays out, and what is sent later goes below what is
    /// there.
    #[test]
    fn what_an_editor_does_meanwhile_stays() {
        let shop = Shop::new();
        let mut desk = shop.desk();
        desk.read(&reading("reading-one", "50", "6.1")).unwrap();
        let edited = FILE.replace("6.4", "6.5");
        fs::write(shop.path("a.csv"), &edited).unwrap();
        assert!(matches!(desk.undo(&undo("undo-of-one", "reading-one")), Err(Refusal::Never(_))));
        assert_eq!(desk.read(&reading("reading-two", "100", "6")), Ok(Kept::Now));
        assert_eq!(shop.file(), format!("{edited}10:00:00,2026-05-01,,100,back,,6,\r\n"));
        drop(desk);
        fs::write(shop.path("a.csv"), &edited).unwrap();
        assert_eq!(shop.desk().read(&reading("reading-one", "50", "6.1")), Ok(Kept::Before));
        assert_eq!(shop.file(), edited);
        // A file that an editor has spoilt is left alone, and the reading may come again.
        fs::write(shop.path("a.csv"), "date,nonsense\n").unwrap();
        let late = reading("reading-late", "100", "6");
        assert!(matches!(shop.desk().read(&late), Err(Refusal::Later(words)) if words.contains("mistake")));
        assert_eq!(shop.file(), "date,nonsense\n");
        fs::write(shop.path("a.csv"), FILE).unwrap();
        assert_eq!(shop.desk().read(&late), Ok(Kept::Now));
    }

    #[test]
    fn what_is_no_reading_is_refused_for_good_and_nothing_is_written() {
        let shop = Shop::new();
        let mut desk = shop.desk();
        let good = reading("reading-one", "50", "6.1");
        for bad in [
            reading("reading-one", "9000", "6.1"),
            reading("reading-one", "50", "=cmd"),
            reading("reading-one", "50", ""),
            reading("reading-one", "50", "6\n7"),
            reading("no", "50", "6.1"),
            Readings { date: "yesterday".to_owned(), ..good.clone() },
            Readings { time: "noon".to_owned(), ..good.clone() },
            Readings { rows: Vec::new(), ..good.clone() },
            Readings { rows: vec![Cells::default(); 99], ..good.clone() },
        ] {
            assert!(matches!(desk.read(&bad), Err(Refusal::Never(words)) if words.ends_with('.')), "{bad:?}");
        }
        assert_eq!(shop.file(), FILE);
        assert!(!shop.path("a.log").exists());
        assert_eq!(desk.read(&good), Ok(Kept::Now), "what was refused has used no id up");
    }

    #[test]
    fn a_file_that_is_not_there_is_made_to_fill_in() {
        let shop = Shop::new();
        fs::remove_file(shop.path("a.csv")).unwrap();
        shop.desk();
        assert_eq!(shop.file(), measured::blank(&shop.design, false));
    }

    #[test]
    fn ticks_go_into_the_log_alone() {
        let shop = Shop::new();
        let tick = |id: &str, done| Tick {
            id: id.to_owned(),
            date: "2026-05-01".to_owned(),
            time: "10:00:00".to_owned(),
            step: "forging-3-0badcafe".to_owned(),
            done,
        };
        let mut desk = shop.desk();
        assert_eq!(desk.tick(&tick("tick-first", true)), Ok(Kept::Now));
        assert_eq!(desk.tick(&tick("tick-first", true)), Ok(Kept::Before));
        assert_eq!(desk.tick(&tick("tick-again", false)), Ok(Kept::Now));
        let strange = Tick { step: "<script>".to_owned(), ..tick("tick-third", true) };
        assert!(matches!(desk.tick(&strange), Err(Refusal::Never(_))));
        assert_eq!((shop.file().as_str(), shop.log().lines().count()), (FILE, 3));
    }
}
