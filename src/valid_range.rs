//! Warnings where water leaves the temperatures that the model, or the stated danger lines, are good for.

use tepid_output::records::{Budget, StrategyRow, Warning};
use tepid_sim::scenario::{DangerLine, Scenario};
use tepid_sim::scores::Scores;

/// Temperatures of water that the surface's losses are good for, °C: `docs/model.md`.
const GOOD_FOR_C: (f64, f64) = (0.0, 45.0);

/// Of a scenario's danger lines: a single one on a side says nothing of water far beyond it.
#[must_use]
pub fn of_lines(scenario: &Scenario) -> Vec<Warning> {
    let livestock = &scenario.livestock;
    let side = |lines: &[DangerLine], field: &str, severer: &str| {
        let [only] = lines else { return None };
        // Where no time at all is borne nothing farther out can be worse.
        only.allowed_ms?;
        Some(Warning {
            what: format!("`{field}` has a single line, {} °C", only.temp_c),
            why: "Beyond it the dose grows no faster than at it, so water that is far worse is called bearable for as long."
                .to_owned(),
            advice: format!("State a {severer} line with the time borne at it."),
        })
    };
    let hot = side(&livestock.danger_hot, "danger_hot", "hotter");
    let cold = side(&livestock.danger_cold, "danger_cold", "colder");
    hot.into_iter().chain(cold).collect()
}

/// Of a run, each tank by itself.
#[must_use]
pub fn of_run(scores: &Scores) -> Vec<Warning> {
    let tanks = scores.tanks.iter();
    tanks
        .flat_map(|tank| {
            beyond(
                &format!("The water of {}", tank.tank),
                tank.lowest_c,
                tank.highest_c,
            )
        })
        .collect()
}

/// Of strategies side by side, the farthest in each direction.
#[must_use]
pub fn of_rows(rows: &[StrategyRow]) -> Vec<Warning> {
    let healthy = rows.iter().filter_map(|row| row.healthy.as_ref());
    let (mut lowest_c, mut highest_c) = (f64::INFINITY, f64::NEG_INFINITY);
    for summary in healthy {
        lowest_c = summary
            .lowest_c
            .map_or(lowest_c, |spread| spread.worst.min(lowest_c));
        highest_c = summary
            .highest_c
            .map_or(highest_c, |spread| spread.worst.max(highest_c));
    }
    for outcome in rows.iter().flat_map(|row| &row.faults) {
        lowest_c = outcome.lowest_c.map_or(lowest_c, |temp_c| temp_c.min(lowest_c));
        highest_c = outcome.peak_c.map_or(highest_c, |temp_c| temp_c.max(highest_c));
    }
    beyond(
        "With one of the strategies and faults the water",
        lowest_c,
        highest_c,
    )
}

/// Of a budget: where the water settles.
#[must_use]
pub fn of_budget(budget: &Budget) -> Vec<Warning> {
    let stuck_c = budget.stuck_on.iter().filter_map(|stuck| stuck.end_c);
    let highest_c = stuck_c.fold(f64::NEG_INFINITY, f64::max);
    let lowest_c = budget.unheated_c.unwrap_or(f64::INFINITY);
    let mut all = beyond(
        "With every heater on for good the water",
        f64::INFINITY,
        highest_c,
    );
    all.extend(beyond("Without heaters the water", lowest_c, f64::NEG_INFINITY));
    all
}

fn beyond(subject: &str, lowest_c: f64, highest_c: f64) -> Vec<Warning> {
    let (from_c, to_c) = GOOD_FOR_C;
    let warning = |words: &str, temp_c: f64| Warning {
        what: format!("{subject} gets as {words} as {temp_c:.1} °C"),
        why: format!(
            "What water loses is known for {from_c:.0} °C to {to_c:.0} °C of it; farther out it is a guess, and neither boiling nor ice is in the model."
        ),
        advice: "Read such a figure as far too hot or far too cold, not as a temperature.".to_owned(),
    };
    let cold = (lowest_c < from_c).then(|| warning("cold", lowest_c));
    let hot = (highest_c > to_c).then(|| warning("hot", highest_c));
    cold.into_iter().chain(hot).collect()
}
