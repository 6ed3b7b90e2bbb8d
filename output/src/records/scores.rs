//! The scores of one run under published names. Definitions: [`tepid_sim::scores`].

use super::past_dose::L_PER_M3;
use serde::{Deserialize, Serialize};
use tepid_sim::scenario;
use tepid_sim::scores::{Dose, Scores, TankScores};
use tepid_sim::time::{hours, seconds};

use super::supply::{BackupResult, CircuitResult};
use super::{OxygenResult, PastDose};

/// One line of the danger table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DangerLine {
    /// °C.
    pub temp_c: f64,
    /// Longest time borne at it, h; `None`: none at all.
    pub allowed_h: Option<f64>,
}

impl From<&scenario::DangerLine> for DangerLine {
    fn from(line: &scenario::DangerLine) -> Self {
        Self {
            temp_c: line.temp_c,
            allowed_h: line.allowed_ms.map(hours),
        }
    }
}

/// The scores of one run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RunScores {
    /// Scored time, h.
    pub scored_h: f64,
    /// Name of the worst tank.
    pub worst_tank: Option<String>,
    /// How many tanks are past the dose; left out where fewer than two have livestock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub past_dose: Option<PastDose>,
    /// Tanks with livestock.
    pub tanks: Vec<TankResult>,
    /// All contacts.
    pub contacts: Vec<ContactResult>,
    /// All heaters.
    pub heaters: Vec<HeaterResult>,
    /// All fans.
    pub fans: Vec<FanResult>,
    /// All chillers.
    pub chillers: Vec<ChillerResult>,
    /// All circuits.
    pub circuits: Vec<CircuitResult>,
    /// All backups.
    pub backups: Vec<BackupResult>,
    /// Salinity of the system.
    pub salinity: SalinityResult,
    /// Water levels of all tanks.
    pub levels: Vec<LevelResult>,
    /// What the room was like.
    pub room: RoomResult,
    /// Time in which heaters and a fan or chiller worked against each other, h.
    #[serde(default)]
    pub heating_against_cooling_h: f64,
    /// All electricity of the system, kWh.
    pub energy_kwh: f64,
    /// Its cost in the scenario's currency, if a price is stated.
    pub cost: Option<f64>,
    /// Evaporated water, kg; negative: condensed.
    pub evaporated_kg: f64,
    /// Alerts that got out.
    pub alerts: u32,
    /// First alert that got out, h.
    pub first_alert_h: Option<f64>,
    /// Alerts that got out while nothing was broken and no stocked tank was beyond a line of danger.
    pub nuisance_alerts: u32,
    /// The same per year.
    pub nuisance_alerts_per_year: f64,
    /// First time somebody heard of an alert, h.
    pub heard_h: Option<f64>,
    /// Who that was.
    pub heard_by: Option<String>,
    /// First time somebody acted, h.
    pub acted_h: Option<f64>,
    /// Dose used up less somebody heard of an alert, h; negative = too late.
    pub warning_lead_h: Option<f64>,
    /// Where the heat came from and went.
    pub heat_balance: HeatBalance,
}

/// Scores of one tank with livestock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TankResult {
    /// The tank's name.
    pub tank: String,
    /// Mean temperature, °C.
    pub mean_c: f64,
    /// Highest temperature, °C.
    pub highest_c: f64,
    /// When, h.
    pub highest_at_h: f64,
    /// Lowest temperature, °C.
    pub lowest_c: f64,
    /// When, h.
    pub lowest_at_h: f64,
    /// Temperature at the end, °C.
    pub end_c: f64,
    /// Above the target at most, K.
    pub overshoot_k: f64,
    /// Below the target at most, K.
    pub undershoot_k: f64,
    /// Time above the band, h.
    pub above_band_h: f64,
    /// Time below the band, h.
    pub below_band_h: f64,
    /// Integral above the band, K·h.
    pub above_band_k_h: f64,
    /// Integral below the band, K·h.
    pub below_band_k_h: f64,
    /// Root of the mean squared deviation from the target, K.
    pub rms_deviation_k: f64,
    /// Fastest change within an hour, K; `None` in runs shorter than an hour.
    pub fastest_per_hour_k: Option<f64>,
    /// Fastest change within a day, K; `None` in runs shorter than a day.
    pub fastest_per_day_k: Option<f64>,
    /// Longest recovery after a happening ended; `None`: none was needed.
    pub recovery: Option<RecoveryResult>,
    /// Dose on the hot side.
    pub hot: DoseResult,
    /// Dose on the cold side.
    pub cold: DoseResult,
    /// Oxygen; left out where no stock is stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oxygen: Option<OxygenResult>,
}

/// How much of what livestock bears was used up, on one side.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DoseResult {
    /// 1 = used up.
    pub used: f64,
    /// When it was used up, h.
    pub used_up_h: Option<f64>,
    /// Distance of the extreme temperature to the mildest line, K; negative = beyond it.
    pub margin_k: Option<f64>,
    /// When each line was first reached, h.
    pub reached_h: Vec<Option<f64>>,
    /// Integral beyond the mildest line, K·h.
    pub beyond_k_h: f64,
}

/// Scores of one contact.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ContactResult {
    /// The contact's name.
    pub contact: String,
    /// Closings.
    pub closings: u64,
    /// Closings per day.
    pub closings_per_day: f64,
    /// Shortest time closed, s.
    pub shortest_on_s: Option<f64>,
    /// Shortest time open, s.
    pub shortest_off_s: Option<f64>,
    /// Share of the time closed, 0..=1.
    pub closed_frac: f64,
    /// Closing wears it; a solid-state switch may close as often as it likes.
    pub wears: bool,
    /// Life at that rate, years; `None` without a rating, without a closing, or where it sticks during the run: its life is over.
    pub life_years: Option<f64>,
}

/// Scores of one heater.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HeaterResult {
    /// The heater's name.
    pub heater: String,
    /// Electrical energy, kWh.
    pub energy_kwh: f64,
    /// Share of the time drawing power, 0..=1.
    pub on_frac: f64,
    /// Highest temperature of its body, °C.
    pub hottest_body_c: f64,
    /// Time out of the water, h.
    pub in_air_h: f64,
}

/// Scores of one fan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FanResult {
    /// The fan's name.
    pub fan: String,
    /// Electrical energy, kWh.
    pub energy_kwh: f64,
}

/// Where the heat of a run came from and went, warm-up included.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HeatBalance {
    /// Paths by name.
    pub paths: Vec<HeatPath>,
    /// Change of stored heat, J.
    pub stored_j: f64,
    /// Sum of the absolute values of all paths, J.
    pub turned_over_j: f64,
    /// What does not add up, as a share of the heat turned over.
    pub error_frac: f64,
}

/// One path of heat.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HeatPath {
    /// Name.
    pub name: String,
    /// J, positive into the water and bodies.
    pub heat_j: f64,
}

impl RunScores {
    /// The same scores under published names; fans are named by `fan_names`, in the scenario's order.
    #[must_use]
    pub fn new(scores: &Scores, fan_names: &[String]) -> Self {
        Self {
            scored_h: hours(scores.scored_ms),
            worst_tank: scores.tanks.get(scores.worst_tank).map(|tank| tank.tank.clone()),
            past_dose: PastDose::of(scores),
            tanks: scores.tanks.iter().map(TankResult::from).collect(),
            contacts: scores
                .contacts
                .iter()
                .map(|contact| ContactResult {
                    contact: contact.contact.clone(),
                    closings: contact.closings,
                    closings_per_day: contact.closings_per_day,
                    shortest_on_s: contact.shortest_on_ms.map(seconds),
                    shortest_off_s: contact.shortest_off_ms.map(seconds),
                    closed_frac: contact.closed_frac,
                    wears: contact.wears,
                    life_years: contact.life_years,
                })
                .collect(),
            heaters: scores
                .heaters
                .iter()
                .map(|heater| HeaterResult {
                    heater: heater.heater.clone(),
                    energy_kwh: heater.energy_kwh,
                    on_frac: heater.on_frac,
                    hottest_body_c: heater.hottest_body_c,
                    in_air_h: hours(heater.in_air_ms),
                })
                .collect(),
            fans: fan_names
                .iter()
                .zip(&scores.fan_energy_kwh)
                .map(|(fan, &energy_kwh)| FanResult {
                    fan: fan.clone(),
                    energy_kwh,
                })
                .collect(),
            chillers: scores
                .chillers
                .iter()
                .map(|chiller| ChillerResult {
                    chiller: chiller.chiller.clone(),
                    energy_kwh: chiller.energy_kwh,
                    on_frac: chiller.on_frac,
                    starts: chiller.starts,
                    shortest_off_s: chiller.shortest_off_ms.map(seconds),
                })
                .collect(),
            circuits: scores.circuits.iter().map(CircuitResult::from).collect(),
            backups: scores.backups.iter().map(BackupResult::from).collect(),
            salinity: SalinityResult {
                lowest_g_per_kg: scores.salinity.lowest_g_per_kg,
                lowest_tank: scores.salinity.lowest_tank.clone(),
                highest_g_per_kg: scores.salinity.highest_g_per_kg,
                highest_tank: scores.salinity.highest_tank.clone(),
                outside_range_h: scores.salinity.outside_range_h,
                wanted_g_per_kg: scores.salinity.wanted_g_per_kg.map(|(low, high)| [low, high]),
            },
            levels: scores
                .levels
                .iter()
                .map(|level| LevelResult {
                    tank: level.tank.clone(),
                    full_m: level.full_m,
                    lowest_m: level.lowest_m,
                    highest_m: level.highest_m,
                    run_over_l: L_PER_M3 * level.run_over_m3,
                })
                .collect(),
            room: RoomResult {
                lowest_c: scores.room.lowest_c,
                highest_c: scores.room.highest_c,
                highest_humidity_frac: scores.room.highest_humidity_frac,
                saturated_h: scores.room.saturated_h,
                heating_kwh: scores.room.heating_kwh,
                cooling_kwh: scores.room.cooling_kwh,
                outdoors_c: None,
            },
            heating_against_cooling_h: hours(scores.heating_against_cooling_ms),
            energy_kwh: scores.energy_kwh,
            cost: scores.cost,
            evaporated_kg: scores.evaporated_kg,
            alerts: scores.alerts,
            first_alert_h: scores.first_alert_ms.map(hours),
            nuisance_alerts: scores.nuisance_alerts,
            nuisance_alerts_per_year: scores.nuisance_alerts_per_year(),
            heard_h: scores.heard.as_ref().map(|heard| hours(heard.at_ms)),
            heard_by: scores.heard.as_ref().map(|heard| heard.by.clone()),
            acted_h: scores.acted_ms.map(hours),
            warning_lead_h: scores.warning_lead_ms.map(hours),
            heat_balance: HeatBalance {
                paths: scores
                    .heat_balance
                    .paths
                    .iter()
                    .map(|path| HeatPath {
                        name: path.name.clone(),
                        heat_j: path.heat_j,
                    })
                    .collect(),
                stored_j: scores.heat_balance.stored_j,
                turned_over_j: scores.heat_balance.turned_over_j,
                error_frac: scores.heat_balance.error_frac,
            },
        }
    }
}

/// How long a tank took to be back inside the band.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RecoveryResult {
    /// From the end of the happening, h.
    pub length_h: f64,
    /// The happening.
    pub after: String,
    /// It was back within the run; else `length_h` counts up to its end.
    pub complete: bool,
}

/// One chiller of a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ChillerResult {
    /// Name.
    pub chiller: String,
    /// Electricity, kWh.
    pub energy_kwh: f64,
    /// Share of the time running, 0..=1.
    pub on_frac: f64,
    /// Starts.
    pub starts: u64,
    /// Shortest rest between two runs, s.
    pub shortest_off_s: Option<f64>,
}

/// Salinity over a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SalinityResult {
    /// Lowest, g/kg.
    pub lowest_g_per_kg: f64,
    /// In which tank that was.
    pub lowest_tank: String,
    /// Highest, g/kg.
    pub highest_g_per_kg: f64,
    /// In which tank that was.
    pub highest_tank: String,
    /// Time outside the range wanted, h.
    pub outside_range_h: f64,
    /// The range wanted, lowest and highest, g/kg; left out where none is stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wanted_g_per_kg: Option<[f64; 2]>,
}

/// Level of one tank over a run, with livestock or without.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LevelResult {
    /// The tank's name.
    pub tank: String,
    /// Height of the water as built, m.
    pub full_m: f64,
    /// Lowest, m.
    pub lowest_m: f64,
    /// Highest, m.
    pub highest_m: f64,
    /// Water that ran over its brim, L.
    #[serde(default)]
    pub run_over_l: f64,
}

/// The room over a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RoomResult {
    /// Lowest temperature, °C.
    pub lowest_c: f64,
    /// Highest temperature, °C.
    pub highest_c: f64,
    /// Highest relative humidity, 0..=1.
    pub highest_humidity_frac: f64,
    /// Time with saturated air, h.
    pub saturated_h: f64,
    /// Heat that the room's own heating gave, kWh, whatever it burns or draws for it; `None` where the room is prescribed.
    pub heating_kwh: Option<f64>,
    /// Heat that the room's own cooling took, kWh; `None` where the room is prescribed.
    pub cooling_kwh: Option<f64>,
    /// Lowest and highest temperature outdoors, °C; `None` where the room is prescribed.
    pub outdoors_c: Option<[f64; 2]>,
}

impl From<&TankScores> for TankResult {
    fn from(tank: &TankScores) -> Self {
        Self {
            tank: tank.tank.clone(),
            mean_c: tank.mean_c,
            highest_c: tank.highest_c,
            highest_at_h: hours(tank.highest_at_ms),
            lowest_c: tank.lowest_c,
            lowest_at_h: hours(tank.lowest_at_ms),
            end_c: tank.end_c,
            overshoot_k: tank.overshoot_k,
            undershoot_k: tank.undershoot_k,
            above_band_h: tank.above_band_h,
            below_band_h: tank.below_band_h,
            above_band_k_h: tank.above_band_k_h,
            below_band_k_h: tank.below_band_k_h,
            rms_deviation_k: tank.rms_deviation_k,
            fastest_per_hour_k: tank.fastest_per_hour_k,
            fastest_per_day_k: tank.fastest_per_day_k,
            recovery: tank.recovery.as_ref().map(|recovery| RecoveryResult {
                length_h: recovery.length_h,
                after: recovery.after.clone(),
                complete: recovery.complete,
            }),
            hot: DoseResult::from(&tank.hot),
            cold: DoseResult::from(&tank.cold),
            oxygen: tank.oxygen.as_ref().map(OxygenResult::from),
        }
    }
}

impl From<&Dose> for DoseResult {
    fn from(dose: &Dose) -> Self {
        Self {
            used: dose.used,
            used_up_h: dose.used_up_ms.map(hours),
            margin_k: dose.margin_k,
            reached_h: dose.reached_ms.iter().map(|at| at.map(hours)).collect(),
            beyond_k_h: dose.beyond_k_h,
        }
    }
}
