//! What a report shows of each tank: the comparison, the fault matrix, the budget, courses of temperature, many runs with nothing broken, and how every
//! tank with livestock fares; each as its own command gives it.

mod commands;
mod courses;
mod ranking;

use rayon::prelude::*;
use tepid_output::records::ScenarioBlock;
use tepid_output::report::{Chapter, Input, LiveTank, OneRun, Report, StrategyRuns, TankFact};
use tepid_output::wording::Units;
use tepid_scenarios::{NO_FAULT, Report as Mistakes, named_fault_set};
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{FaultSet, Scenario};
use tepid_sim::scores::{Scores, TankScores};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::hours;

use crate::budget::budgets;
use crate::compare::{CompareError, CompareRequest, Progress, compare};
use crate::faults::{FaultsError, FaultsRequest, faults};
use commands::Asking;
pub(crate) use courses::with_fault;

/// The fault sets of the comparison, as `tepid compare` has them without any named.
pub const FAULTS: [&str; 2] = [NO_FAULT, "one contact welded"];

/// What to report on.
#[derive(Debug)]
pub struct ReportRequest<'a> {
    /// Scenarios, each with the name or file that it was asked for by.
    pub scenarios: &'a [(String, Scenario)],
    /// Strategies by name.
    pub strategies: &'a [(String, Box<dyn StrategyRecipe>)],
    /// The names or files that they were asked for by.
    pub strategies_asked: &'a [String],
    /// Changes of the scenarios as they were asked for: "heater.left.power=150 W".
    pub changes: &'a [String],
    /// Seed of weather and noise.
    pub seed: u64,
    /// Runs of each strategy with nothing broken for the distribution of outcomes.
    pub runs: u64,
    /// What its figures are read in.
    pub units: Units,
    /// The file that the report is written to, for the command that makes it again.
    pub file: &'a str,
    /// Whatever the scenarios and strategies were read from.
    pub inputs: Vec<Input>,
    /// The live tank, if the report is to carry it.
    pub live: Option<LiveTank>,
}

/// There is nothing to report.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReportError {
    /// A fault set of the comparison is not known.
    #[error("{}", .0.plain())]
    FaultSet(Box<Mistakes>),
    /// A strategy names something a scenario does not have.
    #[error(transparent)]
    Compare(#[from] CompareError),
    /// A strategy cannot control a scenario.
    #[error("{scenario}: {cause}")]
    Faults {
        /// The scenario.
        scenario: String,
        /// Why not.
        cause: FaultsError,
    },
    /// A scenario has no budget.
    #[error("{scenario}: {cause}")]
    Budget {
        /// The scenario.
        scenario: String,
        /// Why not.
        cause: RunError,
    },
}

/// Everything that the report shows.
///
/// # Errors
/// [`ReportError`] where a strategy or a scenario cannot be run at all. Runs that fail on the way are in the records.
pub fn report(request: &ReportRequest<'_>, progress: &dyn Progress) -> Result<Report, ReportError> {
    let chapters = request
        .scenarios
        .iter()
        .map(|(asked, scenario)| chapter(request, asked, scenario, progress))
        .collect::<Result<Vec<_>, _>>()?;
    let scenarios = request.scenarios.iter().map(|(_, scenario)| scenario);
    let mut ranked: Vec<_> = scenarios
        .zip(&chapters)
        .flat_map(|(scenario, chapter)| ranking::tanks(request, scenario, chapter))
        .collect();
    ranked.sort_by(ranking::first_in_danger_first);
    Ok(Report {
        seed: request.seed,
        program: concat!("tepid ", env!("CARGO_PKG_VERSION")).to_owned(),
        command: commands::whole(request),
        units: request.units,
        chapters,
        ranked,
        inputs: request.inputs.clone(),
        live: request.live.clone(),
    })
}

fn chapter(
    request: &ReportRequest<'_>,
    asked: &str,
    scenario: &Scenario,
    progress: &dyn Progress,
) -> Result<Chapter, ReportError> {
    let sets = FAULTS
        .iter()
        .map(|name| named_fault_set(scenario, name))
        .collect::<Result<Vec<FaultSet>, _>>()
        .map_err(|mistakes| ReportError::FaultSet(Box::new(mistakes)))?;
    let compared = compare(
        &CompareRequest {
            scenarios: &[(scenario.clone(), sets)],
            strategies: request.strategies,
            seed: request.seed,
            replicates: 1,
        },
        progress,
    )?;
    let matrix = faults(
        &FaultsRequest {
            scenario,
            strategies: request.strategies,
            seed: request.seed,
            pairs: false,
        },
        progress,
    )
    .map_err(|cause| ReportError::Faults {
        scenario: scenario.name.clone(),
        cause,
    })?;
    let budgets = budgets(scenario).map_err(|cause| ReportError::Budget {
        scenario: scenario.name.clone(),
        cause,
    })?;
    let asking = Asking { request, asked };
    let blocks: Vec<ScenarioBlock> = compared.scenarios;
    Ok(Chapter {
        courses: courses::courses(&asking, scenario, &matrix),
        runs: runs(request, scenario),
        tanks: scenario
            .tanks
            .iter()
            .map(|tank| TankFact {
                name: tank.name.clone(),
                water_m3: tank.water_volume_m3(),
                livestock: tank.livestock,
            })
            .collect(),
        compare_command: asking.compare(),
        faults_command: asking.faults(),
        budget_command: asking.budget(),
        runs_command: asking.runs(),
        block: blocks.into_iter().next(),
        faults: matrix,
        budgets,
    })
}

/// Every strategy with nothing broken, in as many weathers and noises as were asked for.
fn runs(request: &ReportRequest<'_>, scenario: &Scenario) -> Vec<StrategyRuns> {
    request
        .strategies
        .iter()
        .map(|(strategy, recipe)| {
            let each: Vec<Option<OneRun>> = (0..request.runs)
                .into_par_iter()
                .map(|replicate| {
                    let ask = RunRequest {
                        replicate,
                        ..RunRequest::new(scenario, recipe.as_ref(), request.seed)
                    };
                    run(&ask, None)
                        .ok()
                        .and_then(|scores| one_run(replicate, &scores))
                })
                .collect();
            StrategyRuns {
                strategy: strategy.clone(),
                runs: each.into_iter().flatten().collect(),
            }
        })
        .collect()
}

/// Of all tanks with livestock the extremes of any.
fn one_run(replicate: u64, scores: &Scores) -> Option<OneRun> {
    let largest = |of: fn(&TankScores) -> f64| scores.tanks.iter().map(of).reduce(f64::max);
    Some(OneRun {
        replicate,
        lowest_c: scores.tanks.iter().map(|tank| tank.lowest_c).reduce(f64::min)?,
        highest_c: largest(|tank| tank.highest_c)?,
        outside_band_h: largest(|tank| tank.above_band_h + tank.below_band_h)?,
        dose_used: largest(|tank| tank.hot.used.max(tank.cold.used))?,
        scored_h: hours(scores.scored_ms),
    })
}
