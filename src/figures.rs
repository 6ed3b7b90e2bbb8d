//! What the pictures that compare show, each from the runs or the record that its figures come from.

use tepid_output::cautions::{self, Cautioned};
use tepid_output::plot::{
    ClosingsRecorder, CycleOf, Drawing, FaultOf, Figure, Shared, TraceRecorder, WearOf,
};
use tepid_output::records::{Budget, FaultMatrix, FaultRow, ScenarioBlock};
use tepid_output::wording::{Units, duration, hours as hours_in_words};
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{Millis, hours};

use crate::report::with_fault;

/// Pixel columns of a picture's width.
const COLUMNS: usize = 700;

/// Faults of a gallery.
const FAULTS: usize = 12;

/// A strategy and what it is called.
type Named = (String, Box<dyn StrategyRecipe>);

/// Water and heaters of each strategy from one instant on, with nothing broken.
///
/// # Errors
/// [`RunError`] of any of the runs.
pub fn cycle(
    scenario: &Scenario,
    strategies: &[Named],
    seed: u64,
    from_ms: Millis,
    length_ms: Millis,
) -> Result<Figure, RunError> {
    let tank = scenario.tanks.iter().position(|tank| tank.livestock).unwrap_or(0);
    let to_ms = (from_ms + length_ms).min(scenario.duration_ms);
    let all = strategies
        .iter()
        .map(|(strategy, recipe)| {
            let mut recorder = TraceRecorder::new(from_ms, to_ms, COLUMNS);
            run(
                &RunRequest::new(scenario, recipe.as_ref(), seed),
                Some(&mut recorder),
            )?;
            Ok(CycleOf {
                strategy: strategy.clone(),
                course: recorder.finish(),
                tank,
                tank_name: scenario.tanks[tank].name.clone(),
                rated_w: rated_w(scenario),
                band_c: [scenario.water.band_c.0, scenario.water.band_c.1],
            })
        })
        .collect::<Result<Vec<_>, RunError>>()?;
    let shown = format!(
        "{} of switching from {} on, nothing broken, seed {seed}",
        duration(hours(to_ms - from_ms)),
        tepid_output::wording::at(hours(from_ms))
    );
    Ok(figure(
        scenario,
        shown,
        Drawing::Cycle(all),
        cautions::for_equipment(scenario),
    ))
}

/// The share of the time that heaters draw power, and the closings of the contact that closes most, of each strategy with nothing broken.
///
/// # Errors
/// [`RunError`] of any of the runs.
pub fn wear(scenario: &Scenario, strategies: &[Named], seed: u64) -> Result<Figure, RunError> {
    let all = strategies
        .iter()
        .map(|(strategy, recipe)| {
            let mut recorder = ClosingsRecorder::new(0, scenario.duration_ms, COLUMNS);
            run(
                &RunRequest::new(scenario, recipe.as_ref(), seed),
                Some(&mut recorder),
            )?;
            let closings = recorder.closings();
            let busiest = (0..closings.len()).max_by_key(|contact| {
                // Of several alike the first.
                let total = closings[*contact].last().copied().unwrap_or(0);
                (total, std::cmp::Reverse(*contact))
            });
            Ok(WearOf {
                strategy: strategy.clone(),
                contact: busiest.map_or_else(String::new, |contact| scenario.contacts[contact].name.clone()),
                closings: busiest.map_or_else(Vec::new, |contact| closings[contact].clone()),
                rated_w: rated_w(scenario),
                course: recorder.course.finish(),
            })
        })
        .collect::<Result<Vec<_>, RunError>>()?;
    let shown = format!(
        "wear over {}, nothing broken, seed {seed}",
        duration(hours(scenario.duration_ms))
    );
    Ok(figure(
        scenario,
        shown,
        Drawing::Wear(all),
        cautions::for_equipment(scenario),
    ))
}

/// The worst single faults of a matrix's first strategy, each in the room in which it does most harm.
#[must_use]
pub fn gallery(scenario: &Scenario, recipe: &dyn StrategyRecipe, matrix: &FaultMatrix) -> Figure {
    let strategy = matrix.strategies.first();
    let mut worst: Vec<&FaultRow> = Vec::new();
    for row in strategy
        .iter()
        .flat_map(|one| &one.faults)
        .filter(|row| row.is_single)
    {
        if !worst.iter().any(|known| known.outcome.case == row.outcome.case) {
            worst.push(row);
        }
    }
    let shown = worst.into_iter().take(FAULTS).filter_map(|row| {
        let (course, _) = with_fault(scenario, recipe, matrix.seed, row)?;
        Some(FaultOf {
            row: row.clone(),
            course,
        })
    });
    let faults: Vec<FaultOf> = shown.collect();
    let shared = Shared {
        band_c: matrix.band_c,
        livestock: matrix.livestock.clone(),
        tanks: scenario.tanks.iter().map(|tank| tank.name.clone()).collect(),
    };
    let horizon_h = faults.first().map_or(0.0, |one| one.row.outcome.horizon_h);
    let subtitle = format!(
        "the worst single faults under {}, each in its worst room, followed for {}, seed {}",
        strategy.map_or("", |one| one.strategy.as_str()),
        hours_in_words(horizon_h),
        matrix.seed
    );
    let called_for = |one: &&Cautioned| {
        faults
            .iter()
            .any(|fault| fault.row.outcome.cautions.contains(&one.caution))
    };
    let said = matrix.cautions.iter().filter(called_for).cloned().collect();
    figure(scenario, subtitle, Drawing::Faults(faults, shared), said)
}

/// What strategies give up for what.
#[must_use]
pub fn pareto(scenario: &Scenario, block: &ScenarioBlock, matrix: FaultMatrix) -> Figure {
    let subtitle = format!(
        "{}, seed {}; stuck on: in the room in which that gets warmest",
        duration(block.duration_h),
        matrix.seed
    );
    let said = matrix.cautions.clone();
    figure(
        scenario,
        subtitle,
        Drawing::Pareto(block.rows.clone(), Box::new(matrix)),
        said,
    )
}

/// Where the heat of one water system goes.
#[must_use]
pub fn heat(scenario: &Scenario, budget: Budget) -> Figure {
    let system = budget
        .system
        .clone()
        .map_or_else(String::new, |system| format!(" of {system}"));
    let said = budget.cautions.clone();
    figure(
        scenario,
        format!("heat budget{system}"),
        Drawing::Budget(Box::new(budget)),
        said,
    )
}

fn figure(scenario: &Scenario, subtitle: String, drawing: Drawing, cautions: Vec<Cautioned>) -> Figure {
    Figure {
        title: scenario.title.clone(),
        subtitle,
        drawing,
        cautions,
        units: Units::Metric,
    }
}

fn rated_w(scenario: &Scenario) -> f64 {
    scenario.heaters.iter().map(|heater| heater.power_w).sum()
}
