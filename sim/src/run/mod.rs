//! One run: a scenario, a strategy, faults and a seed give scores. A pure function.
//!
//! Order at one instant: happenings end, happenings start, contacts that sense for themselves, probes, watches, people, strategy, contacts
//! resolve. Contacts that sense for themselves act in continuous time: the stepper stops at the millisecond at which one switches.

mod alerts;
mod bill;
mod branches;
mod chains;
mod controller;
mod devices;
mod electricity;
mod happenings;
mod hazard;
mod levels;
mod lifelines;
mod loops;
mod oxygen;
mod people;
mod probes;
mod rest;
mod stopwatch;
mod supply;
mod surroundings;
mod timeline;
mod together;
mod upkeep;
mod watches;

use crate::network::{NetworkError, StepperSettings};
use crate::plant::Plant;
use crate::scenario::{BetweenSystems, Happening, Load, Scenario, WaterSystem, When};
use crate::scores::Scores;
use crate::strategy::{
    BindError, StrategyFailure, StrategyRecipe, WiredContact, WiredHeater, WiredProbe, Wiring,
};
use crate::time::Millis;
use crate::trace::TraceSink;
pub use branches::{Branch, run_branches};
use controller::Controller;
use loops::Loop;
pub use supply::TRIPS_FROM;

/// What to run.
#[derive(Debug, Clone, Copy)]
pub struct RunRequest<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Who controls.
    pub recipe: &'a dyn StrategyRecipe,
    /// Faults beside the scenario's own happenings.
    pub faults: &'a [Happening],
    /// Seed of all random numbers.
    pub seed: u64,
    /// Which of many runs with other random numbers.
    pub replicate: u64,
    /// Temperatures and alerts are judged from this instant on, ms, ≥ 0: a fault is judged by what follows it.
    pub judged_from_ms: Millis,
    /// End of the run, ms, > 0; usually the scenario's duration. The weather goes on beyond that.
    pub end_ms: Millis,
    /// How finely to step.
    pub stepper: StepperSettings,
}

impl<'a> RunRequest<'a> {
    /// The scenario's whole duration without faults.
    #[must_use]
    pub fn new(scenario: &'a Scenario, recipe: &'a dyn StrategyRecipe, seed: u64) -> Self {
        Self {
            scenario,
            recipe,
            faults: &[],
            seed,
            replicate: 0,
            judged_from_ms: 0,
            end_ms: scenario.duration_ms,
            stepper: StepperSettings::default(),
        }
    }
}

/// Why a run gave no scores.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RunError {
    /// The scenario makes no network.
    #[error(transparent)]
    Network(#[from] NetworkError),
    /// The strategy cannot control this scenario.
    #[error(transparent)]
    Bind(#[from] BindError),
    /// The strategy failed on the way.
    #[error("{}: {failure}", instant_text(*at_ms))]
    Strategy {
        /// When, ms.
        at_ms: Millis,
        /// How.
        failure: StrategyFailure,
    },
    /// A happening belongs to two water systems at once.
    #[error(transparent)]
    BetweenSystems(#[from] BetweenSystems),
    /// A temperature is no number: nothing after it means anything.
    #[error("the temperature of {node} is no number at {:.1} h: no result", crate::time::hours(*at_ms))]
    NotFinite {
        /// When it was found, ms: at most ten minutes after it came about.
        at_ms: Millis,
        /// Of what.
        node: String,
    },
    /// A happening says "worst phase": a study must choose the instant first.
    #[error("`{name}` happens at the worst phase, which a single run cannot find; give it a time")]
    UnresolvedPhase {
        /// Its name.
        name: String,
    },
}

/// An instant for people: "after 3.3 h", "in the warm-up, 22.0 h before scoring begins".
fn instant_text(at_ms: Millis) -> String {
    let at_h = crate::time::hours(at_ms);
    if at_ms < 0 {
        format!("in the warm-up, {:.1} h before scoring begins", -at_h)
    } else {
        format!("after {at_h:.1} h")
    }
}

/// A look at a run on its way.
#[derive(Debug, Clone, PartialEq)]
pub struct Glance {
    /// When, ms.
    pub at_ms: Millis,
    /// Every tank with livestock, in the scenario's order.
    pub tanks: Vec<TankGlance>,
    /// Somebody has acted on an alert.
    pub acted: bool,
}

/// A look at one tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankGlance {
    /// Temperature of the water, °C.
    pub water_c: f64,
    /// The dose of warmth is used up.
    pub hot_used_up: bool,
    /// The dose of cold is used up.
    pub cold_used_up: bool,
}

/// Says when a run has shown what was asked of it.
pub type Enough<'e> = &'e mut dyn FnMut(&Glance) -> bool;

/// Runs it.
///
/// # Errors
/// See [`RunError`].
pub fn run(request: &RunRequest<'_>, trace: Option<&mut dyn TraceSink>) -> Result<Scores, RunError> {
    carried_out(request, trace, None)
}

/// Runs it until it has shown enough, at the latest to its end: `enough` is asked every ten minutes from the instant on from which it is judged.
/// Scores are those of the time run.
///
/// # Errors
/// See [`RunError`].
pub fn run_until(request: &RunRequest<'_>, enough: Enough<'_>) -> Result<Scores, RunError> {
    carried_out(request, None, Some(enough))
}

fn carried_out(
    request: &RunRequest<'_>,
    trace: Option<&mut dyn TraceSink>,
    enough: Option<Enough<'_>>,
) -> Result<Scores, RunError> {
    let happenings: Vec<Happening> = request
        .scenario
        .happenings
        .iter()
        .chain(request.faults)
        .chain(request.scenario.acts())
        .cloned()
        .collect();
    if let Some(open) = happenings
        .iter()
        .find(|happening| happening.when == When::WorstPhase)
    {
        return Err(RunError::UnresolvedPhase {
            name: open.name.clone(),
        });
    }
    let happenings = hazard::resolved(happenings, request.seed, request.replicate);
    let systems = controlled_apart(request.scenario, request.recipe)?;
    if !systems.is_empty() {
        return together::run(request, &systems, happenings, trace, enough);
    }
    let plant = Plant::compile(request.scenario, request.faults)?;
    let controller = Controller::new(request.recipe, Wiring::of(request.scenario), &happenings)?;
    Loop::new(request, &plant, happenings, controller, trace).run(enough)
}

/// The water systems that a strategy of their own controls each; none where one controls all there is.
fn controlled_apart(
    scenario: &Scenario,
    recipe: &dyn StrategyRecipe,
) -> Result<Vec<WaterSystem>, BetweenSystems> {
    if recipe.controls_room() {
        return Ok(Vec::new());
    }
    scenario.systems()
}

/// Whether a recipe can control every water system of a scenario.
///
/// # Errors
/// As [`StrategyRecipe::bind`], for the first system that it cannot.
pub fn binds(scenario: &Scenario, recipe: &dyn StrategyRecipe) -> Result<(), BindError> {
    if recipe.controls_room()
        && let Err(error) = Plant::compile(scenario, &[])
    {
        return Err(BindError::DoesNotApply {
            missing: format!("one strategy cannot control all tanks: {error}"),
        });
    }
    match controlled_apart(scenario, recipe) {
        Ok(systems) if !systems.is_empty() => together::binds(&systems, recipe),
        // What belongs to two systems at once is told by the run.
        _ => recipe.bind(&Wiring::of(scenario)).map(|_| ()),
    }
}

impl Wiring {
    /// What a keeper can see of a scenario.
    #[must_use]
    pub fn of(scenario: &Scenario) -> Self {
        let tank_name = |tank: crate::ids::TankId| scenario.tanks[tank.0].name.clone();
        let behind = |contact: usize| scenario.behind(crate::ids::ContactId(contact));
        Self {
            target_c: scenario.water.target_c,
            band_c: scenario.water.band_c,
            probes: scenario
                .probes
                .iter()
                .map(|probe| WiredProbe {
                    name: probe.name.clone(),
                    tank: probe.tank.map(tank_name),
                    purpose: probe.purpose,
                })
                .collect(),
            contacts: scenario
                .contacts
                .iter()
                .enumerate()
                .map(|(index, contact)| WiredContact {
                    name: contact.name.clone(),
                    kind: contact.kind,
                    role: contact.role,
                    power_w: behind(index).map(|load| scenario.rated_w(load)).sum::<f64>()
                        + scenario.room.device_w(contact.role),
                    only_chillers: behind(index).next().is_some()
                        && behind(index).all(|load| matches!(load, Load::Chiller(_))),
                })
                .collect(),
            heaters: scenario
                .heaters
                .iter()
                .map(|heater| WiredHeater {
                    name: heater.name.clone(),
                    tank: tank_name(heater.tank),
                    power_w: heater.power_w,
                    chain: heater.chain.clone(),
                })
                .collect(),
        }
    }
}
