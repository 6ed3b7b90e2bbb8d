//! Where the heat goes.

use serde::{Deserialize, Serialize};

use super::{ByCorrelation, RecordKind, Uncertainty, Warning};
use crate::cautions::Cautioned;

/// The heat budget of a scenario at its target, in its own mean room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Budget {
    /// [`RecordKind::Budget`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// The scenario's name.
    pub scenario: String,
    /// The scenario's title.
    pub title: String,
    /// The water system, by its tanks; left out where the scenario is a single one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub system: Option<String>,
    /// All water at this temperature, °C.
    pub target_c: f64,
    /// Room temperature, °C.
    pub room_c: f64,
    /// What makes the room so, with the water at the target, in the mean; `None`: it is as the scenario prescribes.
    pub building: Option<BudgetBuilding>,
    /// Relative humidity of the room, 0..=1.
    pub relative_humidity_frac: f64,
    /// Ways out, largest first; they add up to `total_loss_w`.
    pub losses: Vec<BudgetPath>,
    /// Gains other than heaters, in their daily mean: pumps, lights, sun.
    pub gains: Vec<BudgetPath>,
    /// Sum of the losses, W.
    pub total_loss_w: f64,
    /// Further loss per kelvin of warmer water, W/K.
    pub slope_w_per_k: f64,
    /// Loss with water and room equally warm, W.
    pub loss_at_equal_temperatures_w: f64,
    /// Heat capacity of all water, rock and glass that follows it, J/K.
    pub heat_capacity_j_per_k: f64,
    /// Heat capacity / slope, h.
    pub time_constant_h: f64,
    /// Heat that heaters must give the water to hold the target, W.
    pub heat_needed_w: f64,
    /// Electricity with which they do that in the mean, W: more where a part of their heat misses the water.
    pub heater_needed_w: f64,
    /// Rated power of all heaters, W.
    pub heaters_rated_w: f64,
    /// Heat that all heaters together give water at the target while they stay on, W.
    pub heaters_to_water_w: f64,
    /// The coldest room in which all heaters together still hold the target, °C; `None`: not within the range searched.
    pub coldest_room_held_c: Option<f64>,
    /// Evaporated water, L a day; negative: condensed.
    pub evaporation_l_per_day: f64,
    /// Where the water settles without heaters, °C; `None`: not within the range searched.
    pub unheated_c: Option<f64>,
    /// How long the water is followed with every heater on for good, h.
    pub stuck_on_followed_h: f64,
    /// Every heater on for good, in each room.
    pub stuck_on: Vec<StuckOn>,
    /// The same tank by other published correlations for evaporation, the scenario's own first.
    pub by_correlation: Vec<ByCorrelation>,
    /// How far these figures may be off; `None`: not asked for.
    pub uncertainty: Option<Uncertainty>,
    /// Where the scenario leaves what the model is good for.
    pub warnings: Vec<Warning>,
    /// What was assumed for want of a statement.
    pub assumptions: Vec<String>,
    /// Cautions that belong to this result.
    pub cautions: Vec<Cautioned>,
}

/// The budgets of several water systems that share a room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Budgets {
    /// [`RecordKind::Budgets`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// One per system, in the order of their first tanks.
    pub systems: Vec<Budget>,
}

/// The building of a room that answers to what stands in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BudgetBuilding {
    /// Mean outdoors, °C.
    pub outdoors_c: f64,
    /// Its device that works; `None`: neither heating nor cooling does.
    pub device: Option<RoomDeviceKind>,
    /// Heat that device gives or takes in the mean, W.
    pub device_w: f64,
    /// The most it can, W.
    pub device_rated_w: f64,
}

/// Which of a room's devices.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RoomDeviceKind {
    /// Its heating.
    Heating,
    /// Its cooling.
    Cooling,
}

/// One way of the heat.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BudgetPath {
    /// Name: "evaporation", "glass", "radiation".
    pub name: String,
    /// The tank.
    pub tank: String,
    /// Heat flow in the sense of the list it stands in, W.
    pub power_w: f64,
    /// Share of the total loss, per cent.
    pub percent: f64,
}

/// Every heater on for good, in one constant room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StuckOn {
    /// The room, in words: "constant at its mean", "constant at the year's coldest".
    pub room: String,
    /// Its temperature, °C.
    pub room_c: f64,
    /// Its relative humidity, 0..=1.
    pub relative_humidity_frac: f64,
    /// Where the water settles, °C; `None`: not within the range searched.
    pub end_c: Option<f64>,
    /// Hours from the target to each hot line.
    pub hours_to_lines: Vec<HoursToLine>,
}

/// Time to one line of the danger table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct HoursToLine {
    /// The line, °C.
    pub temp_c: f64,
    /// Hours; `None`: not within the time followed.
    pub after_h: Option<f64>,
}
