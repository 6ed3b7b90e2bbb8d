//! What a run is judged by. Definitions are the contract; every score is kept while the run goes on, in constant memory.
//!
//! Temperatures are judged in every tank with livestock; [`Scores::worst_tank`] names the one reported first (largest
//! dose, then largest overshoot or undershoot). All times are of the scored part (from time zero on) only.

mod change;
mod contact;
mod dose;
mod oxygen;
mod recovery;
mod tally;
mod temperature;
mod trials;

pub use contact::DAYS_PER_YEAR_D;
pub use oxygen::{HALF_SATURATION_FRAC, OxygenScores};
pub(crate) use oxygen::{OxygenAt, OxygenTally};
pub(crate) use tally::{Meters, ScoreTally, worst_tank};
pub use trials::trial_instants;

use crate::time::{Millis, days};

/// Joules in a kilowatt-hour, J/kWh. Exact.
pub(crate) const J_PER_KWH: f64 = 3.6e6;

/// The scores of one run.
#[derive(Debug, Clone, PartialEq)]
pub struct Scores {
    /// Scored time, ms.
    pub scored_ms: Millis,
    /// One per tank with livestock, in the scenario's order.
    pub tanks: Vec<TankScores>,
    /// Position in `tanks` of the worst.
    pub worst_tank: usize,
    /// One per contact, in the scenario's order.
    pub contacts: Vec<ContactScores>,
    /// One per heater, in the scenario's order.
    pub heaters: Vec<HeaterScores>,
    /// One per fan, kWh.
    pub fan_energy_kwh: Vec<f64>,
    /// One per chiller, in the scenario's order.
    pub chillers: Vec<ChillerScores>,
    /// Time in which a heater drew power while a fan blew or a chiller ran, ms; of several water systems, in the one where it was longest.
    pub heating_against_cooling_ms: Millis,
    /// Salinity of the system.
    pub salinity: SalinityScores,
    /// All circuits, in the scenario's order.
    pub circuits: Vec<CircuitScores>,
    /// All backups, in the scenario's order.
    pub backups: Vec<BackupScores>,
    /// Level of every tank, in the scenario's order.
    pub levels: Vec<LevelScores>,
    /// What the room was like.
    pub room: RoomScores,
    /// All electricity of the system, kWh.
    pub energy_kwh: f64,
    /// Its cost in the scenario's currency, if a price is stated.
    pub cost: Option<f64>,
    /// Evaporated water of the whole system, kg.
    pub evaporated_kg: f64,
    /// Alerts that got out, in all.
    pub alerts: u32,
    /// First alert that got out, ms.
    pub first_alert_ms: Option<Millis>,
    /// Alerts that got out while nothing was broken and no stocked tank was beyond a line of danger (without lines: outside the band).
    pub nuisance_alerts: u32,
    /// The first who heard of an alert.
    pub heard: Option<Heard>,
    /// First time somebody acted, ms.
    pub acted_ms: Option<Millis>,
    /// Time the dose was used up less time somebody heard of an alert, ms: negative = too late; `None` if either did not happen.
    pub warning_lead_ms: Option<Millis>,
    /// The heat balance of the run.
    pub heat_balance: HeatBalance,
}

/// Somebody heard of an alert.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heard {
    /// When, ms.
    pub at_ms: Millis,
    /// Who.
    pub by: String,
}

impl Scores {
    /// Nuisance alerts per year of scored time.
    #[must_use]
    pub fn nuisance_alerts_per_year(&self) -> f64 {
        f64::from(self.nuisance_alerts) * DAYS_PER_YEAR_D / days(self.scored_ms.max(1))
    }
}

/// Scores of one tank with livestock.
#[derive(Debug, Clone, PartialEq)]
pub struct TankScores {
    /// The tank's name.
    pub tank: String,
    /// Water in it as built, m³.
    pub water_m3: f64,
    /// Mean temperature, °C.
    pub mean_c: f64,
    /// Highest temperature, °C, and when, ms.
    pub highest_c: f64,
    /// When it was highest, ms.
    pub highest_at_ms: Millis,
    /// Lowest temperature, °C.
    pub lowest_c: f64,
    /// When it was lowest, ms.
    pub lowest_at_ms: Millis,
    /// Temperature at the end, °C.
    pub end_c: f64,
    /// max(T) − target, not below 0, K.
    pub overshoot_k: f64,
    /// target − min(T), not below 0, K.
    pub undershoot_k: f64,
    /// Time above the band, h.
    pub above_band_h: f64,
    /// Time below the band, h.
    pub below_band_h: f64,
    /// ∫ (T − hi)₊ dt, K·h.
    pub above_band_k_h: f64,
    /// ∫ (lo − T)₊ dt, K·h.
    pub below_band_k_h: f64,
    /// sqrt(mean (T − target)²), K.
    pub rms_deviation_k: f64,
    /// Largest |T(t) − T(t − 1 h)| from one sample a minute, K; `None` in runs shorter than an hour.
    pub fastest_per_hour_k: Option<f64>,
    /// Largest |T(t) − T(t − 24 h)| from one sample a minute, K; `None` in runs shorter than a day.
    pub fastest_per_day_k: Option<f64>,
    /// Longest recovery after a happening ended; `None`: none was needed.
    pub recovery: Option<Recovery>,
    /// Dose on the hot side.
    pub hot: Dose,
    /// Dose on the cold side.
    pub cold: Dose,
    /// Oxygen; `None`: no stock stated.
    pub oxygen: Option<OxygenScores>,
}

/// Tanks whose livestock is past what it bears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PastDose {
    /// How many tanks used up a dose, hot or cold.
    pub tanks: usize,
    /// Water of these tanks as built, m³: what is at risk.
    pub water_m3: f64,
}

impl Scores {
    /// The tanks that used up a dose.
    #[must_use]
    pub fn past_dose(&self) -> PastDose {
        let past = self.tanks.iter().filter(|tank| tank.used_up_ms().is_some());
        PastDose {
            tanks: past.clone().count(),
            water_m3: past.map(|tank| tank.water_m3).sum(),
        }
    }
}

impl TankScores {
    /// When the first of its doses was used up, ms.
    #[must_use]
    pub fn used_up_ms(&self) -> Option<Millis> {
        let both = [self.hot.used_up_ms, self.cold.used_up_ms];
        both.into_iter().flatten().min()
    }
}

/// How long a tank took to be back inside the band after something ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovery {
    /// From the end of the happening until the water was inside the band, or until the end of the run, h.
    pub length_h: f64,
    /// Name of the happening.
    pub after: String,
    /// It was back inside the band within the run.
    pub complete: bool,
}

/// How much of what livestock bears was used up, on one side.
#[derive(Debug, Clone, PartialEq)]
pub struct Dose {
    /// ∫ dt / t_allowed(T); 1 = used up.
    pub used: f64,
    /// When it was used up, ms.
    pub used_up_ms: Option<Millis>,
    /// Distance of the extreme temperature to the mildest line, K; negative = beyond it; `None` without lines.
    pub margin_k: Option<f64>,
    /// When each line of the danger table was first reached, ms, in its order.
    pub reached_ms: Vec<Option<Millis>>,
    /// ∫ beyond the mildest line dt, K·h.
    pub beyond_k_h: f64,
}

/// Scores of one contact.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactScores {
    /// The contact's name.
    pub contact: String,
    /// Closings.
    pub closings: u64,
    /// Closings per day.
    pub closings_per_day: f64,
    /// Shortest time closed, ms, of intervals that lie wholly within the scored time.
    pub shortest_on_ms: Option<Millis>,
    /// Shortest time open, ms, likewise.
    pub shortest_off_ms: Option<Millis>,
    /// Share of the time closed, 0..=1.
    pub closed_frac: f64,
    /// Closing wears it: it has contacts that part.
    pub wears: bool,
    /// Rated closings / closings per year, years; `None` without a rating or without a closing.
    pub life_years: Option<f64>,
    /// For each of [`trial_instants`], the first instant at or after it at which the contact opened, ms: where a weld may do its worst.
    pub trial_openings_ms: Vec<Option<Millis>>,
    /// It was commanded closed (or closed by itself) at some instant of the scored time.
    pub ever_closed: bool,
}

/// Scores of one heater.
#[derive(Debug, Clone, PartialEq)]
pub struct HeaterScores {
    /// The heater's name.
    pub heater: String,
    /// Electrical energy, kWh.
    pub energy_kwh: f64,
    /// Share of the time drawing power, 0..=1.
    pub on_frac: f64,
    /// Highest temperature of its body, °C.
    pub hottest_body_c: f64,
    /// Time out of the water, ms.
    pub in_air_ms: Millis,
}

/// Scores of one chiller.
#[derive(Debug, Clone, PartialEq)]
pub struct ChillerScores {
    /// The chiller's name.
    pub chiller: String,
    /// Electrical energy, kWh.
    pub energy_kwh: f64,
    /// Share of the time running, 0..=1.
    pub on_frac: f64,
    /// Starts.
    pub starts: u64,
    /// Shortest rest between two runs, ms.
    pub shortest_off_ms: Option<Millis>,
}

/// What became of a circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitScores {
    /// The circuit's name.
    pub circuit: String,
    /// Largest current, warm-up included, A; `None`: not metered, since no breaker or backup asks for it.
    pub highest_a: Option<f64>,
    /// When its breaker tripped from overload, ms.
    pub tripped_ms: Option<Millis>,
}

/// What became of a backup.
#[derive(Debug, Clone, PartialEq)]
pub struct BackupScores {
    /// The backup's name.
    pub backup: String,
    /// When it first ran out, ms.
    pub ran_out_ms: Option<Millis>,
}

/// Salinity of the system over the scored time, looked at every ten minutes, and every minute while something moves water.
#[derive(Debug, Clone, PartialEq)]
pub struct SalinityScores {
    /// Lowest, g/kg.
    pub lowest_g_per_kg: f64,
    /// In which tank that was.
    pub lowest_tank: String,
    /// Highest, g/kg.
    pub highest_g_per_kg: f64,
    /// In which tank that was.
    pub highest_tank: String,
    /// First time outside the range wanted, ms; `None`: never, or none stated.
    pub outside_from_ms: Option<Millis>,
    /// Time outside the range wanted, h; 0 where none is stated.
    pub outside_range_h: f64,
    /// The range wanted, lowest and highest, g/kg; `None`: none stated.
    pub wanted_g_per_kg: Option<(f64, f64)>,
}

/// Level of one tank over the scored time, with livestock or without, looked at every ten minutes, and every minute while something moves
/// water.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelScores {
    /// The tank's name.
    pub tank: String,
    /// Height of the water as built, m.
    pub full_m: f64,
    /// Lowest, m.
    pub lowest_m: f64,
    /// Highest, m.
    pub highest_m: f64,
    /// Water that ran over its brim over the whole run, m³.
    pub run_over_m3: f64,
    /// The longest time that nothing turned the tank's water, ms.
    pub longest_still_ms: Millis,
}

/// The room over the scored time, looked at every ten minutes (an answering room every minute).
#[derive(Debug, Clone, PartialEq)]
pub struct RoomScores {
    /// Lowest temperature, °C.
    pub lowest_c: f64,
    /// Highest temperature, °C.
    pub highest_c: f64,
    /// Highest relative humidity, 0..=1.
    pub highest_humidity_frac: f64,
    /// Time with saturated air, when windows run, h; 0 for prescribed air.
    pub saturated_h: f64,
    /// Heat that the room's own heating gave, kWh: what it takes of gas or current is another matter. `None` for prescribed air.
    pub heating_kwh: Option<f64>,
    /// Heat that the room's own cooling took, kWh; `None` for prescribed air.
    pub cooling_kwh: Option<f64>,
}

/// Where the heat of a run came from and went, J, over the whole run (warm-up included).
#[derive(Debug, Clone, PartialEq)]
pub struct HeatBalance {
    /// Paths by name: positive into the water and bodies.
    pub paths: Vec<HeatPath>,
    /// Change of stored heat, Σ C ΔT, J.
    pub stored_j: f64,
    /// Sum of the absolute values of all paths, J.
    pub turned_over_j: f64,
    /// |Σ paths − stored| / turned over (at least 1 J); below 1e-9 in a sound run.
    pub error_frac: f64,
}

/// One path of heat.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatPath {
    /// Name: "heater left", "walls display".
    pub name: String,
    /// J, positive into the system.
    pub heat_j: f64,
}
