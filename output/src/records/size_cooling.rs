//! The hottest day: what evaporation can do, and a fan.

use serde::{Deserialize, Serialize};

/// Where the water ends in the warmest room, with every heater off.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeCooling {
    /// The room, in words.
    pub room: String,
    /// °C.
    pub room_c: f64,
    /// Relative humidity, 0..=1.
    pub relative_humidity_frac: f64,
    /// The wet bulb of that air, °C: evaporation alone cools no water much below it.
    pub wet_bulb_c: f64,
    /// Without a fan, under the scenario's own covers.
    pub without: CoolingEnd,
    /// With fans that never stop.
    pub with: CoolingEnd,
    /// The fans.
    pub fans: Vec<CoolingFan>,
    /// The scenario states them; else one was assumed.
    pub stated: bool,
    /// Tanks whose lids were taken off for the fans.
    pub opened: Vec<String>,
    /// The lines that a fan should hold, lowest first.
    pub lines: Vec<CoolingLine>,
    /// Electricity of the fans, kWh a day.
    pub kwh_per_day: f64,
    /// What thirty days of it cost; `None`: no price stated.
    pub cost_per_30_days: Option<f64>,
}

/// Where water settles.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct CoolingEnd {
    /// °C; `None`: it does not settle.
    pub water_c: Option<f64>,
    /// Water to make up, L a day; `None`: likewise.
    pub make_up_l_per_day: Option<f64>,
}

/// A fan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CoolingFan {
    /// Its name.
    pub fan: String,
    /// The tank it blows over.
    pub tank: String,
    /// W.
    pub power_w: f64,
    /// m/s.
    pub speed_m_per_s: f64,
    /// Share of the surface it reaches, 0..=1.
    pub share_frac: f64,
}

/// A line that the water should stay below.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CoolingLine {
    /// "upper end of the band".
    pub line: String,
    /// °C.
    pub temp_c: f64,
    /// Held without a fan.
    pub without_fan: bool,
    /// Held with the fans.
    pub with_fan: bool,
    /// The highest relative humidity of that room with which the fans hold it, 0..=1; `None`: none does. 1: any.
    pub humidity_limit_frac: Option<f64>,
}
