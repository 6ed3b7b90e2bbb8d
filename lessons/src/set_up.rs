//! What a lesson runs.

use tepid_scenarios::{StrategyFile, scenario_text, strategy_text};
use tepid_sim::run::RunRequest;
use tepid_sim::scenario::{Lasts, Origin, Scenario, When};
use tepid_sim::time::Millis;

use crate::lesson::{Lesson, LessonError};

/// The seed of every lesson: the program's own, so that what a class tries by hand meets the same weather.
const SEED: u64 = 7;

/// One tank under one strategy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetUp {
    /// What it is called in tables and pictures: "one heater of 400 W".
    pub label: &'static str,
    /// Its scenario, as a file.
    pub scenario: String,
    /// Its strategy, as a file.
    pub strategy: String,
}

impl SetUp {
    /// A set-up under plain on-off control.
    pub(crate) fn on_off(label: &'static str, scenario: String) -> Self {
        Self::under(label, scenario, "strategy = \"on-off\"\n".to_owned())
    }

    /// A set-up under a strategy of its own.
    pub(crate) fn under(label: &'static str, scenario: String, strategy: String) -> Self {
        Self {
            label,
            scenario,
            strategy,
        }
    }
}

/// A set-up, ready to run.
#[derive(Debug)]
pub struct Prepared {
    /// What it was made from.
    pub set_up: SetUp,
    /// The scenario.
    pub scenario: Scenario,
    /// The strategy.
    pub strategy: StrategyFile,
}

impl Prepared {
    /// What to run.
    #[must_use]
    pub fn request(&self) -> RunRequest<'_> {
        RunRequest::new(&self.scenario, self.strategy.recipe.as_ref(), SEED)
    }

    /// When what the lesson breaks begins and ends, ms; `None`: it breaks nothing.
    #[must_use]
    pub fn failure_ms(&self) -> Option<(Millis, Millis)> {
        failure_ms(&self.scenario)
    }
}

/// When the first fault of a scenario begins and ends, ms.
pub(crate) fn failure_ms(scenario: &Scenario) -> Option<(Millis, Millis)> {
    let mut faults = scenario
        .happenings
        .iter()
        .filter(|one| one.origin == Origin::Fault);
    faults.find_map(|one| match (one.when, one.lasts) {
        (When::At(at_ms), Lasts::For(lasts_ms)) => Some((at_ms, at_ms + lasts_ms)),
        (When::At(at_ms), Lasts::ToTheEnd) => Some((at_ms, Millis::MAX)),
        _ => None,
    })
}

/// Makes the set-ups of a lesson ready.
///
/// # Errors
/// A set-up with a mistake in it, which would be one of ours: a test makes them all ready.
pub fn prepare(lesson: &Lesson) -> Result<Vec<Prepared>, LessonError> {
    let one = |set_up: SetUp| {
        let label = set_up.label;
        let mistaken = |report| LessonError::SetUp {
            label,
            report: Box::new(report),
        };
        Ok(Prepared {
            scenario: scenario_text(set_up.label, &set_up.scenario).map_err(mistaken)?,
            strategy: strategy_text(set_up.label, &set_up.strategy).map_err(mistaken)?,
            set_up,
        })
    };
    (lesson.set_ups)().into_iter().map(one).collect()
}
