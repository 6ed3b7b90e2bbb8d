//! The settings of a strategy that were searched, what became of each, and which is recommended.

use serde::{Deserialize, Serialize};

use super::{BeyondLines, RecordKind, RoomKind, ScoreDifference};
use crate::cautions::Cautioned;

/// A search of a strategy's settings on one scenario.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Tuning {
    /// [`RecordKind::Tuning`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// The scenario's name.
    pub scenario: String,
    /// The scenario's title.
    pub title: String,
    /// The strategy.
    pub strategy: String,
    /// Seed of weather, noise and search.
    pub seed: u64,
    /// Replicates of the scenario's own room in the search.
    pub replicates: u64,
    /// What was searched.
    pub parameters: Vec<TuningParameter>,
    /// Settings by a formula.
    pub starts: Vec<TuningStart>,
    /// Every setting that was tried in the search, the defaults first.
    pub settings: Vec<TuningSetting>,
    /// Position in `settings` of the one that is recommended; `None`: no setting that was looked at is safe.
    pub recommended: Option<usize>,
    /// A safe setting that came out better than the defaults, which are kept all the same; left out where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub passed_over: Option<TuningPassedOver>,
    /// What must be known of the recommended values: at the edge of what was searched, or finer than the probe shows.
    pub remarks: Vec<String>,
    /// Where the recommended setting is below the dose although the water goes farther out than the danger lines speak of; left out where it does not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beyond_lines: Option<TuningBeyond>,
    /// Faults that are left out of what is safe, by their sets, because they were asked to be.
    pub despite: Vec<String>,
    /// A fault that takes the defaults past the dose is not held against another setting.
    pub no_worse: bool,
    /// Single faults that were tried on a setting.
    pub faults_tried: u64,
    /// Settings whose faults were tried, the most promising first, with those faults that use up the dose.
    pub safety: Vec<TuningSafety>,
    /// Rooms in which the defaults use up the dose with nothing broken: no fault and no setting is to blame there.
    pub unfit_rooms: Vec<RoomKind>,
    /// What becomes of the recommended setting if something is a little different.
    pub near: Vec<TuningNear>,
    /// The recommended setting, or the one passed over, beside the defaults where neither was searched.
    pub held_out: Vec<TuningHeldOut>,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Cautions that belong to this result.
    pub cautions: Vec<Cautioned>,
}

/// A setting that came out better than the defaults in the search, but not enough to leave them for it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TuningPassedOver {
    /// Position in `settings`.
    pub setting: usize,
    /// Why.
    pub why: TuningUnsupported,
}

/// Why the defaults are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TuningUnsupported {
    /// The search itself shows them alike.
    Alike,
    /// Runs that the search has not seen do not show it to be better.
    NotShown,
}

/// A single fault that takes the water farther out than the danger lines speak of.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TuningBeyond {
    /// The fault.
    pub case: String,
    /// The room.
    pub room: RoomKind,
    /// How far.
    pub lines: BeyondLines,
}

/// Less than this of a step counts as alike. A choice.
pub const ALIKE_STEPS: f64 = 0.2;

/// A parameter that was searched.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TuningParameter {
    /// Its name.
    pub parameter: String,
    /// Smallest value.
    pub from: String,
    /// Largest value.
    pub to: String,
    /// The step in which it can be set.
    pub step: String,
    /// Its default.
    pub default: String,
}

/// A setting by a formula.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TuningStart {
    /// The formula, in words.
    pub rule: String,
    /// Where it comes from.
    pub source: String,
    /// What went into it and came out of it, in words.
    pub reckoned: String,
    /// Position in `settings` of the setting nearest to it.
    pub setting: usize,
}

/// How a setting came to be tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TuningOrigin {
    /// All defaults.
    Default,
    /// A formula.
    Formula,
    /// The sample that fills the space.
    Sample,
    /// A step from one that did well.
    Refined,
}

/// A setting and what became of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TuningSetting {
    /// Values, in the order of the parameters.
    pub values: Vec<String>,
    /// How it came to be tried.
    pub origin: TuningOrigin,
    /// What became of it.
    pub merits: TuningMerits,
    /// No other setting tried is better in one merit and not worse in any.
    pub pareto: bool,
}

/// A dose beyond this counts as this among the steps: the animals are lost either way. A choice.
pub const WORST_DOSE: f64 = 2.0;

/// What a setting is judged by.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TuningMerits {
    /// Time outside the band, h a day.
    pub outside_band_h_per_day: f64,
    /// Overshoot and undershoot together, K.
    pub swing_k: f64,
    /// Closings of the busiest contact, a day; `None`: none closes.
    pub closings_per_day: Option<f64>,
    /// Hot dose used with a contact that heats welded, the worst of them, in the warmest room; `None`: no such contact, or no danger lines.
    pub stuck_dose: Option<f64>,
    /// Electricity of all, kWh a day.
    pub energy_kwh_per_day: f64,
    /// All of them in one figure, see `docs/tune.md`; less is better.
    pub steps: f64,
}

/// What single faults do under a setting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TuningSafety {
    /// Position in `settings`.
    pub setting: usize,
    /// Room and sets of faults that use up the dose, which with nothing broken would not be; empty: it is safe.
    pub past: Vec<TuningFault>,
}

/// A single fault that uses up the dose.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TuningFault {
    /// The fault: "relay left welded"; `nothing broken`.
    pub case: String,
    /// Its set, as after `--despite`.
    pub set: String,
    /// The first room in which it does.
    pub room: RoomKind,
    /// It is the hot dose.
    pub hot: bool,
}

/// A setting beside the recommended one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TuningNear {
    /// What is different, in words.
    pub what: String,
    /// What becomes of it.
    pub merits: TuningMerits,
}

/// The recommended setting beside the defaults in runs that the search has not seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TuningHeldOut {
    /// Which runs, in words.
    pub runs: String,
    /// Means of the recommended setting.
    pub recommended: TuningMerits,
    /// Means of the defaults.
    pub defaults: TuningMerits,
    /// The recommended setting's steps less those of the defaults, run by run; `None`: a single run.
    pub steps: Option<ScoreDifference>,
}
