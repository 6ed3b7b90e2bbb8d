//! Courses of temperature: each strategy with nothing broken, and with the fault that is worst for it.

use tepid_output::plot::{Course, TraceRecorder};
use tepid_output::records::{FaultMatrix, FaultRow, RoomKind};
use tepid_output::report::{FaultCourse, StrategyCourses};
use tepid_output::wording::quoted;
use tepid_scenarios::fault_sets;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Happening, Scenario};
use tepid_sim::scores::Scores;
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{HOUR, Millis};

use super::commands::Asking;
use crate::faults::happenings_from;
use crate::rooms;

/// Pixel columns a course is kept at.
const COLUMNS: usize = 300;

/// How long before a fault its course begins, ms.
const BEFORE_MS: Millis = 6 * HOUR;

/// All strategies, in the order asked for.
pub(super) fn courses(
    asking: &Asking<'_>,
    scenario: &Scenario,
    matrix: &FaultMatrix,
) -> Vec<StrategyCourses> {
    let strategies = asking
        .request
        .strategies
        .iter()
        .zip(&matrix.strategies)
        .enumerate();
    strategies
        .map(|(place, ((strategy, recipe), faults))| StrategyCourses {
            strategy: strategy.clone(),
            unbroken: unbroken(scenario, recipe.as_ref(), asking.request.seed),
            unbroken_command: asking.course(place, ""),
            worst: faults.faults.iter().find(|row| row.is_single).and_then(|row| {
                let (course, _) = with_fault(scenario, recipe.as_ref(), asking.request.seed, row)?;
                Some(FaultCourse {
                    row: row.clone(),
                    course,
                    command: asking.course(place, &fault_options(row)),
                })
            }),
        })
        .collect()
}

fn fault_options(row: &FaultRow) -> String {
    let room = match row.outcome.room {
        RoomKind::Scenario => "",
        RoomKind::Coldest => " --room coldest",
        RoomKind::Warmest => " --room warmest",
    };
    let (set, case) = (quoted(&row.outcome.set), quoted(&row.outcome.case));
    format!("{room} --fault {set} --case {case}")
}

fn unbroken(scenario: &Scenario, recipe: &dyn StrategyRecipe, seed: u64) -> Option<Course> {
    let mut recorder = TraceRecorder::new(0, scenario.duration_ms, COLUMNS);
    run(&RunRequest::new(scenario, recipe, seed), Some(&mut recorder)).ok()?;
    Some(recorder.finish())
}

/// The run of a row of the matrix once more, as it was followed there: its course, and its scores from the fault on.
pub(crate) fn with_fault(
    scenario: &Scenario,
    recipe: &dyn StrategyRecipe,
    seed: u64,
    row: &FaultRow,
) -> Option<(Course, Scores)> {
    let outcome = &row.outcome;
    let placed = rooms::in_room(scenario, outcome.room);
    let sets = fault_sets(scenario);
    let set = sets.iter().find(|set| set.name == outcome.set)?;
    let case = set.cases.iter().find(|case| case.fault.name == outcome.case)?;
    let millis = |length_h: f64| (length_h * HOUR as f64).round() as Millis;
    let began_ms = millis(outcome.began_h.unwrap_or(0.0));
    let end_ms = began_ms + millis(outcome.horizon_h);
    let faults: Vec<Happening> = happenings_from(case, began_ms);
    let mut recorder = TraceRecorder::new((began_ms - BEFORE_MS).max(0), end_ms, COLUMNS);
    let request = RunRequest {
        faults: &faults,
        judged_from_ms: began_ms,
        end_ms,
        ..RunRequest::new(&placed, recipe, seed)
    };
    let scores = run(&request, Some(&mut recorder)).ok()?;
    Some((recorder.finish(), scores))
}
