//! What alerts are worth: one failure, with people who take ever longer.

use serde::{Deserialize, Serialize};

use super::{FaultCase, RecordKind};
use crate::cautions::Cautioned;

/// What an alert is worth, against how long people take.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ResponseCurve {
    /// [`RecordKind::ResponseCurve`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// The scenario's name.
    pub scenario: String,
    /// The scenario's title.
    pub title: String,
    /// The strategy's name.
    pub strategy: String,
    /// Its settings in use, one line.
    pub settings: String,
    /// The fault that was added, if any.
    pub fault: Option<FaultCase>,
    /// Seed of weather and noise.
    pub seed: u64,
    /// Absolute replicate.
    pub replicate: u64,
    /// The quickest response first, nobody last.
    pub rows: Vec<ResponseWorth>,
    /// Cautions that belong to this result.
    pub cautions: Vec<Cautioned>,
}

/// One point of the curve.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ResponseWorth {
    /// How long everybody takes from hearing an alert to setting to work, h; `None`: nobody answers.
    pub response_h: Option<f64>,
    /// First time somebody heard of an alert, h.
    pub heard_h: Option<f64>,
    /// First time somebody acted, h.
    pub acted_h: Option<f64>,
    /// Highest temperature of the worst tank, °C.
    pub highest_c: f64,
    /// Lowest temperature of the worst tank, °C.
    pub lowest_c: f64,
    /// The larger of its doses; 1 = used up.
    pub dose_used: f64,
    /// It is the dose of cold: a heater that is unplugged for good ends there.
    pub by_cold: bool,
    /// Time from somebody hearing to the dose being used up, h; negative = too late; `None`: either did not happen.
    pub lead_h: Option<f64>,
}
