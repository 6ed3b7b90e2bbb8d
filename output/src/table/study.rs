//! A study: broken gates first, then what the runs of each scenario and fault case show.
//!
//! The command that runs a worst run again stands on a line of its own and is never broken, even where it is longer than the table is wide.

use super::study_scores::{group_heading, scores};
use super::{WIDTH, cautions, facts, list};
use crate::records::{FailedCell, GateResult, GateVerdict, StudyGroup, StudyResult};
use crate::wording::study::{
    against, blocks, case_named, differences, gates_in_a_sentence, gates_that, heading, how_shown, lacking,
    runs, worst_run,
};
use crate::wording::study_scores::MAIN;
use crate::wording::{MISSING, Units, wrapped};

/// Broken gates told in full, and failed runs; the rest stands in the other formats.
const TOLD: usize = 20;

/// The study for people.
#[must_use]
pub fn study(record: &StudyResult, units: Units) -> String {
    let mut text = wrapped("", &heading(record), WIDTH);
    text += &facts(vec![
        ("Runs".to_owned(), runs(record)),
        ("Seed".to_owned(), record.seed.to_string()),
    ]);
    text += &gates(record, units);
    if !record.groups.is_empty() {
        text += &format!("\n{}", wrapped("", &how_shown(record), WIDTH));
    }
    for (alike, body) in told_blocks(record, units) {
        text += &format!("\n{}{body}", wrapped("", &group_heading(&alike), WIDTH));
    }
    text += &failures(&record.failures);
    let lacking = lacking(record);
    text += &list("Does not apply", lacking.iter().map(String::as_str));
    text += &cautions(&record.cautions);
    text
}

/// The groups of every scenario and fault case with what is told of them; cases of a scenario that read the same are told once.
fn told_blocks(record: &StudyResult, units: Units) -> Vec<(Vec<&[StudyGroup]>, String)> {
    let mut told: Vec<(Vec<&[StudyGroup]>, String)> = Vec::new();
    for groups in blocks(&record.groups) {
        let body = scores(groups, units) + &apart(groups, record, units);
        let is_like = |alike: &[&[StudyGroup]]| {
            alike.iter().all(|other| {
                let pairs = other.iter().zip(groups);
                other.len() == groups.len()
                    && pairs
                        .into_iter()
                        .all(|(a, b)| (&a.scenario, a.replicates) == (&b.scenario, b.replicates))
            })
        };
        match told
            .iter_mut()
            .find(|(alike, known)| *known == body && is_like(alike))
        {
            Some((alike, _)) => alike.push(groups),
            None => told.push((vec![groups], body)),
        }
    }
    told
}

fn gates(record: &StudyResult, units: Units) -> String {
    let Some(sentence) = gates_in_a_sentence(record) else {
        return String::new();
    };
    let broken = gates_that(record, GateVerdict::Broken);
    let mut text = String::new();
    if !broken.is_empty() {
        text += "\nBroken gates\n";
        for gate in broken.iter().take(TOLD) {
            text += &wrapped("- ", &told(gate, record.seed, units), WIDTH);
            if let Some(replay) = &gate.replay {
                text += &format!("  {replay}\n");
            }
        }
        text += &more(broken.len());
    }
    let open = gates_that(record, GateVerdict::NotJudged);
    if !open.is_empty() {
        text += "\nGates that could not be judged\n";
        for gate in open.iter().take(TOLD) {
            text += &wrapped("- ", &told(gate, record.seed, units), WIDTH);
        }
        text += &more(open.len());
    }
    text + &format!("\n{}", wrapped("", &sentence, WIDTH))
}

/// How many are left out.
fn more(all: usize) -> String {
    match all.saturating_sub(TOLD) {
        0 => String::new(),
        more => format!("- and {more} more, in JSON, CSV and JUnit\n"),
    }
}

fn told(gate: &GateResult, seed: u64, units: Units) -> String {
    let worst = worst_run(gate, seed).map_or_else(String::new, |worst| format!("; {worst}"));
    format!(
        "{}: {} in {}, {}{worst}",
        against(gate, units),
        gate.strategy,
        gate.scenario,
        case_named(&gate.fault_set, &gate.case),
    )
}

/// What sets each strategy apart from the reference.
fn apart(groups: &[StudyGroup], record: &StudyResult, units: Units) -> String {
    let main: Vec<&str> = MAIN.iter().map(|main| main.score).collect();
    let told: Vec<String> = groups
        .iter()
        .filter_map(|group| {
            let told = differences(group, &main, units)?;
            Some(format!("{}: {told}", group.strategy))
        })
        .collect();
    let reference = record.reference.as_deref().unwrap_or(MISSING);
    list(&format!("Beside {reference}"), told.iter().map(String::as_str))
}

fn failures(failures: &[FailedCell]) -> String {
    let told: Vec<String> = failures
        .iter()
        .take(TOLD)
        .map(|failed| {
            format!(
                "{} in {}, {}, replicate {}: {}",
                failed.strategy,
                failed.scenario,
                case_named(&failed.fault_set, &failed.case),
                failed.replicate,
                failed.reason
            )
        })
        .collect();
    list("Runs without a result", told.iter().map(String::as_str)) + &more(failures.len())
}
