//! Pairs of faults that each stay below the dose alone, both from the same instant on, in every room.
//!
//! A pair is tried at the two instants at which its faults are worst alone.

use rayon::prelude::*;
use tepid_output::records::FaultRow;
use tepid_sim::scenario::{FaultCase, Happening, When};
use tepid_sim::time::{HOUR, Millis};

use super::Study;
use super::matrix::{row, worse_first};
use crate::exposure::{Healthy, outcome_of_worst};

/// Name of the set of pairs.
const SET: &str = "two faults at once";

/// One row per pair and room, worst first.
pub(super) fn rows(study: &Study<'_>, healthy: &[Healthy<'_>], alone: &[FaultRow]) -> Vec<FaultRow> {
    let faults = harmless_alone(study, alone);
    let pairs = faults.iter().enumerate().flat_map(|(index, first)| {
        let later = faults.iter().skip(index + 1);
        later.map(move |second| (*first, *second))
    });
    let cells: Vec<_> = pairs
        .filter(|(first, second)| first.effect != second.effect)
        .flat_map(|pair| healthy.iter().map(move |healthy| (pair, healthy)))
        .collect();
    study.progress.expect(cells.len() as u64);
    let mut rows: Vec<FaultRow> = cells
        .par_iter()
        .filter_map(|((first, second), healthy)| {
            let row = both(first, second, healthy, alone);
            study.progress.done();
            row
        })
        .collect();
    rows.sort_by(worse_first);
    rows
}

/// The single faults whose start a study chooses or states, and which take the water past the dose in no room.
fn harmless_alone<'a>(study: &Study<'a>, alone: &[FaultRow]) -> Vec<&'a Happening> {
    let cases = study
        .sets
        .iter()
        .flat_map(|set| set.cases.iter().map(move |case| (set, case)));
    let harmless = cases.filter(|(set, case)| {
        let harms = |row: &FaultRow| {
            row.outcome.set == set.name
                && row.outcome.case == case.fault.name
                && (row.takes_past() || row.outcome.failure.is_some())
        };
        case.already.is_empty()
            && matches!(case.fault.when, When::WorstPhase | When::At(_))
            && !alone.iter().any(harms)
    });
    harmless.map(|(_, case)| &case.fault).collect()
}

fn both(
    first: &Happening,
    second: &Happening,
    healthy: &Healthy<'_>,
    alone: &[FaultRow],
) -> Option<FaultRow> {
    let began_ms = |fault: &Happening| {
        let row = alone
            .iter()
            .find(|row| row.outcome.case == fault.name && row.outcome.room == healthy.room)?;
        Some((row.outcome.began_h? * HOUR as f64).round() as Millis)
    };
    let mut instants_ms: Vec<Millis> = [first, second].into_iter().filter_map(began_ms).collect();
    instants_ms.sort_unstable();
    instants_ms.dedup();
    let at = |fault: &Happening, at_ms: Millis| Happening {
        when: When::At(at_ms),
        ..fault.clone()
    };
    let cases: Vec<FaultCase> = instants_ms
        .into_iter()
        .map(|at_ms| FaultCase {
            fault: Happening {
                name: format!("{} and {}", first.name, second.name),
                ..at(first, at_ms)
            },
            already: vec![at(second, at_ms)],
        })
        .collect();
    let outcome = outcome_of_worst(healthy, SET, &cases)?;
    let began_h = outcome.began_h;
    let began = |case: &&FaultCase| {
        began_h.is_some_and(|h| case.fault.when == When::At((h * HOUR as f64).round() as Millis))
    };
    let case = cases.iter().find(began).or(cases.first())?;
    Some(row(healthy, case, outcome))
}
