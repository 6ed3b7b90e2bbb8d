//! The air around the tanks, as prescribed.

use super::Role;
use crate::time::Millis;

/// A prescribed room.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    /// Its temperature.
    pub temperature: RoomTemperature,
    /// Its humidity.
    pub humidity: Humidity,
    /// The coldest room of the year, for verdicts.
    pub coldest: VerdictRoom,
    /// The warmest room of the year, for verdicts.
    pub warmest: VerdictRoom,
    /// A room that answers to what stands in it; `None`: its air is prescribed. With it `temperature` and `humidity` are those of the
    /// air outdoors.
    pub lumped: Option<LumpedRoom>,
    /// Relative humidity over time (time ms, 0..=1) from a weather file, straight lines between; empty: `humidity` holds.
    pub humidity_course: Vec<(Millis, f64)>,
    /// Sun on a level square metre over time (time ms, W/m²) from a weather file, straight lines between; empty: none known.
    pub sun_course: Vec<(Millis, f64)>,
}

impl Room {
    /// Heat that the device behind a contact with this role gives or takes, W; 0 where there is none.
    pub(crate) fn device_w(&self, role: Option<Role>) -> f64 {
        let lumped = self.lumped.as_ref();
        let device = match role {
            Some(Role::HeatRoom) => lumped.and_then(|room| room.heating),
            Some(Role::CoolRoom) => lumped.and_then(|room| room.cooling),
            Some(Role::Heat | Role::Cool) | None => None,
        };
        device.map_or(0.0, |thermostat| thermostat.power_w)
    }
}

/// A room as one lump of air and furnishings.
#[derive(Debug, Clone, PartialEq)]
pub struct LumpedRoom {
    /// Volume of its air, m³.
    pub volume_m3: f64,
    /// Heat capacity of air and the furnishings that follow it, J/K.
    pub heat_capacity_j_per_k: f64,
    /// Conductance of its envelope without ventilation, W/K.
    pub envelope_w_per_k: f64,
    /// Air changes per second, 1/s.
    pub air_changes_per_s: f64,
    /// Heat of people and appliances, W.
    pub internal_gain_w: f64,
    /// Moisture of people, kitchen, plants, kg/s.
    pub moisture_kg_per_s: f64,
    /// Sun through the windows.
    pub sun: Option<super::SunShine>,
    /// Heating by its own thermostat.
    pub heating: Option<RoomThermostat>,
    /// Cooling by its own thermostat.
    pub cooling: Option<RoomThermostat>,
}

/// A room's heating or cooling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoomThermostat {
    /// Its setpoint, °C.
    pub setpoint_c: f64,
    /// Heat given or taken while it works, W.
    pub power_w: f64,
    /// Full width of its deadband, centred on the setpoint, K. 1 K: common practice, no source.
    pub deadband_k: f64,
    /// It goes on in an outage.
    pub runs_without_power: bool,
}

/// Room temperature as a sum of parts: course + daily swing + seasonal swing + random drift.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomTemperature {
    /// Points (time ms, °C), in order of time, straight lines between them, the ends continued level; one point = constant;
    /// two points at one time = a step. At least one.
    pub course: Vec<(Millis, f64)>,
    /// Coldest to warmest within a day, K (a sine; twice its amplitude).
    pub swing_k: f64,
    /// Time of day of the warmest moment, ms after midnight.
    pub warmest_ms: Millis,
    /// Coldest to warmest of the daily mean within a year, K (a sine of 365 days); needs a start date, else 0.
    pub season_swing_k: f64,
    /// Day of the year with the warmest mean, 0 = 1 January.
    pub warmest_day: f64,
    /// Standard deviation of the random drift (Ornstein–Uhlenbeck), K.
    pub drift_k: f64,
    /// Correlation time of the drift, ms, > 0 where `drift_k` > 0.
    pub drift_time_ms: Millis,
}

/// Room humidity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Humidity {
    /// Constant humidity ratio: that of the relative humidity at the room's mean temperature (the mean of the
    /// course over the scored time).
    ConstantRatio {
        /// Relative humidity at the mean temperature, 0..=1.
        relative_frac: f64,
    },
    /// Constant relative humidity.
    ConstantRelative {
        /// Relative humidity, 0..=1.
        relative_frac: f64,
    },
}

impl Humidity {
    /// The stated relative humidity, 0..=1.
    #[must_use]
    pub fn relative_frac(self) -> f64 {
        match self {
            Self::ConstantRatio { relative_frac } | Self::ConstantRelative { relative_frac } => relative_frac,
        }
    }
}

/// A constant room in which verdicts are given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VerdictRoom {
    /// °C.
    pub temp_c: f64,
    /// Relative humidity, 0..=1; the scenario's where the file states none.
    pub relative_humidity_frac: f64,
    /// The file states it (else it was taken from the scenario's own room).
    pub stated: bool,
}
