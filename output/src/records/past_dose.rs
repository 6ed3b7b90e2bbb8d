//! How many of several tanks are past what their livestock bears.

use serde::{Deserialize, Serialize};
use tepid_sim::scores::Scores;

/// Litres in a cubic metre, L/m³. Exact.
pub(super) const L_PER_M3: f64 = 1000.0;

/// Tanks with livestock that used up a dose, hot or cold, of several.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PastDose {
    /// How many.
    pub tanks: u32,
    /// Of how many.
    pub of_tanks: u32,
    /// Their water as built, L: what is at risk.
    pub water_l: f64,
    /// Of how much in all tanks with livestock, L.
    pub of_water_l: f64,
}

impl PastDose {
    /// Of a run; `None` where fewer than two tanks have livestock: their own dose says it all.
    #[must_use]
    pub fn of(scores: &Scores) -> Option<Self> {
        let past = scores.past_dose();
        let count = |tanks: usize| u32::try_from(tanks).unwrap_or(u32::MAX);
        (scores.tanks.len() > 1).then(|| Self {
            tanks: count(past.tanks),
            of_tanks: count(scores.tanks.len()),
            water_l: L_PER_M3 * past.water_m3,
            of_water_l: L_PER_M3 * scores.tanks.iter().map(|tank| tank.water_m3).sum::<f64>(),
        })
    }
}
