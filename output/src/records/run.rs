//! One run.

use serde::{Deserialize, Serialize};

use super::{Livestock, RecordKind, Replay, RunScores, Tariff, Warning};
use crate::cautions::Cautioned;

/// One run of one strategy on one scenario.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RunResult {
    /// [`RecordKind::Run`].
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
    /// Temperature the keeper wants, °C.
    pub target_c: f64,
    /// Lower and upper end of the band, °C.
    pub band_c: [f64; 2],
    /// The scores; `None`: the run failed.
    pub scores: Option<RunScores>,
    /// What electricity costs; `None`: no price stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tariff: Option<Tariff>,
    /// Why the run failed.
    pub failure: Option<String>,
    /// What lives there and what it bears.
    pub livestock: Livestock,
    /// The log that was replayed beside the run, where one was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replay: Option<Replay>,
    /// Where the run leaves what the model is good for.
    pub warnings: Vec<Warning>,
    /// What was assumed for want of a statement.
    pub assumptions: Vec<String>,
    /// Cautions that belong to this result.
    pub cautions: Vec<Cautioned>,
}

/// The fault added to a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FaultCase {
    /// The fault set.
    pub set: String,
    /// The case of the set.
    pub case: String,
    /// When it begins, h after time zero; `None`: not fixed beforehand.
    pub began_h: Option<f64>,
}
