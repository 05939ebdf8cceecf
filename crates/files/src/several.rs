//! Jobs that wait for the disk, several at a time.

use std::io;
use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Jobs at a time: each waits for the disk, which takes several at once.
pub(crate) const AT_A_TIME: usize = 8;

/// Does every job, or tells what was wrong with one.
pub(crate) fn several<J: Sync>(jobs: &[J], work: impl Fn(&J) -> io::Result<()> + Sync) -> io::Result<()> {
    let next = AtomicUsize::new(0);
    let run = || -> io::Result<()> {
        while let Some(job) = jobs.get(next.fetch_add(1, Ordering::Relaxed)) {
            work(job)?;
        }
        Ok(())
    };
    thread::scope(|scope| {
        let running: Vec<_> = (0..AT_A_TIME.min(jobs.len())).map(|_| scope.spawn(run)).collect();
        running.into_iter().try_for_each(|t| t.join().unwrap_or_else(|panic| resume_unwind(panic)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_job_is_done_and_a_fault_is_told() {
        let jobs: Vec<usize> = (0..100).collect();
        let sum = AtomicUsize::new(0);
        let add = |job: &usize| {
            sum.fetch_add(*job, Ordering::Relaxed);
            Ok(())
        };
        several(&jobs, add).expect("no fault");
        assert_eq!(sum.into_inner(), 4950);
        let wrong = |job: &usize| if *job == 70 { Err(io::Error::other("70")) } else { Ok(()) };
        assert_eq!(several(&jobs, wrong).expect_err("a fault").to_string(), "70");
        several(&[] as &[usize], wrong).expect("nothing to do");
    }
}
