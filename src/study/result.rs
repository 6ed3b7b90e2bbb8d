//! All of a study's cells in one record.

use tepid_output::cautions::{self, Cautioned};
use tepid_output::records::{FORMAT_VERSION, FailedCell, RecordKind, StudyGroup, StudyResult};

use super::cell::CellResult;
use super::journal::{Journal, JournalError};
use super::plan::Plan;
use super::{CONFIDENCE_FRAC, StudyRequest, gates, groups};

/// The record of the cells in the journal. `replicates`: how many of each scenario were to be run.
pub(super) fn result(
    request: &StudyRequest<'_>,
    journal: &mut Journal,
    replicates: &[u64],
) -> Result<StudyResult, JournalError> {
    let plan = request.plan;
    let groups = groups::groups(plan, journal, replicates)?;
    let cells: u64 = plan
        .pairs
        .iter()
        .map(|pair| replicates[pair.scenario] * plan.cases(*pair).len() as u64)
        .sum();
    let expected = |group: &StudyGroup| {
        let scenario = plan
            .scenarios
            .iter()
            .position(|point| point.name == group.scenario);
        scenario.map_or(plan.study.replicates, |scenario| replicates[scenario])
    };
    let mut failures = Vec::new();
    for cell in journal.failed().collect::<Vec<_>>() {
        if let (Some(CellResult::Failed(reason)), Some(place)) = (journal.get(cell)?, plan.place(cell)) {
            let of = plan.names(place);
            failures.push(FailedCell {
                cell: plan.cell_name(place),
                scenario: of.scenario.to_owned(),
                strategy: of.strategy.to_owned(),
                fault_set: of.case.set.clone(),
                case: of.case.name.clone(),
                replicate: place.replicate,
                reason,
            });
        }
    }
    let gates = gates::judged(plan, request.path, &groups, expected, request.baseline);
    Ok(StudyResult {
        format: RecordKind::Study,
        version: FORMAT_VERSION,
        name: plan.study.name.clone(),
        title: plan.study.title.clone(),
        digest: plan.digest.clone(),
        seed: plan.study.seed,
        confidence_frac: CONFIDENCE_FRAC,
        reference: plan
            .reference()
            .filter(|_| plan.strategies.len() > 1)
            .map(|reference| plan.strategies[reference].name.clone()),
        complete: journal.len() >= cells && replicates.iter().all(|replicates| *replicates > 0),
        cells,
        cells_done: journal.len(),
        gates,
        cautions: cautions_of(plan, &groups),
        groups,
        failures,
        does_not_apply: plan.does_not_apply.clone(),
    })
}

/// Cautions of the equipment, of what happens, of every fault tried and of heaters that ran hot.
fn cautions_of(plan: &Plan, groups: &[StudyGroup]) -> Vec<Cautioned> {
    let mut all = Vec::new();
    for point in &plan.scenarios {
        let scenario = &point.scenario;
        let faults: Vec<_> = point
            .cases
            .iter()
            .filter_map(|case| case.fault(scenario))
            .collect();
        let broken = faults.iter().flat_map(|fault| fault.happenings());
        all.extend(cautions::for_happenings(
            scenario,
            scenario.happenings.iter().chain(broken),
        ));
        all.extend(cautions::for_equipment(scenario));
    }
    for group in groups {
        let mut scores = group.scores.iter();
        let hottest = scores.find(|summary| summary.score == "hottest heater body");
        let case = if group.fault_set == tepid_scenarios::NO_FAULT {
            "with nothing broken"
        } else {
            &group.case
        };
        all.extend(hottest.and_then(|summary| cautions::for_body(case, summary.worst.value)));
    }
    cautions::gathered(all)
}
