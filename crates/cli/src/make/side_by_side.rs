//! Runs jobs on as many threads as the machine has cores.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Runs `work` for every job; the results keep the jobs' order.
pub(crate) fn side_by_side<J: Sync, T: Send>(jobs: &[J], work: impl Fn(&J) -> T + Sync) -> Vec<T> {
    let cores = thread::available_parallelism().map_or(1, usize::from).min(jobs.len());
    let next = AtomicUsize::new(0);
    let run = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(job) = jobs.get(index) else { return done };
            done.push((index, work(job)));
        }
    };
    let mut done: Vec<(usize, T)> = thread::scope(|scope| {
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
    fn results_keep_the_order_of_the_jobs() {
        let jobs: Vec<usize> = (0..500).collect();
        assert_eq!(side_by_side(&jobs, |&job| job * 2), (0..500).map(|j| j * 2).collect::<Vec<_>>());
        assert!(side_by_side(&[] as &[usize], |&job| job).is_empty());
    }
}
