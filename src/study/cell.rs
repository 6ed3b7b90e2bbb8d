//! What a run of a study is judged by: one value for each score of the list, in published units.

use serde::{Deserialize, Serialize};
use tepid_scenarios::{SCORES, ScoreName};
use tepid_sim::scores::{Scores, TankScores};
use tepid_sim::time::{Millis, hours};

use crate::exposure::hottest_body_c;

/// The result of one cell.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum CellResult {
    /// Its run gave scores.
    Scored(CellScores),
    /// Its run failed: why.
    Failed(String),
}

/// The scores of one cell.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CellScores {
    /// When the fault began, ms; `None`: nothing is broken, or its beginning is not one instant.
    pub began_ms: Option<Millis>,
    /// In the order of [`SCORES`]; `None`: no value in this run.
    pub values: Vec<Option<f64>>,
    /// The tank that each value is of, by its place among those with livestock; `None`: of no tank.
    pub tanks: Vec<Option<u8>>,
}

impl CellScores {
    /// From the scores of a run with nothing broken that ended at `end_ms`. A score of the water is that of the tank with livestock in which it is
    /// worst.
    #[must_use]
    pub fn healthy(scores: &Scores, end_ms: Millis) -> Self {
        Self::new(scores, None, end_ms, |_| true)
    }

    /// From the scores of a run under a fault.
    #[must_use]
    pub fn under_fault(scores: &Scores, began_ms: Option<Millis>, end_ms: Millis) -> Self {
        Self::new(scores, began_ms, end_ms, |score| score.under_faults)
    }

    fn new(
        scores: &Scores,
        began_ms: Option<Millis>,
        end_ms: Millis,
        has_value: impl Fn(&ScoreName) -> bool,
    ) -> Self {
        let found = SCORES.iter().map(|score| match score.name {
            _ if !has_value(score) => None,
            "warning lead" => warning_lead_h(scores, end_ms).map(|lead_h| (lead_h, None)),
            name => value_of(name, scores, |a, b| score.is_worse(a, b)),
        });
        let (values, tanks) = found
            .map(|found| match found {
                // The sum of nothing is −0; nobody should read it so.
                Some((value, tank)) if value.is_finite() => (Some(value + 0.0), tank),
                _ => (None, None),
            })
            .unzip();
        Self {
            began_ms,
            values,
            tanks,
        }
    }
}

/// The value of a score in its published unit, and the tank that it is of.
fn value_of(name: &str, scores: &Scores, is_worse: impl Fn(f64, f64) -> bool) -> Option<(f64, Option<u8>)> {
    let of_tanks = |value: &dyn Fn(&TankScores) -> Option<f64>| {
        let found = scores
            .tanks
            .iter()
            .enumerate()
            .filter_map(|(place, tank)| Some((value(tank)?, u8::try_from(place).ok())));
        found.reduce(|worst, one| if is_worse(one.0, worst.0) { one } else { worst })
    };
    let of_all = |value: f64| Some((value, None));
    match name {
        "overshoot" => of_tanks(&|tank| Some(tank.overshoot_k)),
        "undershoot" => of_tanks(&|tank| Some(tank.undershoot_k)),
        "highest temperature" => of_tanks(&|tank| Some(tank.highest_c)),
        "lowest temperature" => of_tanks(&|tank| Some(tank.lowest_c)),
        "time above band" => of_tanks(&|tank| Some(tank.above_band_h)),
        "time below band" => of_tanks(&|tank| Some(tank.below_band_h)),
        "rms deviation" => of_tanks(&|tank| Some(tank.rms_deviation_k)),
        "fastest change per hour" => of_tanks(&|tank| tank.fastest_per_hour_k),
        "fastest change per day" => of_tanks(&|tank| tank.fastest_per_day_k),
        "hot dose used" => of_tanks(&|tank| Some(tank.hot.used)),
        "cold dose used" => of_tanks(&|tank| Some(tank.cold.used)),
        "recovery" => of_tanks(&|tank| tank.recovery.as_ref().map(|recovery| recovery.length_h)),
        "lowest oxygen saturation" => {
            of_tanks(&|tank| tank.oxygen.as_ref().map(|oxygen| oxygen.lowest_saturation_frac))
        }
        "closings per day" => {
            let each = scores.contacts.iter().map(|contact| contact.closings_per_day);
            each.reduce(f64::max).and_then(of_all)
        }
        "tanks past the dose" => of_all(scores.past_dose().tanks as f64),
        "water at risk" => of_all(scores.past_dose().water_m3 * LITRES_PER_M3),
        "energy" => of_all(scores.energy_kwh),
        "cost" => scores.cost.and_then(of_all),
        "hottest heater body" => hottest_body_c(scores).and_then(of_all),
        "nuisance alerts per year" => of_all(scores.nuisance_alerts_per_year()),
        _ => None,
    }
}

/// Time the dose was used up less time somebody heard of an alert, h. Where nobody heard by the end of the run, as if heard then: a gate must not hold
/// because nobody was told. `None`: no dose was used up.
fn warning_lead_h(scores: &Scores, end_ms: Millis) -> Option<f64> {
    let used_up_ms = scores.tanks.iter().filter_map(TankScores::used_up_ms).min()?;
    Some(hours(scores.warning_lead_ms.unwrap_or(used_up_ms - end_ms)))
}

const LITRES_PER_M3: f64 = 1000.0;

#[cfg(test)]
mod tests {
    use super::*;
    use tepid_sim::run::{RunRequest, run};

    fn of_two_days(name: &str) -> (Scores, Millis) {
        let mut scenario = tepid_scenarios::scenario(name, &[]).expect("scenario");
        scenario.duration_ms = 2 * tepid_sim::time::DAY;
        let recipe = tepid_scenarios::strategy("on-off").expect("strategy").recipe;
        let scores = run(&RunRequest::new(&scenario, recipe.as_ref(), 7), None).expect("runs");
        (scores, scenario.duration_ms)
    }

    #[test]
    fn every_score_of_the_list_has_a_value_in_a_run_that_has_something_to_score() {
        let (mut scores, end_ms) = of_two_days("spare-room-winter");
        let tank = &mut scores.tanks[0];
        tank.hot.used_up_ms = Some(end_ms / 2);
        tank.recovery = Some(tepid_sim::scores::Recovery {
            length_h: 2.0,
            after: "feeding pause".to_owned(),
            complete: true,
        });
        let cell = CellScores::healthy(&scores, end_ms);
        for (score, value) in SCORES.iter().zip(&cell.values) {
            // No stock is stated there, so nothing is known of oxygen.
            assert_eq!(
                value.is_some(),
                score.name != "lowest oxygen saturation",
                "{}",
                score.name
            );
        }
        let value =
            |name: &str| cell.values[SCORES.iter().position(|score| score.name == name).expect("score")];
        assert_eq!(value("recovery"), Some(2.0));
        assert_eq!(value("warning lead"), Some(-24.0), "nobody heard by the end");
        assert_eq!(value("tanks past the dose"), Some(1.0));
    }

    #[test]
    fn what_adds_up_has_no_value_under_a_fault() {
        let (scores, end_ms) = of_two_days("lidded-nano");
        let cell = CellScores::under_fault(&scores, Some(0), end_ms);
        for (score, value) in SCORES.iter().zip(&cell.values) {
            assert!(score.under_faults || value.is_none(), "{}", score.name);
        }
    }
}
