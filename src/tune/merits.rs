//! What settings are judged by: each merit by itself, all in one figure, and which settings no other beats.

use tepid_output::records::{ALIKE_STEPS, TuningMerits, WORST_DOSE};
use tepid_sim::scenario::Scenario;
use tepid_sim::time::days;

use super::TuneError;
use super::runs::{Place, Runs, value};
use crate::statistics::mean;

/// How much of each merit weighs as much as one halving of the closings. A choice, no source: a quarter of an hour a day outside the band, a tenth of a kelvin,
/// a tenth of a dose, 2 % of the electricity.
const STEP_OUTSIDE_H_PER_DAY: f64 = 0.25;
const STEP_SWING_K: f64 = 0.1;
const STEP_DOSE: f64 = 0.1;
const STEP_ENERGY_FRAC: f64 = 0.02;

/// Where a setting is judged.
#[derive(Debug, Clone, Copy)]
pub(super) struct Judged<'a> {
    /// The scenario, for its length and its contacts.
    pub scenario: &'a Scenario,
    /// Runs with nothing broken.
    pub places: &'a [Place],
    /// Cases of contacts that weld, and where.
    pub welds: &'a [usize],
    /// The warmest room.
    pub warmest: Place,
}

impl Judged<'_> {
    /// The merits of a setting; `energy_kwh_per_day`: that of the defaults, to which its own is compared; `None`: it is those.
    pub(super) fn merits(
        &self,
        runs: &Runs<'_>,
        setting: usize,
        energy_kwh_per_day: Option<f64>,
    ) -> Result<TuningMerits, TuneError> {
        let length_d = days(self.scenario.duration_ms);
        let found = self
            .places
            .iter()
            .map(|place| runs.scores(setting, *place, None))
            .collect::<Result<Vec<_>, _>>()?;
        let sums = |names: &[&str]| -> Option<f64> {
            let each: Vec<f64> = found
                .iter()
                .filter_map(|scores| {
                    let values = names.iter().map(|name| value(scores, name));
                    values.sum::<Option<f64>>()
                })
                .collect();
            mean(&each)
        };
        let parts = self
            .scenario
            .contacts
            .iter()
            .any(|contact| contact.role.is_some() && contact.kind.parts());
        let mut stuck_dose: Option<f64> = None;
        for case in self.welds {
            let scores = runs.scores(setting, self.warmest, Some(*case))?;
            let dose = value(&scores, "hot dose used");
            stuck_dose = stuck_dose.into_iter().chain(dose).reduce(f64::max);
        }
        if self.scenario.livestock.danger_hot.is_empty() {
            stuck_dose = None;
        }
        let mut merits = TuningMerits {
            outside_band_h_per_day: sums(&["time above band", "time below band"]).unwrap_or(0.0) / length_d,
            swing_k: sums(&["overshoot", "undershoot"]).unwrap_or(0.0),
            closings_per_day: sums(&["closings per day"]).filter(|_| parts),
            stuck_dose,
            energy_kwh_per_day: sums(&["energy"]).unwrap_or(0.0) / length_d,
            steps: 0.0,
        };
        let energy_kwh_per_day = energy_kwh_per_day.unwrap_or(merits.energy_kwh_per_day);
        merits.steps = in_steps(&merits, energy_kwh_per_day).iter().sum();
        Ok(merits)
    }
}

/// Each merit in steps.
fn in_steps(merits: &TuningMerits, energy_kwh_per_day: f64) -> [f64; 5] {
    let of_defaults = if energy_kwh_per_day > 0.0 {
        merits.energy_kwh_per_day / energy_kwh_per_day - 1.0
    } else {
        0.0
    };
    [
        merits.outside_band_h_per_day / STEP_OUTSIDE_H_PER_DAY,
        merits.swing_k / STEP_SWING_K,
        merits
            .closings_per_day
            .map_or(0.0, |closings| (1.0 + closings).log2()),
        merits.stuck_dose.map_or(0.0, |dose| dose.min(WORST_DOSE)) / STEP_DOSE,
        of_defaults / STEP_ENERGY_FRAC,
    ]
}

/// Which settings no other one beats: better in one merit by more than is alike, and not worse in any.
pub(super) fn pareto(all: &[TuningMerits], energy_kwh_per_day: f64) -> Vec<bool> {
    let rounded: Vec<[i64; 5]> = all
        .iter()
        .map(|merits| in_steps(merits, energy_kwh_per_day).map(|steps| (steps / ALIKE_STEPS).round() as i64))
        .collect();
    let beats = |a: &[i64; 5], b: &[i64; 5]| a != b && a.iter().zip(b).all(|(a, b)| a <= b);
    rounded
        .iter()
        .enumerate()
        .map(|(at, own)| {
            let beaten = rounded.iter().any(|other| beats(other, own));
            // Of several that are alike the first stands for all.
            !beaten && !rounded[..at].contains(own)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn merits(swing_k: f64, closings: f64) -> TuningMerits {
        TuningMerits {
            outside_band_h_per_day: 0.0,
            swing_k,
            closings_per_day: Some(closings),
            stuck_dose: Some(0.0),
            energy_kwh_per_day: 5.0,
            steps: 0.0,
        }
    }

    #[test]
    fn a_setting_that_another_beats_in_one_and_equals_in_the_rest_is_not_on_the_front() {
        let all = [
            merits(0.2, 40.0),
            merits(0.4, 10.0),
            merits(0.4, 40.0),
            merits(0.2, 40.0),
        ];
        assert_eq!(pareto(&all, 5.0), [true, true, false, false]);
    }

    #[test]
    fn halving_the_closings_weighs_as_much_as_a_tenth_of_a_kelvin() {
        let sum = |merits: &TuningMerits| in_steps(merits, 5.0).iter().sum::<f64>();
        assert!((sum(&merits(0.3, 15.0)) - sum(&merits(0.2, 31.0))).abs() < 1e-12);
    }
}
