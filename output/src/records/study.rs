//! A study: scenarios × strategies × fault cases × replicates, with statistics and gates.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use tepid_sim::quantity::Kind;

use super::RecordKind;
use crate::cautions::Cautioned;

/// The result of a study.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StudyResult {
    /// [`RecordKind::Study`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// Name of the study: its file's.
    pub name: String,
    /// One line for people.
    pub title: String,
    /// Hexadecimal digest of everything that the cells depend on; two results of one digest are of one study.
    pub digest: String,
    /// Seed of all random numbers.
    pub seed: u64,
    /// Share of cases in which an interval should hold the true value, 0..=1.
    pub confidence_frac: f64,
    /// The strategy that the others are compared with; `None` where there is only one.
    pub reference: Option<String>,
    /// Every cell was run.
    pub complete: bool,
    /// How many cells there are; where replicates were added until an interval was narrow enough: how many it took.
    pub cells: u64,
    /// How many of them have a result, failed ones included.
    pub cells_done: u64,
    /// One per gate and group that it judges, broken ones first.
    pub gates: Vec<GateResult>,
    /// The cells of one scenario, strategy and fault case, in the study's order.
    pub groups: Vec<StudyGroup>,
    /// Cells whose run gave no result.
    pub failures: Vec<FailedCell>,
    /// Strategies that a scenario lacks something for; they have no cells there.
    pub does_not_apply: Vec<NotApplied>,
    /// Cautions that belong to the results above.
    pub cautions: Vec<Cautioned>,
}

/// The replicates of one scenario, strategy and fault case.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StudyGroup {
    /// The scenario, with the values put in by `vary`: "spare-room-winter, heater.left.power = 150 W".
    pub scenario: String,
    /// The strategy, likewise.
    pub strategy: String,
    /// The fault set; `none`: nothing is broken.
    pub fault_set: String,
    /// The case of the set: "relay left welded"; `none`: nothing is broken.
    pub case: String,
    /// Runs with a result.
    pub replicates: u64,
    /// Runs without one.
    pub failed: u64,
    /// One per score that has a value in at least one run, in the order of the list of scores.
    pub scores: Vec<ScoreSummary>,
}

/// Unit of a score's values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum ScoreUnit {
    /// A difference of temperatures, K.
    #[serde(rename = "K")]
    Kelvin,
    /// A temperature, °C.
    #[serde(rename = "°C")]
    Celsius,
    /// A length of time, h.
    #[serde(rename = "h")]
    Hours,
    /// Energy, kWh.
    #[serde(rename = "kWh")]
    KilowattHours,
    /// A volume, L.
    #[serde(rename = "L")]
    Litres,
    /// A share of a whole, 1 = all of it.
    #[serde(rename = "share")]
    Share,
    /// A plain number: how often, how much money.
    #[serde(rename = "number")]
    Number,
}

impl ScoreUnit {
    /// The unit in which results show values of a kind.
    #[must_use]
    pub fn of(kind: Kind) -> Self {
        match kind {
            Kind::Temperature => Self::Celsius,
            Kind::TemperatureDifference => Self::Kelvin,
            Kind::Time => Self::Hours,
            Kind::Energy => Self::KilowattHours,
            Kind::Volume => Self::Litres,
            Kind::Share => Self::Share,
            _ => Self::Number,
        }
    }
}

/// One score over the replicates of a group.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ScoreSummary {
    /// Name of the score, as gates name it: "hot dose used".
    pub score: String,
    /// Unit of all its values.
    pub unit: ScoreUnit,
    /// Runs in which it has a value.
    pub runs: u64,
    /// Mean.
    pub mean: f64,
    /// Interval of the mean (Student's t); `None` of a single run.
    pub mean_interval: Option<[f64; 2]>,
    /// Standard deviation of a run; `None` of a single run.
    pub standard_deviation: Option<f64>,
    /// 5 %, 50 % and 95 % quantile of the runs.
    pub quantiles: [f64; 3],
    /// The worst run.
    pub worst: WorstRun,
    /// Difference to the reference strategy in the same scenario and fault case, run by run; `None`: it is the reference, or has no such runs.
    pub difference: Option<ScoreDifference>,
    /// 1 + how many strategies are shown to be better in this scenario and fault case; strategies between which no difference is shown may share a
    /// rank. All pairs of strategies are judged together, so a difference shown to the reference alone may not show here. `None`: nothing to compare with, or a
    /// single run.
    pub rank: Option<u32>,
}

/// The run of a group in which a score was worst.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WorstRun {
    /// The score's value there.
    pub value: f64,
    /// Its replicate.
    pub replicate: u64,
    /// The tank with livestock that it is of; `None`: the score belongs to no tank.
    pub tank: Option<String>,
    /// The cell, as `tepid run --cell` takes it.
    pub cell: String,
}

/// Difference of a score to the reference strategy: this one less the reference, in the same weather, noise and draws.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ScoreDifference {
    /// Pairs of runs.
    pub pairs: u64,
    /// Mean of the differences.
    pub mean: f64,
    /// Interval of the mean difference by Student's t; `None` of a single pair.
    pub t_interval: Option<[f64; 2]>,
    /// Interval of the mean difference by studentised bootstrap; `None` of three pairs or fewer, and where so many pairs are alike that it has an open end.
    pub bootstrap_interval: Option<[f64; 2]>,
    /// What both intervals together show.
    pub shown: Shown,
}

/// What a difference shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Shown {
    /// Both intervals lie on the better side of zero.
    Better,
    /// Both intervals lie on the worse side of zero.
    Worse,
    /// An interval holds zero or is not known, or they disagree.
    NoDifference,
    /// Every pair of runs is alike to the bit.
    Alike,
    /// Too few pairs of runs to tell, or values too much alike for a bootstrap.
    TooFewRuns,
}

/// One gate on one group.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct GateResult {
    /// Which `[[gate]]` of the study, from 1.
    pub gate: u32,
    /// The score.
    pub score: String,
    /// Unit of the values.
    pub unit: ScoreUnit,
    /// The scenario.
    pub scenario: String,
    /// The strategy.
    pub strategy: String,
    /// The fault set.
    pub fault_set: String,
    /// The case.
    pub case: String,
    /// Which figure of the runs is judged.
    pub of: GateOf,
    /// That figure; `None`: the score has no value here.
    pub value: Option<f64>,
    /// The bound.
    pub bound: GateBound,
    /// Whether it holds.
    pub verdict: GateVerdict,
    /// The worst run of the group: tank, replicate, cell.
    pub worst: Option<WorstRun>,
    /// The command that runs the worst run again.
    pub replay: Option<String>,
}

/// Which figure of a group's runs a gate judges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum GateOf {
    /// The worst run.
    WorstRun,
    /// The mean of the runs.
    Mean,
    /// The 95 % quantile on the worse side.
    WorstTwentieth,
}

/// A bound on a figure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum GateBound {
    /// It must not be larger.
    AtMost {
        /// The largest that holds.
        limit: f64,
    },
    /// It must not be smaller.
    AtLeast {
        /// The smallest that holds.
        limit: f64,
    },
    /// It must not be worse than a kept baseline by more than a tolerance.
    NoWorseThanBaseline {
        /// The kept figure.
        baseline: f64,
        /// The figure that still holds.
        limit: f64,
    },
    /// A baseline was asked for, and none is kept for this group yet.
    NoBaseline,
}

/// Whether a gate holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum GateVerdict {
    /// It does not hold.
    Broken,
    /// Runs failed or are missing, so it cannot be judged.
    NotJudged,
    /// It holds.
    Holds,
}

/// A cell whose run gave no result.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FailedCell {
    /// The cell, as `tepid run --cell` takes it.
    pub cell: String,
    /// The scenario.
    pub scenario: String,
    /// The strategy.
    pub strategy: String,
    /// The fault set.
    pub fault_set: String,
    /// The case.
    pub case: String,
    /// The replicate.
    pub replicate: u64,
    /// Why.
    pub reason: String,
}

/// A strategy that a scenario lacks something for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct NotApplied {
    /// The scenario.
    pub scenario: String,
    /// The strategy.
    pub strategy: String,
    /// What is missing: "no fan".
    pub missing: String,
}

/// One run of a study: a row of the tables of cells.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CellRow {
    /// The cell, as `tepid run --cell` takes it.
    pub cell: String,
    /// The scenario.
    pub scenario: String,
    /// The strategy.
    pub strategy: String,
    /// The fault set.
    pub fault_set: String,
    /// The case.
    pub case: String,
    /// The replicate.
    pub replicate: u64,
    /// When the fault began, h after time zero; `None`: nothing is broken, or its beginning is not one instant.
    pub began_h: Option<f64>,
    /// Why the run gave no result; `None`: it did.
    pub failure: Option<String>,
    /// The scores in the order of the list of scores, in published units; `None`: has no value in this run.
    pub scores: Vec<Option<f64>>,
}
