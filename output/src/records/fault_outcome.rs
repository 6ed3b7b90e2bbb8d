//! What one fault does to one strategy in one room.

use serde::{Deserialize, Serialize};

use super::RoomKind;
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
    /// The room it was tried in.
    pub room: RoomKind,
    /// Lowest room temperature from the start of the fault to the horizon, °C.
    pub room_lowest_c: f64,
    /// Highest room temperature from the start of the fault to the horizon, °C.
    pub room_highest_c: f64,
    /// When the fault began, h after time zero (the worst of the instants tried).
    pub began_h: Option<f64>,
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
    /// Hours until the hot dose was used up; `None`: not within the horizon.
    pub hot_used_up_h: Option<f64>,
    /// Hours until the cold dose was used up; `None`: not within the horizon.
    pub cold_used_up_h: Option<f64>,
    /// Hours to each hot line, in the order of the danger table; `None`: not reached.
    pub hot_reached_h: Vec<Option<f64>>,
    /// Hours to each cold line, in the order of the danger table; `None`: not reached.
    pub cold_reached_h: Vec<Option<f64>>,
    /// Hours between somebody being alerted and the dose being used up; negative = too late.
    pub warning_lead_h: Option<f64>,
    /// Whether neither dose was used up; `None`: the runs failed.
    pub stays_below_dose: Option<bool>,
    /// Why the runs failed.
    pub failure: Option<String>,
    /// What must be said beside this outcome.
    pub cautions: Vec<Caution>,
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
