//! Every fault in every room, worst first.

use std::cmp::Ordering;

use rayon::prelude::*;
use tepid_output::records::{FaultOutcome, FaultRow};
use tepid_sim::scenario::{FaultCase, FaultSet};

use super::Study;
use super::exceeded::exceeded;
use super::follow::followed;
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

/// An outcome with what its run shows of alerts, people and what stopped it.
pub(super) fn row(healthy: &Healthy<'_>, case: &FaultCase, outcome: FaultOutcome) -> FaultRow {
    let blank = FaultRow {
        is_single: case.already.is_empty(),
        first_alert_h: None,
        reached_h: None,
        acted_h: None,
        stopped_by: None,
        exceeds: exceeded(&outcome, &healthy.scenario.livestock),
        outcome,
    };
    if blank.outcome.failure.is_some() {
        return blank;
    }
    match followed(healthy, case, &blank) {
        Ok(followed) => FaultRow {
            first_alert_h: followed.first_alert_h,
            reached_h: followed.reached_h,
            acted_h: followed.acted_h,
            stopped_by: Some(followed.stopped_by),
            ..blank
        },
        Err(error) => FaultRow {
            outcome: FaultOutcome {
                failure: Some(error.to_string()),
                ..blank.outcome
            },
            ..blank
        },
    }
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
