//! A setup, run under each of its strategies.

use serde::Serialize;
use tepid_scenarios::StrategyFile;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::scores::Scores;
use tepid_sim::time::Millis;

use crate::Mistake;
use crate::course::{Course, Recorder, Tallies};
use crate::digest::digest;
use crate::happened::{Happened, happened};
use crate::scene::{Scene, scene};
use crate::setup::Setup;

/// What came of a setup.
#[derive(Debug, Clone, Serialize)]
pub struct Played {
    /// What there is to draw.
    pub scene: Scene,
    /// One per strategy, in the setup's order.
    pub runs: Vec<Run>,
    /// The scenario that ran, as a file to keep.
    pub toml: String,
}

/// One run.
#[derive(Debug, Clone, Serialize)]
pub struct Run {
    /// The strategy's name.
    pub strategy: String,
    /// Why it gave nothing, if it did.
    pub failed: Option<String>,
    /// The course.
    pub course: Course,
    /// Scores so far.
    pub tallies: Tallies,
    /// What befell it.
    pub happened: Vec<Happened>,
    /// When it used up a dose first, ms, in any tank.
    pub used_up_ms: Option<Millis>,
    /// When a line of danger was first reached, in any tank, soonest first.
    pub reached: Vec<Reached>,
    /// The last instant of the run, ms.
    pub end_ms: Millis,
    /// Of course and scores, hexadecimal.
    pub digest: String,
}

/// A line of danger that was reached.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reached {
    /// The line, °C.
    pub temp_c: f64,
    /// Whether it is one of warmth.
    pub hot: bool,
    /// When, ms.
    pub at_ms: Millis,
}

/// Runs a setup.
///
/// # Errors
/// What is wrong with it; a strategy that cannot control the scenario is a run that failed.
pub fn play(setup: &Setup) -> Result<Played, Mistake> {
    let scenario = setup.scenario()?;
    let files = setup.strategy_files()?;
    let runs = setup
        .strategies
        .iter()
        .zip(files)
        .map(|(name, file)| one(setup, &scenario, name, file));
    Ok(Played {
        runs: runs.collect(),
        scene: scene(&scenario),
        toml: setup.scenario_toml()?,
    })
}

fn one(setup: &Setup, scenario: &Scenario, name: &str, file: Result<StrategyFile, Mistake>) -> Run {
    let mut recorder = Recorder::new(scenario);
    let outcome: Result<Scores, String> = match &file {
        Err(mistake) => Err(mistake.to_string()),
        Ok(file) => {
            let request = RunRequest::new(scenario, file.recipe.as_ref(), setup.seed);
            run(&request, Some(&mut recorder)).map_err(|error| error.to_string())
        }
    };
    let all = recorder.course.values.iter().chain(&recorder.tallies.values);
    let digest = format!("{:016x}", digest(all));
    Run {
        strategy: name.to_owned(),
        used_up_ms: outcome.as_ref().ok().and_then(used_up_ms),
        reached: outcome
            .as_ref()
            .map_or_else(|_| Vec::new(), |scores| reached(scenario, scores)),
        failed: outcome.err(),
        course: recorder.course,
        tallies: recorder.tallies,
        happened: happened(scenario, &recorder.marks),
        end_ms: scenario.duration_ms,
        digest,
    }
}

fn used_up_ms(scores: &Scores) -> Option<Millis> {
    scores
        .tanks
        .iter()
        .filter_map(tepid_sim::scores::TankScores::used_up_ms)
        .min()
}

fn reached(scenario: &Scenario, scores: &Scores) -> Vec<Reached> {
    let livestock = &scenario.livestock;
    let mut list = Vec::new();
    for (hot, lines) in [(true, &livestock.danger_hot), (false, &livestock.danger_cold)] {
        for (at, line) in lines.iter().enumerate() {
            let doses = scores
                .tanks
                .iter()
                .map(|tank| if hot { &tank.hot } else { &tank.cold });
            let first = doses
                .filter_map(|dose| dose.reached_ms.get(at).copied().flatten())
                .min();
            list.extend(first.map(|at_ms| Reached {
                temp_c: line.temp_c,
                hot,
                at_ms,
            }));
        }
    }
    list.sort_by_key(|reached| reached.at_ms);
    list
}
