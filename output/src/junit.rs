//! A study as JUnit XML, which CI services show: the study is a suite, each scenario and fault case is a test case.
//!
//! - Class name: the scenario. Name: the fault case.
//! - A broken gate makes a *failure*: its message names score, value and bound, its text all broken gates, each with the command that runs the worst run again.
//! - A run without a result and a gate that could not be judged make an *error*, unless a gate is broken too: then the failure tells them as well.
//! - A case of which no strategy was run yet, because the study is not complete, is *skipped*.
//!
//! There are no times in it, so the same study gives the same text.

use std::collections::BTreeSet;

use quick_junit::{NonSuccessKind, Report, TestCase, TestCaseStatus, TestSuite};

use crate::records::{GateResult, GateVerdict, StudyGroup, StudyResult};
use crate::wording::Units;
use crate::wording::study::{against, case_named, worst_run};

/// The text could not be built.
#[derive(Debug, thiserror::Error)]
#[error("could not write the result as JUnit XML: {0}")]
pub struct JunitError(#[from] quick_junit::SerializeError);

/// The study as XML, in metric units.
///
/// # Errors
/// [`JunitError`] if the text cannot be built.
pub fn study(record: &StudyResult) -> Result<String, JunitError> {
    let mut suite = TestSuite::new(record.name.as_str());
    for case in cases(record) {
        suite.add_test_case(test_case(case, record));
    }
    let mut report = Report::new(record.name.as_str());
    report.add_test_suite(suite);
    Ok(report.to_string()?)
}

/// Scenario, fault set and case.
type Case<'a> = (&'a str, &'a str, &'a str);

/// Every one that something is told of, in the order of the groups.
fn cases(record: &StudyResult) -> Vec<Case<'_>> {
    let of_groups = record.groups.iter().map(case_of);
    let of_gates = record.gates.iter().map(|gate| {
        (
            gate.scenario.as_str(),
            gate.fault_set.as_str(),
            gate.case.as_str(),
        )
    });
    let of_failures = record.failures.iter().map(|failed| {
        (
            failed.scenario.as_str(),
            failed.fault_set.as_str(),
            failed.case.as_str(),
        )
    });
    let mut cases: Vec<Case<'_>> = Vec::new();
    let mut known = BTreeSet::new();
    for case in of_groups.chain(of_gates).chain(of_failures) {
        if known.insert(case) {
            cases.push(case);
        }
    }
    cases
}

fn case_of(group: &StudyGroup) -> Case<'_> {
    (&group.scenario, &group.fault_set, &group.case)
}

fn test_case(case: Case<'_>, record: &StudyResult) -> TestCase {
    let (scenario, fault_set, name) = case;
    let gates = |verdict: GateVerdict| {
        let gates = record.gates.iter().filter(move |gate| gate.verdict == verdict);
        gates.filter(move |gate| {
            (
                gate.scenario.as_str(),
                gate.fault_set.as_str(),
                gate.case.as_str(),
            ) == case
        })
    };
    let broken: Vec<[String; 2]> = gates(GateVerdict::Broken)
        .map(|gate| told(gate, record.seed))
        .collect();
    let not_judged = gates(GateVerdict::NotJudged).map(|gate| {
        let [what, again] = told(gate, record.seed);
        [format!("could not be judged: {what}"), again]
    });
    let failures = record.failures.iter().filter(|failed| {
        (
            failed.scenario.as_str(),
            failed.fault_set.as_str(),
            failed.case.as_str(),
        ) == case
    });
    let failed = failures.map(|failed| {
        let what = format!(
            "no result: {}, replicate {} (cell {}): {}",
            failed.strategy, failed.replicate, failed.cell, failed.reason
        );
        [what, String::new()]
    });
    let open: Vec<[String; 2]> = not_judged.chain(failed).collect();
    let status = if broken.is_empty() && open.is_empty() {
        passed(record, case)
    } else if broken.is_empty() {
        non_success(NonSuccessKind::Error, "no-result", &open)
    } else {
        non_success(NonSuccessKind::Failure, "gate", &[broken, open].concat())
    };
    let mut case = TestCase::new(case_named(fault_set, name), status);
    case.set_classname(scenario);
    case
}

fn passed(record: &StudyResult, case: Case<'_>) -> TestCaseStatus {
    let mut groups = record.groups.iter().filter(|group| case_of(group) == case);
    if groups.any(|group| group.replicates > 0) {
        TestCaseStatus::success()
    } else {
        let mut skipped = TestCaseStatus::skipped();
        skipped.set_message("not run");
        skipped
    }
}

/// The first as message, all of them as text. A message is an attribute, in which XML knows no lines.
fn non_success(kind: NonSuccessKind, of: &str, all: &[[String; 2]]) -> TestCaseStatus {
    let mut status = TestCaseStatus::non_success(kind);
    let more = match all.len() {
        0 | 1 => String::new(),
        count => format!(" (and {} more, see below)", count - 1),
    };
    if let [[what, again], ..] = all {
        let again = if again.is_empty() {
            String::new()
        } else {
            format!("; run it again: {again}")
        };
        status.set_message(format!("{what}{more}{again}"));
    }
    status.set_type(of);
    let all: Vec<String> = all
        .iter()
        .map(|[what, again]| format!("{what}\n{again}").trim_end().to_owned())
        .collect();
    status.set_description(all.join("\n\n"));
    status
}

/// A gate in words, and the command that runs its worst run again.
fn told(gate: &GateResult, seed: u64) -> [String; 2] {
    let worst = worst_run(gate, seed).map_or_else(String::new, |worst| format!(", {worst}"));
    let what = format!("{}: {}{worst}", against(gate, Units::Metric), gate.strategy);
    [what, gate.replay.clone().unwrap_or_default()]
}
