//! Strategies side by side on one or more scenarios.

use serde::{Deserialize, Serialize};
use tepid_sim::scenario;

use super::{DangerLine, FaultOutcome, OxygenResult, PastDose, RecordKind, Warning};
use crate::cautions::Cautioned;

/// Strategies compared on scenarios, with and without faults.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Comparison {
    /// [`RecordKind::Comparison`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// Seed of weather and noise, the same for every strategy.
    pub seed: u64,
    /// Runs of each cell.
    pub replicates: u32,
    /// One per scenario, in the order asked for.
    pub scenarios: Vec<ScenarioBlock>,
}

/// One scenario of a comparison.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ScenarioBlock {
    /// Short name.
    pub name: String,
    /// One line for people.
    pub title: String,
    /// Temperature the keeper wants, °C.
    pub target_c: f64,
    /// Lower and upper end of the band, °C.
    pub band_c: [f64; 2],
    /// Scored time, h.
    pub duration_h: f64,
    /// The scenario's own room, and the year's coldest and warmest if verdicts were given for them.
    pub rooms: Vec<RoomBlock>,
    /// What lives there and what it bears.
    pub livestock: Livestock,
    /// The scenario states alerts.
    pub has_alerts: bool,
    /// Somebody acts on one of them.
    pub somebody_acts: bool,
    /// What was assumed for want of a statement.
    pub assumptions: Vec<String>,
    /// One per strategy, in the order asked for.
    pub rows: Vec<StrategyRow>,
    /// A few sentences; written by [`ScenarioBlock::judge`].
    pub verdict: Vec<String>,
    /// Where the scenario leaves what the model is good for.
    pub warnings: Vec<Warning>,
    /// In the scenario's own room a fault "at the worst instant" is tried at the first fitting instant after each of these, h after time zero.
    pub trial_instants_h: Vec<f64>,
    /// Cautions that belong to the results above.
    pub cautions: Vec<Cautioned>,
}

/// Which room a result holds for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RoomKind {
    /// The scenario's own course of temperature.
    Scenario,
    /// Constant, as cold as the year gets.
    Coldest,
    /// Constant, as warm as the year gets.
    Warmest,
}

/// One of the rooms of a comparison.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RoomBlock {
    /// Which.
    pub room: RoomKind,
    /// Lowest temperature over scored time and horizon, °C; of a room that answers to what stands in it: computed, over the scored time.
    pub lowest_c: f64,
    /// Highest temperature, likewise, °C.
    pub highest_c: f64,
    /// Lowest and highest temperature outdoors over scored time and horizon, °C; `None` where the room is prescribed.
    pub outdoors_c: Option<[f64; 2]>,
    /// Relative humidity, 0..=1, as stated.
    pub relative_humidity_frac: f64,
    /// The scenario states it (else it was taken from the scenario's own room).
    pub stated: bool,
}

/// What lives in the water and what it bears.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Livestock {
    /// Kind, for people.
    pub kind: String,
    /// Where the figures come from.
    pub source: String,
    /// Lines upwards, mildest first.
    pub danger_hot: Vec<DangerLine>,
    /// Lines downwards, mildest first.
    pub danger_cold: Vec<DangerLine>,
    /// Fastest change borne within an hour, K, if stated.
    pub fastest_per_hour_k: Option<f64>,
    /// Fastest change borne within a day, K, if stated.
    pub fastest_per_day_k: Option<f64>,
}

/// One strategy on one scenario.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StrategyRow {
    /// Name.
    pub strategy: String,
    /// Settings in use, one line.
    pub settings: String,
    /// What the scenario lacks ("no fan"); such a row has no results and takes no part in ranks.
    pub does_not_apply: Option<String>,
    /// The runs without an added fault.
    pub healthy: Option<HealthySummary>,
    /// How its closings follow from the heat that heater bodies hold; `None`: no contact closes often enough to ask.
    pub closings_by_body: Option<ClosingsByBody>,
    /// One per fault case and room.
    pub faults: Vec<FaultOutcome>,
    /// Whether one could use it; set by [`ScenarioBlock::judge`].
    pub standing: Standing,
    /// The values in which it is the best of those fit to use; set by [`ScenarioBlock::judge`].
    pub best_in: Vec<Merit>,
    /// Why runs failed, each reason once.
    pub failures: Vec<String>,
}

/// Whether one could use a strategy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Standing {
    /// Nobody has judged it yet, or no danger lines are stated to judge by.
    NotJudged,
    /// The first choice among those fit to use; several where they are alike.
    Best,
    /// No single fault in the table takes it past the dose. In rooms where every strategy passes the dose with nothing
    /// broken nobody is blamed for it.
    FitToUse,
    /// A single fault in the table takes it past the dose.
    OneFaultAway {
        /// The worst such fault.
        fault: String,
        /// In which room.
        room: RoomKind,
    },
    /// No fault was tried, so nothing says what one would do.
    NoFaultTried,
    /// It passes the dose with nothing broken, in the scenario's own room or in one where another strategy does not.
    PastTheDose,
    /// The scenario lacks what it needs.
    DoesNotApply,
    /// Runs failed, so nothing can be said.
    Failed,
}

/// A value in which strategies are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Merit {
    /// Least time outside the band.
    InsideBand,
    /// Smallest overshoot.
    Overshoot,
    /// Fewest closings a day of the busiest contact.
    ClosingsPerDay,
    /// Longest life of the contact that wears out first.
    ContactLife,
    /// Least electricity.
    Energy,
}

/// Mean and worst over replicates.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Spread {
    /// Mean.
    pub mean: f64,
    /// Worst.
    pub worst: f64,
}

impl Spread {
    /// Of values of which the largest is the worst; `None` of no value.
    #[must_use]
    pub fn largest_is_worst(values: &[f64]) -> Option<Self> {
        Self::of(values, f64::max)
    }

    /// Of values of which the smallest is the worst; `None` of no value.
    #[must_use]
    pub fn smallest_is_worst(values: &[f64]) -> Option<Self> {
        Self::of(values, f64::min)
    }

    fn of(values: &[f64], worse: fn(f64, f64) -> f64) -> Option<Self> {
        let worst = values.iter().copied().reduce(worse)?;
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        Some(Self { mean, worst })
    }
}

/// The runs without an added fault; each value of the worst tank with livestock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HealthySummary {
    /// The worst tank.
    pub tank: String,
    /// Mean temperature, °C, mean over replicates.
    pub mean_c: Option<f64>,
    /// Highest temperature, °C; worst = highest.
    pub highest_c: Option<Spread>,
    /// Lowest temperature, °C; worst = lowest.
    pub lowest_c: Option<Spread>,
    /// Above the target at most, K.
    pub overshoot_k: Option<Spread>,
    /// Below the target at most, K.
    pub undershoot_k: Option<Spread>,
    /// Time above the band, h.
    pub above_band_h: Option<Spread>,
    /// Time below the band, h.
    pub below_band_h: Option<Spread>,
    /// Root of the mean squared deviation from the target, K.
    pub rms_deviation_k: Option<Spread>,
    /// Fastest change within an hour, K.
    pub fastest_per_hour_k: Option<Spread>,
    /// Fastest change within a day, K; `None` in runs shorter than a day.
    pub fastest_per_day_k: Option<Spread>,
    /// Dose used, hot side.
    pub hot_dose: Option<Spread>,
    /// Dose used, cold side.
    pub cold_dose: Option<Spread>,
    /// When the hot dose was used up, h after time zero, in the replicate in which it was first; `None`: in none.
    pub hot_used_up_h: Option<f64>,
    /// When the cold dose was used up, likewise, h.
    pub cold_used_up_h: Option<f64>,
    /// Share of the time that heaters draw power, 0..=1, weighted by rated power; `None` without a heater.
    pub heaters_on_frac: Option<Spread>,
    /// Every contact that a strategy commands or that senses for itself.
    pub contacts: Vec<ContactWear>,
    /// All electricity of the system, kWh.
    pub energy_kwh: Option<Spread>,
    /// Time in which heaters and a fan or chiller worked against each other, h a day; left out where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heating_against_cooling_h_per_day: Option<Spread>,
    /// Heat of the room's own heating, kWh a day, which is no part of `energy_kwh`; left out where the room is prescribed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room_heating_kwh_per_day: Option<Spread>,
    /// Heat that the room's own cooling took, likewise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room_cooling_kwh_per_day: Option<Spread>,
    /// Its cost in the scenario's currency, if a price is stated.
    pub cost: Option<Spread>,
    /// Evaporated water, L a day; negative: condensed.
    pub evaporated_l_per_day: Option<Spread>,
    /// Hottest heater body, °C.
    pub hottest_body_c: Option<Spread>,
    /// How many tanks are past the dose, in the replicate with most; left out where fewer than two have livestock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub past_dose: Option<PastDose>,
    /// Oxygen of the replicate in which a tank's saturation was lowest; left out where no stock is stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oxygen: Option<OxygenResult>,
}

/// Wear of one contact.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ContactWear {
    /// The contact's name.
    pub contact: String,
    /// Closings per day.
    pub closings_per_day: Spread,
    /// Life at that rate, years; worst = shortest; `None` without a rating or without a closing.
    pub life_years: Option<Spread>,
}

/// Closings of a strategy's busiest contact with heater bodies that hold less and more heat.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ClosingsByBody {
    /// The contact.
    pub contact: String,
    /// Closings a day as assumed.
    pub closings_per_day: f64,
    /// One per other heat capacity.
    pub with: Vec<ClosingsWithBody>,
}

/// Closings with heater bodies of one other heat capacity.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ClosingsWithBody {
    /// Times the heat capacity assumed.
    pub capacity_times_frac: f64,
    /// Closings a day.
    pub closings_per_day: f64,
}

impl From<&scenario::Livestock> for Livestock {
    fn from(livestock: &scenario::Livestock) -> Self {
        let lines = |lines: &[scenario::DangerLine]| lines.iter().map(DangerLine::from).collect();
        Self {
            kind: livestock.kind.clone(),
            source: livestock.source.clone(),
            danger_hot: lines(&livestock.danger_hot),
            danger_cold: lines(&livestock.danger_cold),
            fastest_per_hour_k: livestock.fastest_per_hour_k,
            fastest_per_day_k: livestock.fastest_per_day_k,
        }
    }
}

impl Livestock {
    /// Whether it states a danger line on either side.
    #[must_use]
    pub fn states_lines(&self) -> bool {
        !self.danger_hot.is_empty() || !self.danger_cold.is_empty()
    }
}

impl RoomKind {
    /// All, in the order of reports.
    pub const ALL: [Self; 3] = [Self::Scenario, Self::Coldest, Self::Warmest];
}

impl HealthySummary {
    /// Whether a dose was used up in the worst replicate.
    #[must_use]
    pub fn passes_the_dose(&self) -> bool {
        [self.hot_dose, self.cold_dose]
            .into_iter()
            .flatten()
            .any(|dose| dose.worst >= 1.0)
    }

    /// Time outside the band in the worst replicate, h.
    #[must_use]
    pub fn outside_band_h(&self) -> Option<f64> {
        Some(self.above_band_h?.worst + self.below_band_h?.worst)
    }

    /// Share of a scored time of that many hours inside the band in the worst replicate, 0..=1.
    #[must_use]
    pub fn inside_band_frac(&self, duration_h: f64) -> Option<f64> {
        Some(1.0 - self.outside_band_h()? / duration_h)
    }

    /// The contact that wears out first, or without a rating the one with most closings a day.
    #[must_use]
    pub fn most_worn_contact(&self) -> Option<&ContactWear> {
        let rated = self
            .contacts
            .iter()
            .filter_map(|contact| Some((contact, contact.life_years?.worst)));
        let first = rated
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(contact, _)| contact);
        first.or_else(|| {
            self.contacts
                .iter()
                .max_by(|a, b| a.closings_per_day.worst.total_cmp(&b.closings_per_day.worst))
        })
    }
}
