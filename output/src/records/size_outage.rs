//! A tank without electricity: oxygen, then heat.

use serde::{Deserialize, Serialize};

use super::HoursToLine;

/// What becomes of the water when the mains are out, from the target on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeOutage {
    /// How long the mains are out, h.
    pub lasts_h: f64,
    /// The house cools evenly to this until the mains are back, °C; `None`: it stays as it is.
    pub house_falls_to_c: Option<f64>,
    /// Power of the heaters that warm the water again, W.
    pub back_heater_w: f64,
    /// How long the water is followed at least where nothing comes back, h.
    pub followed_h: f64,
    /// Resistance of the wrap around the sides of every tank, m² K/W.
    pub wrap_m2_k_per_w: f64,
    /// Oxygen in the coldest and the warmest room; empty where no stock is stated.
    pub oxygen: Vec<OutageOxygen>,
    /// Lower end of the band, °C.
    pub band_from_c: f64,
    /// The coldest line to hold, °C: the mildest cold danger line.
    pub safe_c: f64,
    /// The water in the coldest room, bare, then wrapped.
    pub courses: Vec<OutageCourse>,
    /// What the scenario's own backups make of it; `None`: none is stated.
    pub backed: Option<OutageBacked>,
    /// What other circumstances would make of it, the largest change first.
    pub changes: Vec<OutageChange>,
}

/// Oxygen without electricity in one room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutageOxygen {
    /// The room, in words.
    pub room: String,
    /// °C.
    pub room_c: f64,
    /// Hours until it is below half saturation; `None`: not while the water is followed.
    pub below_half_after_h: Option<f64>,
    /// It is so, or nearly as soon, with the mains on and everything working.
    pub below_half_already: bool,
    /// Lowest within the outage, mg/L.
    pub lowest_mg_per_l: f64,
    /// The same as a share of saturation.
    pub lowest_saturation_frac: f64,
}

/// The water without heat.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutageCourse {
    /// The sides are wrapped.
    pub wrapped: bool,
    /// Hours to each cold danger line, mildest first; `None`: not while the water is followed.
    pub hours_to_lines: Vec<HoursToLine>,
    /// Hours until the cold dose is used up, if the mains do not come back; `None`: not while the water is followed.
    pub dose_used_up_h: Option<f64>,
    /// When the mains come back, °C.
    pub end_c: f64,
    /// From then on until it is within its band again, the house at once as warm as before, h; `None`: it never left the band, or is not back while it
    /// is followed.
    pub back_after_h: Option<f64>,
    /// Electricity that a heater takes to hold the line to hold until the mains come back, Wh.
    pub holding_wh: f64,
    /// How long of the outage that heater is needed for at all, h: from the first time the water is at the line on.
    pub holding_from_h: Option<f64>,
}

/// An outage with the scenario's own backups.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutageBacked {
    /// Who controls.
    pub strategy: String,
    /// Each of them.
    pub backups: Vec<OutageBackup>,
    /// Hours until oxygen is below half saturation; `None`: not within the outage, or no stock stated.
    pub oxygen_below_half_after_h: Option<f64>,
    /// Hours to each cold danger line within the outage, mildest first.
    pub hours_to_lines: Vec<HoursToLine>,
    /// When the mains come back, °C.
    pub end_c: f64,
}

/// What a backup stores and feeds, and what it cannot do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutageBackup {
    /// Its name.
    pub backup: String,
    /// What can be taken out of it, Wh; `None`: it is no battery.
    pub usable_wh: Option<f64>,
    /// It feeds no more than this, W.
    pub limit_w: f64,
    /// What it feeds, most important first, with the power of each, W.
    pub feeds: Vec<OutageLoad>,
    /// Hours into the outage at which it runs out; `None`: not within it.
    pub ran_out_after_h: Option<f64>,
    /// The whole of a battery spent on holding the line, bare and wrapped: hours until the water is below it all the same; `None`: not within the
    /// outage. Empty: it is no battery, or its limit leaves nothing for a heater.
    pub alone_holds_h: Vec<Option<f64>>,
}

/// Something that hangs on a backup.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutageLoad {
    /// In words: "heater left".
    pub load: String,
    /// What it draws when it runs, W.
    pub power_w: f64,
    /// It fits under the limit beside what is more important.
    pub fits: bool,
    /// It stays off all the same: what closes its contacts is a controller without electricity.
    pub waits_for_controller: bool,
}

/// An outage under another circumstance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutageChange {
    /// What is different.
    pub what: String,
    /// Hours until the line to hold, bare; `None`: not while the water is followed.
    pub bare_after_h: Option<f64>,
    /// The same with the sides wrapped.
    pub wrapped_after_h: Option<f64>,
    /// Electricity that a heater takes to hold the line, bare, Wh.
    pub holding_wh: f64,
}
