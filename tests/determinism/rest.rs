//! Clause: decisions that a run leaves out would have changed nothing. Watched: a strategy that promises rest too long, a probe that
//! freezes, a controller that comes back, an announcement.

use tepid_scenarios::{fault_sets, library};
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{Happening, Scenario, When};
use tepid_sim::scores::Scores;
use tepid_sim::strategy::{BindError, Commands, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};

/// The same strategy, asked every time.
#[derive(Debug)]
struct Restless<'a>(&'a dyn StrategyRecipe);

struct Asked(Box<dyn Strategy>);

impl StrategyRecipe for Restless<'_> {
    fn name(&self) -> &str {
        self.0.name()
    }

    fn settings(&self) -> String {
        self.0.settings()
    }

    fn interval_ms(&self) -> Millis {
        self.0.interval_ms()
    }

    fn controls_room(&self) -> bool {
        self.0.controls_room()
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(Asked(self.0.bind(wiring)?)))
    }
}

impl Strategy for Asked {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        self.0.decide(seen, commands)
    }
}

fn scores(
    scenario: &Scenario,
    recipe: &dyn StrategyRecipe,
    faults: &[Happening],
) -> Result<Scores, RunError> {
    let request = RunRequest {
        faults,
        ..RunRequest::new(scenario, recipe, 11)
    };
    run(&request, None)
}

fn assert_rest_changes_nothing(scenario: &Scenario, recipe: &dyn StrategyRecipe, faults: &[Happening]) {
    let rested = scores(scenario, recipe, faults);
    if matches!(rested, Err(RunError::Bind(_))) {
        return;
    }
    let told = faults.iter().map(|fault| fault.name.as_str()).collect::<Vec<_>>();
    assert!(
        rested == scores(scenario, &Restless(recipe), faults),
        "{} under {} with {told:?}",
        scenario.name,
        recipe.name()
    );
}

#[test]
fn every_strategy_in_every_scenario_scores_the_same_rested_or_asked_every_time() {
    for name in library::names() {
        let mut scenario = tepid_scenarios::scenario(name, &[]).expect("library scenario");
        scenario.warm_up_ms = scenario.warm_up_ms.min(6 * HOUR);
        scenario.duration_ms = scenario.duration_ms.min(DAY + 7 * HOUR);
        for entry in tepid_strategies::registry() {
            let recipe = (entry.build)(&entry.defaults()).expect("defaults");
            assert_rest_changes_nothing(&scenario, recipe.as_ref(), &[]);
        }
    }
}

#[test]
fn every_fault_finds_the_probes_and_the_controller_as_if_it_had_been_asked() {
    let mut scenario = tepid_scenarios::scenario("spare-room-winter", &[]).expect("library scenario");
    scenario.warm_up_ms = 6 * HOUR;
    scenario.duration_ms = DAY;
    // Off the grid of decisions, and long after the last look of a watch.
    let at_ms = [5, 9, 14].map(|hour| hour * HOUR + 17 * MINUTE + 43_456);
    for name in ["on-off", "proportional"] {
        let recipe = tepid_scenarios::strategy(name).expect("strategy").recipe;
        for set in fault_sets(&scenario) {
            for (case, at_ms) in set.cases.iter().flat_map(|case| at_ms.map(|at_ms| (case, at_ms))) {
                let mut faults: Vec<Happening> = case.happenings().cloned().collect();
                for fault in faults.iter_mut().filter(|fault| fault.when == When::WorstPhase) {
                    fault.when = When::At(at_ms);
                }
                assert_rest_changes_nothing(&scenario, recipe.as_ref(), &faults);
            }
        }
    }
}
