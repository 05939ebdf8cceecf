//! A progress bar that shows only on a terminal, and only when the work is long enough to be waited for.

use std::io::{self, IsTerminal};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::thread;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Work done within half a second is over before a bar could be read.
const PATIENCE: Duration = Duration::from_millis(500);

/// Ten redraws a second look alive and cost nothing.
const TICK: Duration = Duration::from_millis(100);

/// Progress through a known number of steps.
pub(crate) struct Progress {
    bar: ProgressBar,
    done: Option<Sender<()>>,
}

impl Progress {
    /// Begins; nothing is drawn yet.
    pub(crate) fn begin(steps: usize) -> Progress {
        let bar = ProgressBar::with_draw_target(Some(steps as u64), ProgressDrawTarget::hidden());
        bar.set_style(ProgressStyle::default_bar());
        let done = io::stderr().is_terminal().then(|| show_later(bar.clone()));
        Progress { bar, done }
    }

    /// One step is done.
    pub(crate) fn step(&self) {
        self.bar.inc(1);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        drop(self.done.take());
        self.bar.finish_and_clear();
    }
}

/// Shows the bar after a while, unless the sender is dropped before.
fn show_later(bar: ProgressBar) -> Sender<()> {
    let (done, wait) = mpsc::channel::<()>();
    thread::spawn(move || {
        if wait.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
            bar.set_draw_target(ProgressDrawTarget::stderr());
            bar.enable_steady_tick(TICK);
        }
    });
    done
}
