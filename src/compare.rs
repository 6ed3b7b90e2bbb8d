//! Strategies side by side on scenarios, with and without faults.
//!
//! Every strategy meets the same weather, noise and draws. Cells run on all threads; results are put together in the order asked for, so the
//! record is the same bits at any number of threads.

use rayon::prelude::*;
use tepid_output::cautions::{self, Cautioned};
use tepid_output::records::{
    Comparison, ContactWear, DangerLine, FORMAT_VERSION, FaultOutcome, HealthySummary, Livestock, RecordKind,
    RoomKind, ScenarioBlock, Spread, Standing, StrategyRow,
};
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{FaultCase, FaultSet, Scenario};
use tepid_sim::scores::{Scores, TankScores};
use tepid_sim::strategy::{BindError, StrategyRecipe, Wiring};
use tepid_sim::time::{days, hours};

use crate::exposure::{self, HORIZON_MS, Healthy};
use crate::rooms;

/// What to compare.
#[derive(Debug)]
pub struct CompareRequest<'a> {
    /// Scenarios, each with its fault sets (an empty set adds nothing).
    pub scenarios: &'a [(Scenario, Vec<FaultSet>)],
    /// Strategies by name.
    pub strategies: &'a [(String, Box<dyn StrategyRecipe>)],
    /// Seed of weather and noise.
    pub seed: u64,
    /// Runs of each cell with other random numbers, ≥ 1.
    pub replicates: u64,
}

/// The comparison could not be made at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompareError {
    /// A strategy names something a scenario does not have.
    #[error("strategy `{strategy}` on scenario `{scenario}`: {cause}")]
    Bind {
        /// The strategy.
        strategy: String,
        /// The scenario.
        scenario: String,
        /// What is unknown.
        cause: BindError,
    },
}

/// Hears of every finished piece of work.
pub trait Progress: Sync {
    /// How many pieces there will be.
    fn expect(&self, pieces: u64);
    /// One more is done.
    fn done(&self);
}

/// Nobody listens.
#[derive(Debug, Clone, Copy)]
pub struct Silent;

impl Progress for Silent {
    fn expect(&self, _pieces: u64) {}
    fn done(&self) {}
}

/// Compares.
///
/// # Errors
/// [`CompareError`] if a strategy asks for a probe or contact by a name that a scenario lacks. Runs that fail on the way are in the record.
pub fn compare(request: &CompareRequest<'_>, progress: &dyn Progress) -> Result<Comparison, CompareError> {
    let pieces: u64 = request
        .scenarios
        .iter()
        .map(|(_, sets)| {
            let cases: usize = sets.iter().map(|set| set.cases.len()).sum();
            request.strategies.len() as u64 * request.replicates * (1 + 3 * cases as u64)
        })
        .sum();
    progress.expect(pieces);
    let scenarios = request
        .scenarios
        .iter()
        .map(|(scenario, sets)| block(request, scenario, sets, progress))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(Comparison {
        format: RecordKind::Comparison,
        version: FORMAT_VERSION,
        seed: request.seed,
        replicates: u32::try_from(request.replicates).unwrap_or(u32::MAX),
        scenarios,
    })
}

fn block(
    request: &CompareRequest<'_>,
    scenario: &Scenario,
    sets: &[FaultSet],
    progress: &dyn Progress,
) -> Result<ScenarioBlock, CompareError> {
    let wiring = Wiring::of(scenario);
    let rows = request
        .strategies
        .par_iter()
        .map(|(name, recipe)| match recipe.bind(&wiring) {
            Ok(_) => Ok(applied(request, scenario, sets, name, recipe.as_ref(), progress)),
            Err(BindError::DoesNotApply { missing }) => Ok(StrategyRow {
                does_not_apply: Some(missing),
                ..blank_row(name, recipe.as_ref())
            }),
            Err(cause) => Err(CompareError::Bind {
                strategy: name.clone(),
                scenario: scenario.name.clone(),
                cause,
            }),
        })
        .collect::<Result<Vec<_>, _>>()?;
    let line = |line: &tepid_sim::scenario::DangerLine| DangerLine {
        temp_c: line.temp_c,
        allowed_h: line.allowed_ms.map(hours),
    };
    let looked_to_ms = scenario.duration_ms.max(HORIZON_MS);
    let mut block = ScenarioBlock {
        name: scenario.name.clone(),
        title: scenario.title.clone(),
        target_c: scenario.water.target_c,
        band_c: [scenario.water.band_c.0, scenario.water.band_c.1],
        duration_h: hours(scenario.duration_ms),
        rooms: rooms::ROOMS
            .map(|room| rooms::block(scenario, room, request.seed, looked_to_ms))
            .to_vec(),
        livestock: Livestock {
            kind: scenario.livestock.kind.clone(),
            source: scenario.livestock.source.clone(),
            danger_hot: scenario.livestock.danger_hot.iter().map(line).collect(),
            danger_cold: scenario.livestock.danger_cold.iter().map(line).collect(),
        },
        assumptions: scenario.assumptions.clone(),
        cautions: block_cautions(scenario, sets),
        rows,
        verdict: Vec::new(),
    };
    block.judge();
    Ok(block)
}

/// Cautions of the equipment, of the scenario's own happenings and of every fault tried.
fn block_cautions(scenario: &Scenario, sets: &[FaultSet]) -> Vec<Cautioned> {
    let tried = sets
        .iter()
        .flat_map(|set| &set.cases)
        .flat_map(FaultCase::happenings);
    let mut all = cautions::for_happenings(scenario.happenings.iter().chain(tried));
    all.extend(cautions::for_equipment(scenario));
    cautions::gathered(all)
}

fn blank_row(name: &str, recipe: &dyn StrategyRecipe) -> StrategyRow {
    StrategyRow {
        strategy: name.to_owned(),
        settings: recipe.settings(),
        does_not_apply: None,
        healthy: None,
        faults: Vec::new(),
        standing: Standing::NotJudged,
        best_in: Vec::new(),
        failures: Vec::new(),
    }
}

fn applied(
    request: &CompareRequest<'_>,
    scenario: &Scenario,
    sets: &[FaultSet],
    name: &str,
    recipe: &dyn StrategyRecipe,
    progress: &dyn Progress,
) -> StrategyRow {
    let cases: Vec<_> = sets
        .iter()
        .flat_map(|set| set.cases.iter().map(move |case| (set, case)))
        .collect();
    let cells: Vec<(u64, RoomKind)> = (0..request.replicates)
        .flat_map(|replicate| rooms::ROOMS.map(|room| (replicate, room)))
        .filter(|(_, room)| *room == RoomKind::Scenario || !cases.is_empty())
        .collect();
    // One cell: the healthy run of a replicate in a room, and what every fault case does to it.
    let done: Vec<(RoomKind, Result<Scores, RunError>, Vec<FaultOutcome>)> = cells
        .par_iter()
        .map(|(replicate, room)| {
            let placed = rooms::in_room(scenario, *room);
            let ask = RunRequest {
                replicate: *replicate,
                ..RunRequest::new(&placed, recipe, request.seed)
            };
            let healthy = run(&ask, None);
            if *room == RoomKind::Scenario {
                progress.done();
            }
            let outcomes = match &healthy {
                Ok(scores) => {
                    let healthy = Healthy::new(&ask, *room, scores);
                    cases
                        .par_iter()
                        .map(|(set, case)| {
                            let outcome = exposure::outcome(&healthy, &set.name, case);
                            progress.done();
                            outcome
                        })
                        .collect()
                }
                Err(_) => Vec::new(),
            };
            (*room, healthy, outcomes)
        })
        .collect();
    let mut row = blank_row(name, recipe);
    let mut healthy_runs = Vec::new();
    for (room, healthy, outcomes) in done {
        match healthy {
            Ok(scores) if room == RoomKind::Scenario => healthy_runs.push(scores),
            Ok(_) => {}
            Err(error) => fail(&mut row, &error.to_string()),
        }
        for outcome in outcomes {
            if let Some(failure) = &outcome.failure {
                fail(&mut row, failure);
            }
            keep_worst(&mut row.faults, outcome);
        }
    }
    row.healthy = summary(scenario, &healthy_runs);
    row
}

fn fail(row: &mut StrategyRow, reason: &str) {
    if !row.failures.iter().any(|known| known == reason) {
        row.failures.push(reason.to_owned());
    }
}

/// Keeps the worst replicate of each case and room.
fn keep_worst(outcomes: &mut Vec<FaultOutcome>, outcome: FaultOutcome) {
    let severity = |outcome: &FaultOutcome| {
        let taken_past = outcome.taken_past_h().is_some();
        let (dose, extreme_k) = (
            outcome.added_dose().unwrap_or(0.0),
            outcome.added_extreme_k().unwrap_or(0.0),
        );
        (outcome.failure.is_some(), taken_past, dose, extreme_k)
    };
    let same = |known: &FaultOutcome| {
        known.set == outcome.set && known.case == outcome.case && known.room == outcome.room
    };
    match outcomes.iter_mut().find(|known| same(known)) {
        Some(known) if severity(known) < severity(&outcome) => *known = outcome,
        Some(_) => {}
        None => outcomes.push(outcome),
    }
}

/// The healthy runs in one summary; `None` without any.
fn summary(scenario: &Scenario, runs: &[Scores]) -> Option<HealthySummary> {
    let worst = runs.iter().max_by(|a, b| {
        let key = |scores: &Scores| {
            let tank = scores.tanks.get(scores.worst_tank);
            tank.map_or(0.0, |tank| tank.overshoot_k.max(tank.undershoot_k))
        };
        key(a).total_cmp(&key(b))
    })?;
    let tank_index = worst.worst_tank;
    let tanks: Vec<&TankScores> = runs
        .iter()
        .filter_map(|scores| scores.tanks.get(tank_index))
        .collect();
    let of = |value: fn(&TankScores) -> f64| -> Vec<f64> { tanks.iter().map(|tank| value(tank)).collect() };
    let some_of = |value: fn(&TankScores) -> Option<f64>| -> Vec<f64> {
        tanks.iter().filter_map(|tank| value(tank)).collect()
    };
    let each = |value: &dyn Fn(&Scores) -> f64| -> Vec<f64> { runs.iter().map(value).collect() };
    let largest = |values: Vec<f64>| Spread::largest_is_worst(&values);
    let hottest: Vec<f64> = runs
        .iter()
        .filter_map(|scores| {
            scores
                .heaters
                .iter()
                .map(|heater| heater.hottest_body_c)
                .reduce(f64::max)
        })
        .collect();
    Some(HealthySummary {
        tank: worst.tanks.get(tank_index)?.tank.clone(),
        mean_c: largest(of(|tank| tank.mean_c)).map(|spread| spread.mean),
        highest_c: largest(of(|tank| tank.highest_c)),
        lowest_c: Spread::smallest_is_worst(&of(|tank| tank.lowest_c)),
        overshoot_k: largest(of(|tank| tank.overshoot_k)),
        undershoot_k: largest(of(|tank| tank.undershoot_k)),
        above_band_h: largest(of(|tank| tank.above_band_h)),
        below_band_h: largest(of(|tank| tank.below_band_h)),
        rms_deviation_k: largest(of(|tank| tank.rms_deviation_k)),
        fastest_per_hour_k: largest(some_of(|tank| tank.fastest_per_hour_k)),
        fastest_per_day_k: largest(some_of(|tank| tank.fastest_per_day_k)),
        hot_dose: largest(of(|tank| tank.hot.used)),
        cold_dose: largest(of(|tank| tank.cold.used)),
        contacts: contacts(scenario, runs),
        energy_kwh: largest(each(&|scores| scores.energy_kwh)),
        cost: largest(runs.iter().filter_map(|scores| scores.cost).collect()),
        evaporated_l_per_day: largest(each(&|scores| scores.evaporated_kg / days(scores.scored_ms))),
        hottest_body_c: largest(hottest),
    })
}

/// Wear of every contact that takes commands or senses for itself.
fn contacts(scenario: &Scenario, runs: &[Scores]) -> Vec<ContactWear> {
    let switching = scenario
        .contacts
        .iter()
        .enumerate()
        .filter(|(_, contact)| contact.role.is_some() || contact.own_sensing.is_some());
    switching
        .filter_map(|(index, contact)| {
            let of_runs = runs.iter().map(|scores| &scores.contacts[index]);
            let closings: Vec<f64> = of_runs.clone().map(|scores| scores.closings_per_day).collect();
            let lives: Vec<f64> = of_runs.filter_map(|scores| scores.life_years).collect();
            Some(ContactWear {
                contact: contact.name.clone(),
                closings_per_day: Spread::largest_is_worst(&closings)?,
                life_years: Spread::smallest_is_worst(&lives),
            })
        })
        .collect()
}
