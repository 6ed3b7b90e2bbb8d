//! The replicates of each scenario, strategy and fault case as figures.

use std::ops::Range;

use rayon::prelude::*;
use tepid_output::records::{ScoreSummary, ScoreUnit, StudyGroup, WorstRun};
use tepid_scenarios::{SCORES, ScoreName, Worse};

use super::CONFIDENCE_FRAC;
use super::cell::CellResult;
use super::journal::{Journal, JournalError};
use super::plan::{CellPlace, Plan};
use crate::statistics;

/// So many values are kept at a time, or those of one score where these are more: scores are gone through some at a time, and the journal is read
/// again for the next, so that memory does not grow with the number of cells times that of scores.
const KEPT_VALUES: usize = 100_000;

/// The runs of one strategy in a scenario and fault case, for some of the scores.
struct Runs {
    pair: usize,
    case: usize,
    /// Of each score by replicate; `None`: no value, failed, or not run.
    values: Vec<Vec<Option<f64>>>,
    /// Of each score the worst run.
    worst: Vec<Option<Worst>>,
    scored: u64,
    failed: u64,
}

#[derive(Clone, Copy)]
struct Worst {
    value: f64,
    replicate: u64,
    tank: Option<u8>,
}

/// All groups, in the order scenario, fault case, strategy. `replicates`: how many of each scenario were run.
pub(super) fn groups(
    plan: &Plan,
    journal: &mut Journal,
    replicates: &[u64],
) -> Result<Vec<StudyGroup>, JournalError> {
    let mut groups = Vec::new();
    for (scenario, point) in plan.scenarios.iter().enumerate() {
        let pairs = (0..plan.pairs.len()).filter(|pair| plan.pairs[*pair].scenario == scenario);
        let pairs: Vec<usize> = pairs.collect();
        let values = pairs.len() * usize::try_from(replicates[scenario]).unwrap_or(usize::MAX);
        let at_a_time = (KEPT_VALUES / values.max(1)).clamp(1, SCORES.len());
        for case in 0..point.cases.len() {
            let mut of_case: Vec<StudyGroup> = Vec::new();
            for from in (0..SCORES.len()).step_by(at_a_time) {
                let scores = from..(from + at_a_time).min(SCORES.len());
                let side_by_side = pairs
                    .iter()
                    .map(|pair| runs(plan, journal, (*pair, case), replicates[scenario], scores.clone()))
                    .collect::<Result<Vec<_>, _>>()?;
                let some = with_scores(plan, &side_by_side, scores);
                if of_case.is_empty() {
                    of_case = some;
                } else {
                    for (group, more) in of_case.iter_mut().zip(some) {
                        group.scores.extend(more.scores);
                    }
                }
            }
            groups.extend(of_case);
        }
    }
    Ok(groups)
}

fn runs(
    plan: &Plan,
    journal: &mut Journal,
    (pair, case): (usize, usize),
    replicates: u64,
    scores: Range<usize>,
) -> Result<Runs, JournalError> {
    let mut runs = Runs {
        pair,
        case,
        values: vec![Vec::new(); scores.len()],
        worst: vec![None; scores.len()],
        scored: 0,
        failed: 0,
    };
    for replicate in 0..replicates {
        let cell = plan.cell(CellPlace {
            pair,
            replicate,
            case,
        });
        let result = match journal.get(cell)? {
            Some(CellResult::Scored(result)) => {
                runs.scored += 1;
                Some(result)
            }
            Some(CellResult::Failed(_)) => {
                runs.failed += 1;
                None
            }
            None => None,
        };
        for (place, score) in scores.clone().enumerate() {
            let value = result.as_ref().and_then(|result| result.values[score]);
            runs.values[place].push(value);
            let worst = &mut runs.worst[place];
            if let (Some(value), Some(result)) = (value, &result)
                && worst.is_none_or(|worst| SCORES[score].is_worse(value, worst.value))
            {
                *worst = Some(Worst {
                    value,
                    replicate,
                    tank: result.tanks[score],
                });
            }
        }
    }
    Ok(runs)
}

/// The strategies of one scenario and fault case, with some of the scores.
fn with_scores(plan: &Plan, side_by_side: &[Runs], scores: Range<usize>) -> Vec<StudyGroup> {
    let reference = plan.reference().and_then(|reference| {
        let is_it = |runs: &Runs| plan.pairs[runs.pair].strategy == reference;
        side_by_side.iter().position(is_it)
    });
    let mut groups: Vec<StudyGroup> = side_by_side.iter().map(|runs| runs.blank(plan)).collect();
    for (place, score) in scores.map(|score| &SCORES[score]).enumerate() {
        let values: Vec<&[Option<f64>]> = side_by_side
            .iter()
            .map(|runs| runs.values[place].as_slice())
            .collect();
        let ranks = statistics::ranks(&values, score.worse == Worse::Larger, CONFIDENCE_FRAC);
        let summaries: Vec<Option<ScoreSummary>> = side_by_side
            .par_iter()
            .enumerate()
            .map(|(at, runs)| {
                let beside = reference.filter(|reference| *reference != at);
                let summary = runs.summary(plan, place, score, beside.map(|beside| values[beside]))?;
                Some(ScoreSummary {
                    rank: ranks.get(at).copied().flatten(),
                    ..summary
                })
            })
            .collect();
        for (group, summary) in groups.iter_mut().zip(summaries) {
            group.scores.extend(summary);
        }
    }
    groups
}

/// The values of one score in the replicates of a pair and case, those without a value left out.
pub(super) fn values_of(
    plan: &Plan,
    journal: &mut Journal,
    of: (usize, usize),
    replicates: u64,
    score: usize,
) -> Result<Vec<f64>, JournalError> {
    let runs = runs(plan, journal, of, replicates, score..score + 1)?;
    Ok(runs.values.into_iter().flatten().flatten().collect())
}

impl Runs {
    /// One of its cells.
    fn place(&self, replicate: u64) -> CellPlace {
        CellPlace {
            pair: self.pair,
            replicate,
            case: self.case,
        }
    }

    /// The group without scores yet.
    fn blank(&self, plan: &Plan) -> StudyGroup {
        let of = plan.names(self.place(0));
        StudyGroup {
            scenario: of.scenario.to_owned(),
            strategy: of.strategy.to_owned(),
            fault_set: of.case.set.clone(),
            case: of.case.name.clone(),
            replicates: self.scored,
            failed: self.failed,
            scores: Vec::new(),
        }
    }

    fn summary(
        &self,
        plan: &Plan,
        place: usize,
        score: &ScoreName,
        reference: Option<&[Option<f64>]>,
    ) -> Option<ScoreSummary> {
        let own = &self.values[place];
        let values: Vec<f64> = own.iter().copied().flatten().collect();
        let pairs: Option<Vec<(f64, f64)>> = reference.map(|reference| {
            let both = own.iter().zip(reference);
            both.filter_map(|(one, other)| Some(((*one)?, (*other)?)))
                .collect()
        });
        let worst = self.worst[place]?;
        let (mean, mean_interval) = (
            statistics::mean(&values)?,
            statistics::t_interval(&values, CONFIDENCE_FRAC),
        );
        let (runs, standard_deviation) = (values.len() as u64, statistics::standard_deviation(&values));
        let [low, middle, high] = statistics::quantiles(values, [0.05, 0.5, 0.95]);
        Some(ScoreSummary {
            score: score.name.to_owned(),
            unit: ScoreUnit::of(score.kind),
            runs,
            mean,
            mean_interval,
            standard_deviation,
            quantiles: [low?, middle?, high?],
            worst: WorstRun {
                value: worst.value,
                replicate: worst.replicate,
                tank: worst
                    .tank
                    .and_then(|tank| plan.tank_name(self.pair, usize::from(tank))),
                cell: plan.cell_name(self.place(worst.replicate)),
            },
            difference: pairs.and_then(|pairs| {
                let larger_is_worse = score.worse == Worse::Larger;
                statistics::difference(&pairs, larger_is_worse, CONFIDENCE_FRAC, plan.study.seed)
            }),
            rank: None,
        })
    }
}
