//! What all connections and the comparing thread share.

use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use tokio::sync::watch;

use crate::answer::Answer;
use crate::desk::Desk;
use crate::door::{Door, random_name};
use crate::fault::BenchFault;
use crate::given::{Reach, Say, Served};
use crate::places::places;
use crate::shelf::Shelf;
use crate::words;

/// How often the measured file is looked at: so soon after a hand has saved it counts as at once, and twenty reads of
/// some kilobytes a second cost nothing.
const GLANCE: Duration = Duration::from_millis(50);

/// What a bench holds.
pub(crate) struct Shared {
    pub(crate) desk: Mutex<Desk>,
    pub(crate) measured: PathBuf,
    /// Rows that are worth measuring, for the page.
    pub(crate) places: serde_json::Value,
    pub(crate) answer: Mutex<Arc<Answer>>,
    pub(crate) door: Door,
    pub(crate) shelf: Arc<Shelf>,
    /// Names this run, so that a page knows when it speaks to another.
    pub(crate) run: String,
    /// Where it listens.
    at: SocketAddr,
    say: Say,
    terminal: bool,
    /// Counts what has changed.
    version: watch::Sender<u64>,
    /// Whether the bench is closed, and what wakes the comparing thread.
    closed: Mutex<bool>,
    wake: Condvar,
}

impl Shared {
    /// Of a bench that listens there.
    pub(crate) fn new(served: &Served, desk: Desk, at: SocketAddr) -> Result<Shared, BenchFault> {
        Ok(Shared {
            desk: Mutex::new(desk),
            measured: served.measured.clone(),
            places: places(&served.design),
            answer: Mutex::new(Arc::new(Answer::none())),
            door: Door::new(at, served.reach != Reach::Here)?,
            shelf: served.shelf.clone(),
            run: random_name()?,
            at,
            say: served.say.clone(),
            terminal: served.terminal,
            version: watch::Sender::new(1),
            closed: Mutex::new(false),
            wake: Condvar::new(),
        })
    }

    /// Shows the code for the next phone, where phones are let in.
    pub(crate) fn show_key(&self) {
        if let Some(key) = self.door.key() {
            (self.say)(&words::code(&format!("http://{}/?key={key}", self.at), self.terminal));
        }
    }

    /// What is written into, by the name that the page has of it.
    pub(crate) fn name(&self) -> String {
        self.measured.display().to_string()
    }

    pub(crate) fn desk(&self) -> MutexGuard<'_, Desk> {
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(crate) fn answer(&self) -> Arc<Answer> {
        self.answer.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Says that something has changed.
    pub(crate) fn changed(&self) {
        self.version.send_modify(|version| *version += 1);
        self.wake.notify_all();
    }

    /// What has changed so far, and what will.
    pub(crate) fn versions(&self) -> watch::Receiver<u64> {
        self.version.subscribe()
    }

    /// Waits for a moment or until something has changed; whether the bench is still open.
    pub(crate) fn wait_for_work(&self) -> bool {
        let closed = self.closed.lock().unwrap_or_else(PoisonError::into_inner);
        if *closed {
            return false;
        }
        let (closed, _) = self.wake.wait_timeout(closed, GLANCE).unwrap_or_else(PoisonError::into_inner);
        !*closed
    }

    /// Whether the bench is closed.
    pub(crate) fn is_closed(&self) -> bool {
        *self.closed.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Closes it: whoever waits is sent away.
    pub(crate) fn close(&self) {
        *self.closed.lock().unwrap_or_else(PoisonError::into_inner) = true;
        self.changed();
    }
}
