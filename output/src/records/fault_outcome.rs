//! What one fault does to one strategy in one room.

use serde::{Deserialize, Serialize};

use super::{FaultOxygen, FaultSalinity, Livestock, PastDose, RoomKind};
use crate::cautions::Caution;

/// One fault case of one strategy in one room; the worst replicate. Hours count from the start of the fault.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FaultOutcome {
    /// The fault set it belongs to: "one contact welded".
    pub set: String,
    /// The case: "relay left welded".
    pub case: String,
    /// What fails, if it is one component.
    pub component: Option<String>,
    /// What kind of failure it is.
    pub kind: FaultKind,
    /// The room it was tried in.
    pub room: RoomKind,
    /// Lowest room temperature from the start of the fault to the horizon, °C.
    pub room_lowest_c: f64,
    /// Highest room temperature from the start of the fault to the horizon, °C.
    pub room_highest_c: f64,
    /// When the fault began, h after time zero (the worst of the instants tried).
    pub began_h: Option<f64>,
    /// At how many instants it was tried; 1 where its start is stated.
    pub tries: u32,
    /// How long it was followed, h.
    pub horizon_h: f64,
    /// The worst tank with livestock.
    pub tank: Option<String>,
    /// Highest temperature, °C.
    pub peak_c: Option<f64>,
    /// Lowest temperature, °C.
    pub lowest_c: Option<f64>,
    /// Dose used, hot side.
    pub hot_dose: Option<f64>,
    /// Dose used, cold side.
    pub cold_dose: Option<f64>,
    /// ∫ beyond the mildest line, the larger side, K·h.
    pub beyond_k_h: Option<f64>,
    /// Hottest heater body, °C; `None` without a heater.
    pub hottest_body_c: Option<f64>,
    /// Highest temperature of the same time with nothing broken, °C.
    pub peak_without_fault_c: Option<f64>,
    /// Lowest temperature of the same time with nothing broken, °C.
    pub lowest_without_fault_c: Option<f64>,
    /// Hot dose of the same time with nothing broken.
    pub hot_dose_without_fault: Option<f64>,
    /// Cold dose of the same time with nothing broken.
    pub cold_dose_without_fault: Option<f64>,
    /// Hours to each hot line with nothing broken; `None`: not reached.
    pub hot_reached_without_fault_h: Vec<Option<f64>>,
    /// Hours to each cold line with nothing broken; `None`: not reached.
    pub cold_reached_without_fault_h: Vec<Option<f64>>,
    /// Hours until the hot dose was used up; 0 or negative: before the fault; `None`: not within the horizon.
    pub hot_used_up_h: Option<f64>,
    /// Hours until the cold dose was used up; 0 or negative: before the fault; `None`: not within the horizon.
    pub cold_used_up_h: Option<f64>,
    /// The same room, strategy and time with nothing broken: hours from the start of the fault until the hot dose was used
    /// up; 0 or negative: before the fault; `None`: not within the horizon.
    pub hot_used_up_without_fault_h: Option<f64>,
    /// The same for the cold dose.
    pub cold_used_up_without_fault_h: Option<f64>,
    /// Hours to each hot line, in the order of the danger table; 0 or negative: passed before the fault; `None`: not
    /// reached.
    pub hot_reached_h: Vec<Option<f64>>,
    /// Hours to each cold line, in the order of the danger table; 0 or negative: passed before the fault; `None`: not
    /// reached.
    pub cold_reached_h: Vec<Option<f64>>,
    /// Hours until the first alert got out; `None`: none did.
    pub first_alert_h: Option<f64>,
    /// Hours until somebody heard of an alert; `None`: nobody did.
    pub heard_h: Option<f64>,
    /// Who that was.
    pub heard_by: Option<String>,
    /// Hours until somebody acted; `None`: nobody did.
    pub acted_h: Option<f64>,
    /// Hours between somebody hearing of an alert and the dose being used up; negative = too late.
    pub warning_lead_h: Option<f64>,
    /// Oxygen of the same tank and run; left out where no stock is stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oxygen: Option<FaultOxygen>,
    /// Salinity of all tanks with livestock; left out where no range is wanted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub salinity: Option<FaultSalinity>,
    /// How many tanks are past the dose; left out where fewer than two have livestock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub past_dose: Option<PastDose>,
    /// Whether neither dose was used up; `None`: the runs failed.
    pub stays_below_dose: Option<bool>,
    /// Why the runs failed.
    pub failure: Option<String>,
    /// What must be said beside this outcome.
    pub cautions: Vec<Caution>,
}

/// Kinds of failure, by what would have to be there to bear one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum FaultKind {
    /// A contact in a heater's chain that cannot open.
    HeaterWelded,
    /// A contact in the chain of a fan or a chiller that cannot open.
    CoolingWelded,
    /// A heater that does not heat: dead, unplugged, or behind a contact that cannot close.
    HeatingLost,
    /// A fan or a chiller behind a contact that cannot close.
    CoolingLost,
    /// A thermostat or cut-out that switches too high.
    DialOff,
    /// No electricity.
    Outage,
    /// A pump that stands still.
    PumpStopped,
    /// A probe that reads something else than the water.
    ProbeWrong,
    /// A probe that gives no reading.
    ProbeSilent,
    /// Water that runs out.
    Leak,
    /// A top-off that does not run, or does not stop.
    TopOff,
    /// Water of another temperature.
    WaterChange,
    /// A room that is warmer or colder, or whose heating or cooling fails.
    Room,
    /// Another cover.
    Cover,
    /// A light that stays dark, or on.
    Light,
    /// A contact that parts and closes again and again.
    ContactChatters,
    /// A circuit whose breaker or residual-current device is open.
    CircuitTripped,
    /// Mains of another voltage.
    MainsOff,
    /// A controller that hangs or comes back in another state.
    ControllerHung,
    /// Alerts that do not get out.
    AlertsLost,
}

impl FaultOutcome {
    /// The larger of the two doses.
    #[must_use]
    pub fn larger_dose(&self) -> Option<f64> {
        match (self.hot_dose, self.cold_dose) {
            (Some(hot), Some(cold)) => Some(hot.max(cold)),
            (hot, cold) => hot.or(cold),
        }
    }

    /// Dose that the fault added on the side where it added more; 0 or less: it made nothing worse.
    #[must_use]
    pub fn added_dose(&self) -> Option<f64> {
        let added = |with: Option<f64>, without: Option<f64>| Some(with? - without?);
        added(self.hot_dose, self.hot_dose_without_fault)
            .into_iter()
            .chain(added(self.cold_dose, self.cold_dose_without_fault))
            .reduce(f64::max)
    }

    /// How much farther than with nothing broken the fault took an extreme temperature, on the side where it took it farther, K.
    #[must_use]
    pub fn added_extreme_k(&self) -> Option<f64> {
        let added = |farther: Option<f64>, nearer: Option<f64>| Some(farther? - nearer?);
        added(self.peak_c, self.peak_without_fault_c)
            .into_iter()
            .chain(added(self.lowest_without_fault_c, self.lowest_c))
            .reduce(f64::max)
    }

    /// Whether the dose is used up in that room within the time followed with nothing broken.
    #[must_use]
    pub fn past_without_fault(&self) -> bool {
        self.hot_used_up_without_fault_h.is_some() || self.cold_used_up_without_fault_h.is_some()
    }

    /// Hours until a dose was used up that would not have been with nothing broken; `None`: the fault takes nothing past
    /// the dose, or nothing that was not going past it anyway.
    #[must_use]
    pub fn taken_past_h(&self) -> Option<f64> {
        let taken = |with: Option<f64>, without: Option<f64>| with.filter(|_| without.is_none());
        taken(self.hot_used_up_h, self.hot_used_up_without_fault_h)
            .into_iter()
            .chain(taken(self.cold_used_up_h, self.cold_used_up_without_fault_h))
            .reduce(f64::min)
    }

    /// Distance to the nearest of the two mildest lines, K; negative = beyond it; `None` without lines or temperatures.
    #[must_use]
    pub fn margin_k(&self, livestock: &Livestock) -> Option<f64> {
        let below_hot = livestock
            .danger_hot
            .first()
            .and_then(|line| Some(line.temp_c - self.peak_c?));
        let above_cold = livestock
            .danger_cold
            .first()
            .and_then(|line| Some(self.lowest_c? - line.temp_c));
        below_hot.into_iter().chain(above_cold).reduce(f64::min)
    }

    /// Hours to the first line reached on either side.
    #[must_use]
    pub fn hours_to_first_line(&self) -> Option<f64> {
        self.hot_reached_h
            .iter()
            .chain(&self.cold_reached_h)
            .copied()
            .flatten()
            .reduce(f64::min)
    }

    /// Hours until the first of the two doses was used up.
    #[must_use]
    pub fn used_up_h(&self) -> Option<f64> {
        self.hot_used_up_h
            .into_iter()
            .chain(self.cold_used_up_h)
            .reduce(f64::min)
    }
}
