//! What the page is told of how things stand.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::answer::Compared;
use crate::log::{Did, Entry};
use crate::sent::Cells;
use crate::shared::Shared;

/// Most readings that the page lists: a day's last ones; the measured file has them all.
const LISTED: usize = 40;

/// How things stand.
#[derive(Debug, Serialize)]
pub(crate) struct State {
    /// What is written into.
    bench: String,
    /// Which run of the server tells it.
    run: String,
    /// Grows with every change.
    version: u64,
    /// Whether the answer is of the measured file as it is now.
    current: bool,
    /// The comparison in words; nothing before anything is measured.
    text: Option<String>,
    /// What is wrong with the measured file.
    problems: Vec<String>,
    /// Steps that are done, each with its time.
    ticks: BTreeMap<String, String>,
    /// The last readings, the newest first.
    readings: Vec<Taken>,
}

/// A reading that was taken here.
#[derive(Debug, Serialize)]
struct Taken {
    id: String,
    at: String,
    cells: Vec<Cells>,
    /// Taken back.
    undone: bool,
    /// Not in the measured file, and yet not taken back: another program took it out.
    gone: bool,
}

impl State {
    /// As of now.
    pub(crate) fn of(shared: &Shared) -> State {
        // Before anything else is looked at: what changes meanwhile is told next time.
        let version = *shared.versions().borrow();
        let desk = shared.desk();
        let (bytes, answer) = (desk.bytes().ok(), shared.answer());
        let (text, problems) = match &answer.compared {
            Compared::Nothing => (None, Vec::new()),
            Compared::Problems(problems) => (None, problems.clone()),
            Compared::Told { text, .. } => (Some(text.clone()), Vec::new()),
        };
        let log = desk.log();
        State {
            bench: shared.name(),
            run: shared.run.clone(),
            version,
            current: bytes.is_some() && answer.of == bytes,
            text,
            problems,
            ticks: ticks(log.entries()),
            readings: readings(log.entries(), bytes.as_deref().unwrap_or_default()),
        }
    }
}

/// Steps that are done.
fn ticks(entries: &[Entry]) -> BTreeMap<String, String> {
    let mut ticks = BTreeMap::new();
    for entry in entries {
        match &entry.did {
            Did::Tick { step, done: true } => {
                ticks.insert(step.clone(), entry.at.clone());
            }
            Did::Tick { step, done: false } => {
                ticks.remove(step);
            }
            Did::Read { .. } | Did::Undo { .. } => {}
        }
    }
    ticks
}

/// The last readings, the newest first.
fn readings(entries: &[Entry], bytes: &[u8]) -> Vec<Taken> {
    let undone: Vec<&str> = entries
        .iter()
        .filter_map(|entry| match &entry.did {
            Did::Undo { of, .. } => Some(of.as_str()),
            _ => None,
        })
        .collect();
    let taken = |entry: &Entry| {
        let Did::Read { cells, rows, .. } = &entry.did else { return None };
        let undone = undone.contains(&entry.id.as_str());
        let gone = !undone && rows.iter().any(|row| measured::rows_alike(bytes, row) == 0);
        Some(Taken { id: entry.id.clone(), at: entry.at.clone(), cells: cells.clone(), undone, gone })
    };
    entries.iter().rev().filter_map(taken).take(LISTED).collect()
}
