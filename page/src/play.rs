//! A setup, run under each of its strategies.

use serde::Serialize;
use tepid_scenarios::StrategyFile;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::scores::Scores;
use tepid_sim::time::Millis;
use tepid_sim::trace::TraceSink;
use tepid_strategies::guard::find_guard;

use crate::Mistake;
use crate::course::{Course, Recorder, Tallies};
use crate::digest::digest;
use crate::happened::{Alerted, Happened, alerted, happened};
use crate::keep::Kept;
use crate::scene::{Scene, scene};
use crate::setup::Setup;

/// What came of a setup.
#[derive(Debug, Clone, Serialize)]
pub struct Played {
    /// What there is to draw.
    pub scene: Scene,
    /// One per strategy, in the setup's order.
    pub runs: Vec<Run>,
    /// The scenario that ran.
    pub kept: Kept,
}

/// One run.
#[derive(Debug, Clone, Serialize)]
pub struct Run {
    /// The strategy's name.
    pub strategy: String,
    /// What decides: the strategy, then each guard around it.
    pub workers: Vec<Worker>,
    /// What they are set to, in a line.
    pub settings: String,
    /// Its file, where it is more than a name of the program.
    pub kept: Option<Kept>,
    /// What runs it again in the program.
    pub command: String,
    /// Why it gave nothing, if it did.
    pub failed: Option<String>,
    /// The course.
    pub course: Course,
    /// Scores so far.
    pub tallies: Tallies,
    /// What befell it.
    pub happened: Vec<Happened>,
    /// Every alert.
    pub alerts: Vec<Alerted>,
    /// When it used up a dose first, ms, in any tank.
    pub used_up_ms: Option<Millis>,
    /// When a line of danger was first reached, in any tank, soonest first.
    pub reached: Vec<Reached>,
    /// The last instant of the run, ms.
    pub end_ms: Millis,
    /// Of course and scores, hexadecimal.
    pub digest: String,
}

/// A strategy of the program, or a guard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Worker {
    /// Name.
    pub name: &'static str,
    /// What it does, one line.
    pub summary: &'static str,
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
    let kept = setup.kept_strategies()?.into_iter().zip(setup.commands()?);
    let each = setup.strategies.iter().zip(files).zip(kept);
    let runs = each.map(|((name, file), (kept, command))| Run {
        kept,
        command,
        ..one(setup, &scenario, name, file)
    });
    Ok(Played {
        runs: runs.collect(),
        scene: scene(&scenario),
        kept: setup.kept_scenario()?,
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
    // The run ends before it would tell its scores for the last time.
    if let Ok(scores) = &outcome
        && scenario.duration_ms % recorder.tallies.every_ms == 0
    {
        recorder.scores(scenario.duration_ms, scores);
    }
    let all = recorder.course.values.iter().chain(&recorder.tallies.values);
    let digest = format!("{:016x}", digest(all));
    Run {
        strategy: name.to_owned(),
        workers: file.as_ref().map_or_else(|_| Vec::new(), workers),
        settings: file
            .as_ref()
            .map_or_else(|_| String::new(), |file| file.recipe.settings()),
        kept: None,
        command: String::new(),
        used_up_ms: outcome.as_ref().ok().and_then(used_up_ms),
        reached: outcome
            .as_ref()
            .map_or_else(|_| Vec::new(), |scores| reached(scenario, scores)),
        failed: outcome.err(),
        course: recorder.course,
        tallies: recorder.tallies,
        happened: happened(scenario, &recorder.marks),
        alerts: alerted(&recorder.marks),
        end_ms: scenario.duration_ms,
        digest,
    }
}

fn workers(file: &StrategyFile) -> Vec<Worker> {
    let strategy = tepid_strategies::find(file.strategy).map(|entry| Worker {
        name: entry.name,
        summary: entry.summary,
    });
    let guards = file.guards.iter().filter_map(|name| find_guard(name));
    let guards = guards.map(|entry| Worker {
        name: entry.name,
        summary: entry.summary,
    });
    strategy.into_iter().chain(guards).collect()
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
