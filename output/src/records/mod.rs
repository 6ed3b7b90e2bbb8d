//! Results as plain data: these records are the published JSON format.
//!
//! Names are stable and carry their unit (`_c` °C, `_k` K, `_h` hours, `_w` W, `_kwh`, `_l` litres, `_frac` 0..=1). What is
//! not known is `null`, never 0. A new [`FORMAT_VERSION`] marks every change that could break a reader.

mod beyond_lines;
mod budget;
mod card;
mod comparison;
mod conformance;
mod correlation;
mod explanation;
mod fault_matrix;
mod fault_outcome;
mod fit;
mod lesson;
mod listing;
mod measure;
mod odds;
mod oxygen;
mod past_dose;
mod replay;
mod response;
mod run;
mod salinity;
mod scores;
mod severity;
mod size;
mod size_cooling;
mod size_outage;
mod study;
mod supply;
mod tariff;
mod tuning;
mod uncertainty;
mod warning;

pub use beyond_lines::{BeyondLines, LINES_SPEAK_FOR_K};
pub use budget::{Budget, BudgetBuilding, BudgetPath, Budgets, HoursToLine, RoomDeviceKind, StuckOn};
pub use card::{Card, CardHours, CardSetting, CardTrial};
pub use comparison::{
    ClosingsByBody, ClosingsWithBody, Comparison, ContactWear, HealthySummary, Livestock, Merit, RoomBlock,
    RoomKind, ScenarioBlock, Spread, Standing, StrategyRow,
};
pub use conformance::{Check, CheckVerdict, Conformance};
pub use correlation::ByCorrelation;
pub use explanation::{
    Coverage, CoveredSet, Explained, ExplainedParameter, Explanation, PagePart, PastCase, WayStep,
};
pub use fault_matrix::{
    Change, Edit, EditKind, Exceeded, Exposure, ExposureHow, FaultMatrix, FaultRow, Held, SinglePoint,
    StoppedBy, StrategyFaults,
};
pub use fault_outcome::{FaultKind, FaultOutcome};
pub use fit::{
    Fit, FitChange, FitCorrelation, FitLeftOut, FitParameter, FitParameterKind, FitResiduals, FitTank,
};
pub use lesson::{Lesson, LessonLine, Lessons};
pub use listing::{Listed, Listing};
pub use measure::{HomeTest, MeasureChange, Measured, MeasuredKind, Measurement};
pub use odds::{
    Chance, LifeUsed, Odds, OddsCause, OddsClosings, OddsDifference, OddsMoved, OddsUnnoticed, StrategyOdds,
};
pub use oxygen::{FaultOxygen, OxygenResult};
pub use past_dose::PastDose;
pub use replay::{Replay, ReplayChange, ReplayGap, ReplayedWater};
pub use response::{ResponseCurve, ResponseWorth};
pub use run::{FaultCase, RunResult};
pub use salinity::FaultSalinity;
pub use scores::{
    ChillerResult, ContactResult, DangerLine, DoseResult, FanResult, HeatBalance, HeatPath, HeaterResult,
    LevelResult, RecoveryResult, RoomResult, RunScores, SalinityResult, TankResult,
};
pub use severity::Severity;
pub use size::{
    Size, SizeChange, SizeChoice, SizeFate, SizeRefusal, SizeRoom, SizeRule, SizeRunning, SizeSaving,
    SizeSavings, SizeSplit, Sizes,
};
pub use size_cooling::{CoolingEnd, CoolingFan, CoolingLine, SizeCooling};
pub use size_outage::{
    OutageBacked, OutageBackup, OutageChange, OutageCourse, OutageLoad, OutageOxygen, SizeOutage,
};
pub use study::{
    CellRow, FailedCell, GateBound, GateOf, GateResult, GateVerdict, NotApplied, ScoreDifference,
    ScoreSummary, ScoreUnit, Shown, StudyGroup, StudyResult, WorstRun,
};
pub use supply::{BackupResult, CircuitResult};
pub use tariff::{PricedHours, Tariff};
pub use tuning::{
    ALIKE_STEPS, Tuning, TuningBeyond, TuningFault, TuningHeldOut, TuningMerits, TuningNear, TuningOrigin,
    TuningParameter, TuningPassedOver, TuningSafety, TuningSetting, TuningStart, TuningUnsupported,
    WORST_DOSE,
};
pub use uncertainty::{Interval, UncertainHoursToLine, UncertainParameter, UncertainStuckOn, Uncertainty};
pub use warning::Warning;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Version of the published formats.
pub const FORMAT_VERSION: u32 = 1;

/// Which record a JSON document holds: the value of its key `format`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum RecordKind {
    /// A [`Comparison`].
    #[serde(rename = "tepid-comparison")]
    Comparison,
    /// An [`Explanation`].
    #[serde(rename = "tepid-explanation")]
    Explanation,
    /// A [`RunResult`].
    #[serde(rename = "tepid-run")]
    Run,
    /// A [`ResponseCurve`].
    #[serde(rename = "tepid-response-curve")]
    ResponseCurve,
    /// A [`FaultMatrix`].
    #[serde(rename = "tepid-faults")]
    Faults,
    /// A [`Budget`].
    #[serde(rename = "tepid-budget")]
    Budget,
    /// [`Budgets`].
    #[serde(rename = "tepid-budgets")]
    Budgets,
    /// A [`Size`].
    #[serde(rename = "tepid-size")]
    Size,
    /// [`Sizes`].
    #[serde(rename = "tepid-sizes")]
    Sizes,
    /// A [`Fit`].
    #[serde(rename = "tepid-fit")]
    Fit,
    /// A [`Measurement`].
    #[serde(rename = "tepid-measurement")]
    Measurement,
    /// A [`Card`].
    #[serde(rename = "tepid-card")]
    Card,
    /// A [`Lesson`].
    #[serde(rename = "tepid-lesson")]
    Lesson,
    /// [`Lessons`].
    #[serde(rename = "tepid-lessons")]
    Lessons,
    /// A [`Tuning`].
    #[serde(rename = "tepid-tuning")]
    Tuning,
    /// An [`Odds`].
    #[serde(rename = "tepid-odds")]
    Odds,
    /// A [`Conformance`].
    #[serde(rename = "tepid-conformance")]
    Conformance,
    /// A [`StudyResult`].
    #[serde(rename = "tepid-study")]
    Study,
}
