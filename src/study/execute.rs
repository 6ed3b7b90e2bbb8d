//! Runs the cells that are missing, on all threads, and writes each down as it is done.

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

use rayon::prelude::*;

use super::cell::CellResult;
use super::groups::values_of;
use super::journal::{Journal, JournalError};
use super::piece::Piece;
use super::plan::{CellPlace, Plan};
use super::shard::Shard;
use crate::compare::Progress;
use crate::statistics::{looks, narrow_enough};

/// Runs what is missing of a part of a study; `stop` ends it after the cells under way. Gives the replicates run of each scenario.
///
/// # Errors
/// [`JournalError`] if a result cannot be written: what was written before is kept.
pub(super) fn execute(
    plan: &Plan,
    shard: Shard,
    journal: Journal,
    progress: &dyn Progress,
    stop: &AtomicBool,
) -> Result<(Journal, Vec<u64>), JournalError> {
    let work = Work {
        plan,
        shard,
        journal: Mutex::new(journal),
        broken: Mutex::new(None),
        progress,
        stop,
    };
    let replicates = match plan.study.enough {
        None => {
            work.run(
                &(0..plan.scenarios.len()).collect::<Vec<_>>(),
                0,
                plan.study.replicates,
            );
            vec![plan.study.replicates; plan.scenarios.len()]
        }
        Some(_) => work.until_enough()?,
    };
    let broken = work
        .broken
        .into_inner()
        .unwrap_or_else(|poisoned| poisoned.into_inner());
    match broken {
        Some(error) => Err(error),
        None => Ok((
            work.journal
                .into_inner()
                .unwrap_or_else(|poisoned| poisoned.into_inner()),
            replicates,
        )),
    }
}

struct Work<'w> {
    plan: &'w Plan,
    shard: Shard,
    journal: Mutex<Journal>,
    broken: Mutex<Option<JournalError>>,
    progress: &'w dyn Progress,
    stop: &'w AtomicBool,
}

impl Work<'_> {
    /// The replicates `from..to` of some scenarios. Pieces of one replicate follow each other, so that what is left tells how long it takes.
    fn run(&self, scenarios: &[usize], from: u64, to: u64) {
        let pairs: Vec<usize> = (0..self.plan.pairs.len())
            .filter(|pair| scenarios.contains(&self.plan.pairs[*pair].scenario))
            .collect();
        let count = pairs.len() as u64;
        // A range and not a list: a large study takes no more memory for its length.
        let numbers = 0..count * (to - from);
        let ours = |number: u64| {
            let (pair, replicate) = (pairs[(number % count) as usize], from + number / count);
            let is_ours = self.shard.runs(self.plan.piece(pair, replicate));
            is_ours.then_some((pair, replicate))
        };
        let missing = numbers
            .clone()
            .filter_map(ours)
            .map(|(pair, replicate)| self.missing(pair, replicate).len() as u64);
        self.progress.expect(missing.sum());
        numbers
            .into_par_iter()
            .filter_map(ours)
            .for_each(|(pair, replicate)| {
                if !self.stop.load(Ordering::Relaxed) {
                    self.piece(pair, replicate);
                }
            });
    }

    /// The cases of a piece without a result.
    fn missing(&self, pair: usize, replicate: u64) -> Vec<usize> {
        let cases = self.plan.cases(self.plan.pairs[pair]).len();
        let Ok(journal) = self.journal.lock() else {
            return Vec::new();
        };
        let has = |case: &usize| {
            journal.has(self.plan.cell(CellPlace {
                pair,
                replicate,
                case: *case,
            }))
        };
        (0..cases).filter(|case| !has(case)).collect()
    }

    fn piece(&self, pair: usize, replicate: u64) {
        let missing = self.missing(pair, replicate);
        if missing.is_empty() {
            return;
        }
        let done = |case: usize, result: CellResult| {
            self.add(
                CellPlace {
                    pair,
                    replicate,
                    case,
                },
                &result,
            );
        };
        match Piece::new(self.plan, self.plan.pairs[pair], replicate) {
            Ok(piece) => piece.run(&missing, done),
            Err(reason) => {
                for case in missing {
                    done(case, CellResult::Failed(reason.clone()));
                }
            }
        }
    }

    fn add(&self, place: CellPlace, result: &CellResult) {
        let added = match self.journal.lock() {
            Ok(mut journal) => journal.add(self.plan.cell(place), result),
            Err(_) => return,
        };
        match added {
            Ok(()) => {
                if let CellResult::Failed(reason) = result {
                    self.progress.failed(&self.plan.cell_name(place), reason);
                }
                self.progress.done();
            }
            Err(error) => {
                // What cannot be kept need not be run.
                self.stop.store(true, Ordering::Relaxed);
                if let Ok(mut broken) = self.broken.lock() {
                    broken.get_or_insert(error);
                }
            }
        }
    }

    /// Looks after fixed counts of replicates whether the mean is known well enough for every strategy and fault case of a scenario.
    fn until_enough(&self) -> Result<Vec<u64>, JournalError> {
        let mut open: Vec<usize> = (0..self.plan.scenarios.len()).collect();
        let mut replicates = vec![0; open.len()];
        let mut from = 0;
        for to in looks(self.plan.study.replicates) {
            self.run(&open, from, to);
            if self.stop.load(Ordering::Relaxed) {
                return Ok(replicates);
            }
            for scenario in &open {
                replicates[*scenario] = to;
            }
            let mut still_open = Vec::new();
            for scenario in open {
                if !self.is_enough(scenario, to)? {
                    still_open.push(scenario);
                }
            }
            open = still_open;
            if open.is_empty() {
                break;
            }
            from = to;
        }
        Ok(replicates)
    }

    fn is_enough(&self, scenario: usize, replicates: u64) -> Result<bool, JournalError> {
        let Some(enough) = self.plan.study.enough else {
            return Ok(true);
        };
        let Some(score) = tepid_scenarios::SCORES
            .iter()
            .position(|score| *score == enough.score)
        else {
            return Ok(true);
        };
        let Ok(mut journal) = self.journal.lock() else {
            return Ok(true);
        };
        for (pair, of) in self.plan.pairs.iter().enumerate() {
            if of.scenario != scenario {
                continue;
            }
            for (case, broken) in self.plan.cases(*of).iter().enumerate() {
                if broken.place.is_some() && !enough.score.under_faults {
                    continue;
                }
                let values = values_of(self.plan, &mut journal, (pair, case), replicates, score)?;
                // A score that has no value yet is not known.
                if !narrow_enough(&values, enough.within, super::CONFIDENCE_FRAC) {
                    return Ok(false);
                }
            }
        }
        Ok(true)
    }
}
