//! The fault matrix: every fault of a scenario under some strategies, in the scenario's own room and in rooms as cold and as warm as the year gets;
//! what stopped each; the single points of failure, and the smallest change that removes each.
//!
//! Cases run on all threads; results are put together in a fixed order, so the record is the same bits at any number of threads.

mod change;
mod edits;
mod exceeded;
mod follow;
mod held;
mod matrix;
mod pairs;
mod set_up;
mod single_points;
mod stuck;

use tepid_output::cautions::{self, Caution, Cautioned};
use tepid_output::records::{
    FORMAT_VERSION, FaultMatrix, FaultRow, Livestock, RecordKind, RoomKind, StrategyFaults,
};
use tepid_scenarios::fault_sets;
use tepid_sim::run::{RunError, binds};
use tepid_sim::scenario::{FaultSet, Scenario};
use tepid_sim::scores::trial_instants;
use tepid_sim::strategy::{BindError, StrategyRecipe};
use tepid_sim::time::hours;

use crate::alerts::somebody_acts;
use crate::compare::Progress;
use crate::exposure::HORIZON_MS;
use crate::{mixing, rooms};
pub(crate) use follow::happenings_from;
use set_up::SetUp;

/// What to look at.
#[derive(Debug)]
pub struct FaultsRequest<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Strategies by name.
    pub strategies: &'a [(String, Box<dyn StrategyRecipe>)],
    /// Seed of weather and noise.
    pub seed: u64,
    /// Also tries every pair of faults that each stay below the dose alone.
    pub pairs: bool,
}

/// A strategy cannot control the scenario.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("strategy `{strategy}`: {cause}")]
pub struct FaultsError {
    /// The strategy.
    pub strategy: String,
    /// Why not.
    pub cause: BindError,
}

/// The matrix.
///
/// # Errors
/// [`FaultsError`] for a strategy that does not apply or names what is not there.
pub fn faults(request: &FaultsRequest<'_>, progress: &dyn Progress) -> Result<FaultMatrix, FaultsError> {
    let scenario = request.scenario;
    for (name, recipe) in request.strategies {
        binds(scenario, recipe.as_ref()).map_err(|cause| FaultsError {
            strategy: name.clone(),
            cause,
        })?;
    }
    let sets = fault_sets(scenario);
    let offered = edits::offered(scenario);
    let strategies: Vec<StrategyFaults> = request
        .strategies
        .iter()
        .map(|(name, recipe)| {
            let study = Study {
                scenario,
                recipe: recipe.as_ref(),
                seed: request.seed,
                sets: &sets,
                progress,
            };
            study.strategy(name, request.pairs, &offered)
        })
        .collect();
    let looked_to_ms = scenario.duration_ms.max(HORIZON_MS);
    Ok(FaultMatrix {
        format: RecordKind::Faults,
        version: FORMAT_VERSION,
        seed: request.seed,
        scenario: scenario.name.clone(),
        title: scenario.title.clone(),
        target_c: scenario.water.target_c,
        band_c: [scenario.water.band_c.0, scenario.water.band_c.1],
        rooms: rooms::ROOMS
            .map(|room| {
                let had_c = strategies.iter().find_map(|one| room_had_c(&one.faults, room));
                rooms::block(scenario, room, request.seed, looked_to_ms, had_c)
            })
            .to_vec(),
        livestock: Livestock::from(&scenario.livestock),
        trial_instants_h: trial_instants(scenario).into_iter().map(hours).collect(),
        somebody_acts: somebody_acts(scenario),
        changes_offered: offered,
        warnings: mixing::warnings_of_sets(scenario, &sets),
        assumptions: scenario.assumptions.clone(),
        cautions: all_cautions(scenario, &sets, &strategies),
        strategies,
    })
}

/// What all steps of one strategy's study share.
#[derive(Clone, Copy)]
struct Study<'a> {
    scenario: &'a Scenario,
    recipe: &'a dyn StrategyRecipe,
    seed: u64,
    sets: &'a [FaultSet],
    progress: &'a dyn Progress,
}

impl Study<'_> {
    fn strategy(&self, name: &str, pairs: bool, offered: &[tepid_output::records::Edit]) -> StrategyFaults {
        let mut record = StrategyFaults {
            strategy: name.to_owned(),
            settings: self.recipe.settings(),
            held: None,
            faults: Vec::new(),
            pairs: None,
            exposure: Vec::new(),
            single_points: Vec::new(),
            failures: Vec::new(),
        };
        if let Err(error) = self.fill(&mut record, pairs, offered) {
            record.failures.push(error.to_string());
        }
        let rows = record.faults.iter().chain(record.pairs.iter().flatten());
        for failure in rows.filter_map(|row| row.outcome.failure.as_ref()) {
            if !record.failures.contains(failure) {
                record.failures.push(failure.clone());
            }
        }
        record
    }

    fn fill(
        &self,
        record: &mut StrategyFaults,
        pairs: bool,
        offered: &[tepid_output::records::Edit],
    ) -> Result<(), RunError> {
        let present = SetUp::new(self.scenario.clone(), self.recipe, self.seed)?;
        let healthy = present.healthy(self.recipe, self.seed);
        record.held = Some(held::held(&present, self.recipe, self.seed)?);
        record.faults = matrix::rows(self, &healthy);
        record.exposure = stuck::exposures(self, &record.faults)?;
        if pairs {
            record.pairs = Some(pairs::rows(self, &healthy, &record.faults));
        }
        record.single_points = single_points::single_points(self, &present, &record.faults, offered);
        Ok(())
    }
}

/// How cold and warm a computed room got in all rows, °C.
fn room_had_c(rows: &[FaultRow], room: RoomKind) -> Option<(f64, f64)> {
    rows.iter()
        .map(|row| &row.outcome)
        .filter(|outcome| outcome.room == room && outcome.room_lowest_c.is_finite())
        .map(|outcome| (outcome.room_lowest_c, outcome.room_highest_c))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// Cautions of the equipment, of all that was broken, of heaters that ran dry, and of whoever takes a change from here to a real tank.
fn all_cautions(scenario: &Scenario, sets: &[FaultSet], strategies: &[StrategyFaults]) -> Vec<Cautioned> {
    let tried = sets.iter().flat_map(|set| &set.cases);
    let broken = tried.flat_map(tepid_sim::scenario::FaultCase::happenings);
    let mut all = cautions::for_happenings(scenario, scenario.happenings.iter().chain(broken));
    all.extend(cautions::for_equipment(scenario));
    all.extend(run_dry(strategies));
    if strategies.iter().any(|one| !one.single_points.is_empty()) {
        for caution in [
            Caution::MainsNearWater,
            Caution::LocalRules,
            Caution::NoCertificate,
        ] {
            all.push(caution.because("changes of the set-up"));
        }
    }
    cautions::gathered(all)
}

/// Every fault under which a heater ran dry, once, with the hottest body of all rooms and strategies.
fn run_dry(strategies: &[StrategyFaults]) -> Vec<Cautioned> {
    let mut hottest: Vec<(&str, f64)> = Vec::new();
    for row in strategies.iter().flat_map(|one| &one.faults) {
        let case = row.outcome.case.as_str();
        let body_c = row.outcome.hottest_body_c.unwrap_or(f64::NEG_INFINITY);
        match hottest.iter_mut().find(|(known, _)| *known == case) {
            Some((_, hottest_c)) => *hottest_c = hottest_c.max(body_c),
            None => hottest.push((case, body_c)),
        }
    }
    let dry = hottest
        .into_iter()
        .filter_map(|(case, body_c)| cautions::for_body(case, body_c));
    dry.collect()
}
