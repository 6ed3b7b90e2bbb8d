//! The replicates of each scenario, strategy and fault case as figures.

use rayon::prelude::*;
use tepid_output::records::{ScoreSummary, ScoreUnit, StudyGroup, WorstRun};
use tepid_scenarios::{SCORES, ScoreName, Worse};

use super::CONFIDENCE_FRAC;
use super::cell::{CellResult, CellScores};
use super::journal::{Journal, JournalError};
use super::plan::{CellPlace, Plan};
use crate::statistics;

/// The runs of one strategy in a scenario and fault case.
struct Runs {
    pair: usize,
    case: usize,
    /// By replicate; `None`: failed, or not run.
    scores: Vec<Option<CellScores>>,
    failed: u64,
}

/// All groups, in the order scenario, fault case, strategy. `replicates`: how many of each scenario were run.
pub(super) fn groups(
    plan: &Plan,
    journal: &mut Journal,
    replicates: &[u64],
) -> Result<Vec<StudyGroup>, JournalError> {
    let mut groups = Vec::new();
    for (scenario, point) in plan.scenarios.iter().enumerate() {
        for case in 0..point.cases.len() {
            let mut side_by_side = Vec::new();
            for (pair, of) in plan.pairs.iter().enumerate() {
                if of.scenario == scenario {
                    side_by_side.push(runs(plan, journal, pair, case, replicates[scenario])?);
                }
            }
            groups.extend(of_case(plan, &side_by_side));
        }
    }
    Ok(groups)
}

fn runs(
    plan: &Plan,
    journal: &mut Journal,
    pair: usize,
    case: usize,
    replicates: u64,
) -> Result<Runs, JournalError> {
    let mut runs = Runs {
        pair,
        case,
        scores: Vec::new(),
        failed: 0,
    };
    for replicate in 0..replicates {
        let cell = plan.cell(CellPlace {
            pair,
            replicate,
            case,
        });
        runs.scores.push(match journal.get(cell)? {
            Some(CellResult::Scored(scores)) => Some(scores),
            Some(CellResult::Failed(_)) => {
                runs.failed += 1;
                None
            }
            None => None,
        });
    }
    Ok(runs)
}

/// The strategies of one scenario and fault case.
fn of_case(plan: &Plan, side_by_side: &[Runs]) -> Vec<StudyGroup> {
    let values: Vec<Vec<Vec<Option<f64>>>> = (0..SCORES.len())
        .map(|score| side_by_side.iter().map(|runs| runs.values(score)).collect())
        .collect();
    let ranks: Vec<Vec<Option<u32>>> = SCORES
        .iter()
        .zip(&values)
        .map(|(score, values)| statistics::ranks(values, score.worse == Worse::Larger, CONFIDENCE_FRAC))
        .collect();
    let reference = plan.reference().and_then(|reference| {
        let is_it = |runs: &Runs| plan.pairs[runs.pair].strategy == reference;
        side_by_side.iter().position(is_it)
    });
    side_by_side
        .par_iter()
        .enumerate()
        .map(|(at, runs)| {
            let pair = plan.pairs[runs.pair];
            let case = &plan.cases(pair)[runs.case];
            let scores = SCORES.iter().enumerate().filter_map(|(score, name)| {
                let beside = reference.filter(|reference| *reference != at);
                runs.summary(plan, score, name, beside.map(|beside| &values[score][beside]))
                    .map(|summary| ScoreSummary {
                        rank: ranks[score].get(at).copied().flatten(),
                        ..summary
                    })
            });
            StudyGroup {
                scenario: plan.scenarios[pair.scenario].name.clone(),
                strategy: plan.strategies[pair.strategy].name.clone(),
                fault_set: case.set.clone(),
                case: case.name.clone(),
                replicates: runs.scores.iter().flatten().count() as u64,
                failed: runs.failed,
                scores: scores.collect(),
            }
        })
        .collect()
}

impl Runs {
    fn values(&self, score: usize) -> Vec<Option<f64>> {
        let each = self.scores.iter();
        each.map(|scores| scores.as_ref().and_then(|scores| scores.values[score]))
            .collect()
    }

    fn summary(
        &self,
        plan: &Plan,
        score: usize,
        name: &ScoreName,
        reference: Option<&Vec<Option<f64>>>,
    ) -> Option<ScoreSummary> {
        let own = self.values(score);
        let values: Vec<f64> = own.iter().copied().flatten().collect();
        let [low, middle, high] = statistics::quantiles(values.clone(), [0.05, 0.5, 0.95]);
        let pairs: Option<Vec<(f64, f64)>> = reference.map(|reference| {
            let both = own.iter().zip(reference);
            both.filter_map(|(one, other)| Some(((*one)?, (*other)?)))
                .collect()
        });
        Some(ScoreSummary {
            score: name.name.to_owned(),
            unit: ScoreUnit::of(name.kind),
            runs: values.len() as u64,
            mean: statistics::mean(&values)?,
            mean_interval: statistics::t_interval(&values, CONFIDENCE_FRAC),
            standard_deviation: statistics::standard_deviation(&values),
            quantiles: [low?, middle?, high?],
            worst: self.worst(plan, score, name)?,
            difference: pairs.and_then(|pairs| {
                let larger_is_worse = name.worse == Worse::Larger;
                statistics::difference(&pairs, larger_is_worse, CONFIDENCE_FRAC, plan.study.seed)
            }),
            rank: None,
        })
    }

    fn worst(&self, plan: &Plan, score: usize, name: &ScoreName) -> Option<WorstRun> {
        let each = self.scores.iter().enumerate().filter_map(|(replicate, scores)| {
            let scores = scores.as_ref()?;
            Some((replicate as u64, scores.values[score]?, scores.tanks[score]))
        });
        let worst = each.reduce(|worst, one| if name.is_worse(one.1, worst.1) { one } else { worst });
        let (replicate, value, tank) = worst?;
        Some(WorstRun {
            value,
            replicate,
            tank: tank.and_then(|place| plan.tank_name(self.pair, usize::from(place))),
            cell: plan.cell_name(CellPlace {
                pair: self.pair,
                replicate,
                case: self.case,
            }),
        })
    }
}
