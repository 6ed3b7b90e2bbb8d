//! Clause: a study that was stopped goes on to the bytes of one that was not. Watched: cells in the order of their end. (A real kill:
//! `tests/behaviour/studies/results.rs`.)

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use crate::support::{bytes_of, on_threads, plan, whole};
use tepid::compare::Progress;
use tepid::study::{Outcome, study};

/// Stops a study after so many cells.
struct StopsAfter<'s> {
    cells: AtomicU64,
    stop: &'s AtomicBool,
}

impl Progress for StopsAfter<'_> {
    fn expect(&self, _pieces: u64) {}

    fn done(&self) {
        if self.cells.fetch_sub(1, Ordering::Relaxed) == 1 {
            self.stop.store(true, Ordering::Relaxed);
        }
    }
}

#[test]
fn a_study_stopped_after_every_few_cells_ends_with_the_same_bytes_on_one_two_and_eight_threads() {
    // More pieces than threads: those that were begun are finished, and others are left.
    let plan = plan(24);
    let folder = tempfile::tempdir().expect("folder");
    let run = |name: &str, cells: u64| {
        let stop = AtomicBool::new(false);
        let progress = StopsAfter {
            cells: AtomicU64::new(cells),
            stop: &stop,
        };
        let path = folder.path().join(name);
        match study(&whole(&plan, &path, &stop), &progress).expect("runs") {
            Outcome::Whole(result) => (result.complete, result.cells_done),
            Outcome::Part { .. } => panic!("the whole was asked for"),
        }
    };
    let (complete, cells) = run("calm", u64::MAX);
    assert!(complete && cells > 100);
    for threads in [1, 2, 8] {
        let name = format!("stopped on {threads}");
        let mut stops = 0;
        while !on_threads(threads, || run(&name, 20)).0 {
            stops += 1;
            assert!(stops < 100);
        }
        assert!(stops >= 1, "it was never stopped");
        assert!(bytes_of(&folder.path().join(&name)) == bytes_of(&folder.path().join("calm")));
    }
}
