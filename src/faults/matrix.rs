//! Every fault in every room, worst first.

use std::cmp::Ordering;

use rayon::prelude::*;
use tepid_output::records::{FaultOutcome, FaultRow};
use tepid_sim::scenario::{FaultCase, FaultSet};

use super::Study;
use super::exceeded::exceeded;
use super::follow::stopped_by;
use crate::exposure::{self, Healthy};

/// One row per case and room.
pub(super) fn rows(study: &Study<'_>, healthy: &[Healthy<'_>]) -> Vec<FaultRow> {
    let cases = || {
        study
            .sets
            .iter()
            .flat_map(|set| set.cases.iter().map(move |case| (set, case)))
    };
    let cells: Vec<(&Healthy<'_>, (&FaultSet, &FaultCase))> = healthy
        .iter()
        .flat_map(|healthy| cases().map(move |case| (healthy, case)))
        .collect();
    study.progress.expect(cells.len() as u64);
    let mut rows: Vec<FaultRow> = cells
        .par_iter()
        .map(|(healthy, (set, case))| {
            let row = row(healthy, case, exposure::outcome(healthy, &set.name, case));
            study.progress.done();
            row
        })
        .collect();
    rows.sort_by(worse_first);
    rows
}

/// An outcome with what stopped it.
pub(super) fn row(healthy: &Healthy<'_>, case: &FaultCase, outcome: FaultOutcome) -> FaultRow {
    let mut row = FaultRow {
        is_single: case.already.is_empty(),
        stopped_by: None,
        exceeds: exceeded(&outcome, &healthy.scenario.livestock),
        outcome,
    };
    if row.outcome.failure.is_none() {
        match stopped_by(healthy, case, &row) {
            Ok(what) => row.stopped_by = Some(what),
            Err(error) => row.outcome.failure = Some(error.to_string()),
        }
    }
    row
}

/// Most harm first; rows whose runs failed before all others.
pub(super) fn worse_first(a: &FaultRow, b: &FaultRow) -> Ordering {
    let (of_a, of_b) = (a.severity(), b.severity());
    let failed = |row: &FaultRow| row.outcome.failure.is_some();
    (failed(b), of_b.takes_past)
        .cmp(&(failed(a), of_a.takes_past))
        .then(of_b.added_dose.total_cmp(&of_a.added_dose))
        .then(of_b.added_extreme_k.total_cmp(&of_a.added_extreme_k))
}
