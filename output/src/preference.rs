//! Which of the strategies fit to use comes first.
//!
//! Least time outside the band; of those alike in that, fewest closings a day of the contact that wears out first; of those the smallest
//! overshoot; of those the least energy. Differences that mean nothing ([`crate::difference`]) decide nothing: what is alike in all four
//! comes first together.

use crate::difference::differs;
use crate::records::{HealthySummary, Merit, ScenarioBlock, Standing};

/// What decides, in order of weight.
const WEIGHED: [Merit; 4] = [
    Merit::InsideBand,
    Merit::ClosingsPerDay,
    Merit::Overshoot,
    Merit::Energy,
];

/// A difference of less than this share of the scored time outside the band means nothing.
const OUTSIDE_FRAC: f64 = 0.01;

/// A difference of fewer closings a day means nothing.
const CLOSINGS_PER_DAY: f64 = 1.0;

/// A smaller difference in overshoot means nothing, K.
const OVERSHOOT_K: f64 = 0.1;

/// Positions of the first choice among the rows; several where they are alike, none where nobody is fit to use.
pub(crate) fn first_choice(block: &ScenarioBlock) -> Vec<usize> {
    let mut left: Vec<(usize, &HealthySummary)> = block
        .rows
        .iter()
        .enumerate()
        .filter(|(_, row)| row.standing == Standing::FitToUse)
        .filter_map(|(index, row)| Some((index, row.healthy.as_ref()?)))
        .collect();
    for merit in WEIGHED {
        let figure = |healthy: &HealthySummary| merit.smaller_is_better(healthy).unwrap_or(f64::INFINITY);
        let best = left
            .iter()
            .map(|(_, healthy)| figure(healthy))
            .fold(f64::INFINITY, f64::min);
        let least = merit.least_that_matters(block.duration_h);
        left.retain(|(_, healthy)| !differs(figure(healthy), best, least));
    }
    left.into_iter().map(|(index, _)| index).collect()
}

impl Merit {
    /// All, in the order of the table's columns.
    pub const ALL: [Self; 5] = [
        Self::InsideBand,
        Self::Overshoot,
        Self::ClosingsPerDay,
        Self::ContactLife,
        Self::Energy,
    ];

    /// The figure by which rows are compared: hours outside the band, K, closings a day, the negative of years, kWh.
    pub(crate) fn smaller_is_better(self, healthy: &HealthySummary) -> Option<f64> {
        let figure = match self {
            Self::InsideBand => healthy.outside_band_h()?,
            Self::Overshoot => healthy.overshoot_k?.worst,
            Self::ClosingsPerDay => healthy.most_worn_contact()?.closings_per_day.worst,
            Self::ContactLife => -healthy.most_worn_contact()?.life_years?.worst,
            Self::Energy => healthy.energy_kwh?.mean,
        };
        figure.is_finite().then_some(figure)
    }

    /// The least difference in that figure that means anything, however small the figures are.
    pub(crate) fn least_that_matters(self, duration_h: f64) -> f64 {
        match self {
            Self::InsideBand => duration_h * OUTSIDE_FRAC,
            Self::Overshoot => OVERSHOOT_K,
            Self::ClosingsPerDay => CLOSINGS_PER_DAY,
            Self::ContactLife | Self::Energy => 0.0,
        }
    }
}
