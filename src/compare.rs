//! Strategies side by side on scenarios, with and without faults.
//!
//! Every strategy meets the same weather, noise and draws. Cells run on all threads; results are put together in the order asked for, so the
//! record is the same bits at any number of threads.

use rayon::prelude::*;
use tepid_output::cautions::{self, Cautioned};
use tepid_output::records::{
    ClosingsByBody, Comparison, FORMAT_VERSION, FaultOutcome, Livestock, RecordKind, RoomKind, ScenarioBlock,
    Severity, Standing, StrategyRow,
};
use tepid_sim::run::{RunError, RunRequest, binds, run};
use tepid_sim::scenario::{FaultCase, FaultSet, Happening, Scenario};
use tepid_sim::scores::{Scores, trial_instants};
use tepid_sim::strategy::{BindError, StrategyRecipe};
use tepid_sim::time::hours;

use crate::alerts::somebody_acts;
use crate::exposure::{self, HORIZON_MS, Healthy};
use crate::summary::summary;
use crate::{closings, mixing, rooms, valid_range};

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
    /// One failed, and why.
    fn failed(&self, _piece: &str, _reason: &str) {}
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
    let applied_rows = request
        .strategies
        .par_iter()
        .map(|(name, recipe)| match binds(scenario, recipe.as_ref()) {
            Ok(()) => Ok(applied(request, scenario, sets, name, recipe.as_ref(), progress)),
            Err(BindError::DoesNotApply { missing }) => Ok(Applied {
                row: StrategyRow {
                    does_not_apply: Some(missing),
                    ..blank_row(name, recipe.as_ref())
                },
                room_c: None,
            }),
            Err(cause) => Err(CompareError::Bind {
                strategy: name.clone(),
                scenario: scenario.name.clone(),
                cause,
            }),
        })
        .collect::<Result<Vec<_>, _>>()?;
    let room_c = widest(applied_rows.iter().filter_map(|applied| applied.room_c));
    let rows: Vec<StrategyRow> = applied_rows.into_iter().map(|applied| applied.row).collect();
    let looked_to_ms = scenario.duration_ms.max(HORIZON_MS);
    let mut block = ScenarioBlock {
        name: scenario.name.clone(),
        title: scenario.title.clone(),
        target_c: scenario.water.target_c,
        band_c: [scenario.water.band_c.0, scenario.water.band_c.1],
        duration_h: hours(scenario.duration_ms),
        rooms: rooms::ROOMS
            .map(|room| rooms::block(scenario, room, request.seed, looked_to_ms, room_c))
            .to_vec(),
        livestock: Livestock::from(&scenario.livestock),
        has_alerts: !scenario.watches.is_empty(),
        somebody_acts: somebody_acts(scenario),
        assumptions: scenario.assumptions.clone(),
        cautions: Vec::new(),
        warnings: mixing::warnings_of_sets(scenario, sets),
        trial_instants_h: trial_instants(scenario).into_iter().map(hours).collect(),
        rows,
        verdict: Vec::new(),
    };
    block.warnings.extend(valid_range::of_rows(&block.rows));
    block.cautions = block_cautions(scenario, sets, &block.rows);
    block.judge();
    Ok(block)
}

/// Cautions of the equipment, of the scenario's own happenings, of every fault tried and of heaters that ran dry.
fn block_cautions(scenario: &Scenario, sets: &[FaultSet], rows: &[StrategyRow]) -> Vec<Cautioned> {
    let mut all = cautions::for_happenings(scenario, scenario.happenings.iter().chain(tried(sets)));
    all.extend(cautions::for_equipment(scenario));
    for row in rows {
        let unbroken = row.healthy.as_ref().and_then(|healthy| healthy.hottest_body_c);
        let unbroken = unbroken.map(|hottest| ("with nothing broken", hottest.worst));
        let broken = row
            .faults
            .iter()
            .filter_map(|outcome| Some((outcome.case.as_str(), outcome.hottest_body_c?)));
        all.extend(
            unbroken
                .into_iter()
                .chain(broken)
                .filter_map(|(case, body_c)| cautions::for_body(case, body_c)),
        );
    }
    cautions::gathered(all)
}

fn tried(sets: &[FaultSet]) -> impl Iterator<Item = &Happening> {
    sets.iter()
        .flat_map(|set| &set.cases)
        .flat_map(FaultCase::happenings)
}

fn blank_row(name: &str, recipe: &dyn StrategyRecipe) -> StrategyRow {
    StrategyRow {
        strategy: name.to_owned(),
        settings: recipe.settings(),
        does_not_apply: None,
        healthy: None,
        closings_by_body: None,
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
) -> Applied {
    let cases: Vec<_> = sets
        .iter()
        .flat_map(|set| set.cases.iter().map(move |case| (set, case)))
        .collect();
    let cells: Vec<(u64, RoomKind)> = (0..request.replicates)
        .flat_map(|replicate| rooms::ROOMS.map(|room| (replicate, room)))
        .filter(|(_, room)| *room == RoomKind::Scenario || !cases.is_empty())
        .collect();
    let done: Vec<Cell> = cells
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
            let closings_by_body = healthy
                .as_ref()
                .ok()
                .filter(|_| *room == RoomKind::Scenario && *replicate == 0)
                .and_then(|scores| closings::by_body(&ask, scores));
            Cell {
                room: *room,
                healthy,
                outcomes,
                closings_by_body,
            }
        })
        .collect();
    let mut row = blank_row(name, recipe);
    let mut healthy_runs = Vec::new();
    for cell in done {
        row.closings_by_body = row.closings_by_body.or(cell.closings_by_body);
        match cell.healthy {
            Ok(scores) if cell.room == RoomKind::Scenario => healthy_runs.push(scores),
            Ok(_) => {}
            Err(error) => fail(&mut row, &error.to_string()),
        }
        for outcome in cell.outcomes {
            if let Some(failure) = &outcome.failure {
                fail(&mut row, failure);
            }
            keep_worst(&mut row.faults, outcome);
        }
    }
    row.healthy = summary(scenario, &healthy_runs);
    let rooms_c = healthy_runs
        .iter()
        .map(|scores| (scores.room.lowest_c, scores.room.highest_c));
    Applied {
        row,
        room_c: widest(rooms_c),
    }
}

/// The range that holds all ranges.
fn widest(ranges: impl Iterator<Item = (f64, f64)>) -> Option<(f64, f64)> {
    ranges.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// One strategy's row, and how cold and warm its runs with nothing broken had the scenario's own room, °C.
struct Applied {
    row: StrategyRow,
    room_c: Option<(f64, f64)>,
}

/// The run of a replicate in a room with nothing broken, and what every fault case does to it.
struct Cell {
    room: RoomKind,
    healthy: Result<Scores, RunError>,
    outcomes: Vec<FaultOutcome>,
    closings_by_body: Option<ClosingsByBody>,
}

fn fail(row: &mut StrategyRow, reason: &str) {
    if !row.failures.iter().any(|known| known == reason) {
        row.failures.push(reason.to_owned());
    }
}

/// Keeps the worst replicate of each case and room.
fn keep_worst(outcomes: &mut Vec<FaultOutcome>, outcome: FaultOutcome) {
    let rank = |outcome: &FaultOutcome| (outcome.failure.is_some(), Severity::of(outcome));
    let same = |known: &FaultOutcome| {
        known.set == outcome.set && known.case == outcome.case && known.room == outcome.room
    };
    match outcomes.iter_mut().find(|known| same(known)) {
        Some(known) if rank(known) < rank(&outcome) => *known = outcome,
        Some(_) => {}
        None => outcomes.push(outcome),
    }
}
