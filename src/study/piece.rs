//! One piece of a study: a scenario, a strategy and a replicate, with nothing broken and with each fault case.

use rayon::prelude::*;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{FaultCase, Scenario};
use tepid_sim::scores::Scores;
use tepid_sim::time::Millis;

use super::cell::{CellResult, CellScores};
use super::plan::{Pair, Plan, Recipe};
use crate::exposure::{Healthy, Worst, worst_run};
use tepid_output::records::RoomKind;

/// A piece with what is drawn for its replicate.
#[derive(Debug)]
pub struct Piece<'p> {
    plan: &'p Plan,
    pair: Pair,
    scenario: std::borrow::Cow<'p, Scenario>,
    recipe: Recipe<'p>,
    replicate: u64,
}

/// How a cell is run again: what is broken, from when it is judged, when it ends.
#[derive(Debug, Clone)]
pub struct Replay {
    /// The case with its instant fixed; `None`: nothing is broken.
    pub case: Option<FaultCase>,
    /// When the fault began, ms, if that is one instant.
    pub began_ms: Option<Millis>,
    /// Judged from here on, ms.
    pub judged_from_ms: Millis,
    /// End of the run, ms.
    pub end_ms: Millis,
}

impl<'p> Piece<'p> {
    /// Draws what is drawn.
    ///
    /// # Errors
    /// Why the drawn values do not stand, in words.
    pub fn new(plan: &'p Plan, pair: Pair, replicate: u64) -> Result<Self, String> {
        let words = |report: tepid_scenarios::Report| {
            let problems = report.problems.iter().map(|problem| problem.message.clone());
            format!(
                "drawn values do not stand: {}",
                problems.collect::<Vec<_>>().join("; ")
            )
        };
        Ok(Self {
            plan,
            pair,
            scenario: plan.scenario_of(pair, replicate).map_err(words)?,
            recipe: plan.recipe_of(pair, replicate).map_err(words)?,
            replicate,
        })
    }

    /// The scenario, with what was drawn.
    #[must_use]
    pub fn scenario(&self) -> &Scenario {
        &self.scenario
    }

    /// The run with nothing broken.
    #[must_use]
    pub fn request(&self) -> RunRequest<'_> {
        RunRequest {
            replicate: self.replicate,
            judged_from_ms: self.plan.study.scored_from_ms,
            ..RunRequest::new(&self.scenario, self.recipe.get(), self.plan.study.seed)
        }
    }

    /// Runs the cases at these places; `done` hears of each result.
    pub fn run(&self, cases: &[usize], done: impl Fn(usize, CellResult) + Sync) {
        let request = self.request();
        let healthy = match run(&request, None) {
            Ok(scores) => scores,
            Err(error) => {
                for case in cases {
                    done(*case, CellResult::Failed(error.to_string()));
                }
                return;
            }
        };
        let around = Healthy::new(&request, RoomKind::Scenario, &healthy);
        cases.par_iter().for_each(|case| {
            done(*case, self.result(*case, &healthy, &around));
        });
    }

    fn result(&self, case: usize, healthy: &Scores, around: &Healthy<'_>) -> CellResult {
        match self.fault(case) {
            Ok(None) => CellResult::Scored(CellScores::healthy(healthy, self.scenario.duration_ms)),
            Ok(Some(fault)) => match worst_run(around, &fault) {
                Ok(worst) => CellResult::Scored(CellScores::under_fault(
                    &worst.scores,
                    worst.began_ms,
                    worst.end_ms,
                )),
                Err(error) => CellResult::Failed(error.to_string()),
            },
            Err(reason) => CellResult::Failed(reason),
        }
    }

    /// What a case breaks in this scenario; `None`: nothing.
    fn fault(&self, case: usize) -> Result<Option<FaultCase>, String> {
        let case = &self.plan.cases(self.pair)[case];
        match (case.place, case.fault(&self.scenario)) {
            (None, _) => Ok(None),
            (Some(_), Some(fault)) => Ok(Some(fault)),
            (Some(_), None) => Err(format!("with the drawn values there is no case `{}`", case.name)),
        }
    }

    /// How a cell is run again.
    ///
    /// # Errors
    /// Why it cannot be run, in words.
    pub fn replay(&self, case: usize) -> Result<Replay, String> {
        let request = self.request();
        let Some(fault) = self.fault(case)? else {
            return Ok(Replay {
                case: None,
                began_ms: None,
                judged_from_ms: request.judged_from_ms,
                end_ms: request.end_ms,
            });
        };
        let scores = run(&request, None).map_err(|error| error.to_string())?;
        let healthy = Healthy::new(&request, RoomKind::Scenario, &scores);
        let Worst {
            began_ms,
            end_ms,
            case,
            ..
        } = worst_run(&healthy, &fault).map_err(|error| error.to_string())?;
        Ok(Replay {
            case: Some(case),
            began_ms,
            judged_from_ms: began_ms.unwrap_or(0),
            end_ms,
        })
    }
}
