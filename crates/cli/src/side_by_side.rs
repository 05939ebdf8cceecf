//! Runs jobs on as many threads as the machine has cores.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use crate::stop::Stop;

/// Runs `work` for every job; the results keep the jobs' order. The first fault in that order is returned.
pub(crate) fn side_by_side<J, T, F>(jobs: &[J], work: F) -> Result<Vec<T>, Stop>
where
    J: Sync,
    T: Send,
    F: Fn(&J) -> Result<T, Stop> + Sync,
{
    let cores = thread::available_parallelism().map_or(1, usize::from).min(jobs.len().max(1));
    let next = AtomicUsize::new(0);
    let run = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(job) = jobs.get(index) else { return done };
            done.push((index, work(job)));
        }
    };
    let mut done: Vec<(usize, Result<T, Stop>)> = thread::scope(|scope| {
        let running: Vec<_> = (0..cores).map(|_| scope.spawn(run)).collect();
        running.into_iter().flat_map(|t| t.join().unwrap_or_else(|panic| resume_unwind(panic))).collect()
    });
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, made)| made).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_keep_the_order_and_the_first_fault_wins() {
        let jobs: Vec<usize> = (0..50).collect();
        let made = side_by_side(&jobs, |&job| Ok(job * 2)).ok();
        assert_eq!(made, Some((0..50).map(|j| j * 2).collect::<Vec<_>>()));
        let fault = |job: &usize| match job % 10 {
            7 => Err(Stop::Shape { file: job.to_string(), why: String::new() }),
            _ => Ok(()),
        };
        assert!(matches!(side_by_side(&jobs, fault), Err(Stop::Shape { file, .. }) if file == "7"));
    }
}
