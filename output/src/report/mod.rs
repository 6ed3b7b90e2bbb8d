//! A report: one HTML page that needs no network, with everything there is to say about some tanks under some strategies.
//!
//! [`html`] writes it from records; what is computed for it stands in the library `tepid`, module `report`. Everything written between tags is escaped by the
//! template macro; style and script stand in `style.css` and `script.js` and are the only things that are not. The page forbids itself to fetch anything.
//! No time stamp: the same records give the same bytes.

mod budget;
mod cautions;
mod chart;
mod comparison;
#[cfg(test)]
mod contrast;
mod courses;
mod customer;
mod fault_grid;
mod live_tank;
mod outcomes;
mod page;
mod pareto;
mod provenance;
mod ranking;
mod study;
mod summary;

pub use page::html;
pub use study::{StudyReport, study_html};

use crate::live::{self, LiveStart, in_a_script};
use crate::plot::Course;
use crate::records::{Budget, FaultMatrix, FaultRow, RoomKind, ScenarioBlock};
use crate::wording::Units;

/// What a report is written from.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// Seed of weather and noise, the same for every strategy.
    pub seed: u64,
    /// Name and version of the program.
    pub program: String,
    /// The command that makes the page again.
    pub command: String,
    /// What its figures are read in.
    pub units: Units,
    /// One per scenario, in the order asked for.
    pub chapters: Vec<Chapter>,
    /// Every tank with livestock, the first in danger on top.
    pub ranked: Vec<RankedTank>,
    /// Whatever scenarios and strategies were read from.
    pub inputs: Vec<Input>,
    /// The live tank, if the report carries it.
    pub live: Option<LiveTank>,
}

/// The live page within a report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LiveTank {
    /// The page as JSON that may stand in a script.
    page: String,
    /// What it can be started at.
    starts: Vec<LiveAt>,
}

/// What the live page of a report can be started at.
#[derive(Debug, Clone, PartialEq, Eq)]
struct LiveAt {
    title: String,
    /// As the page takes it.
    json: String,
}

impl LiveTank {
    /// One start for each scenario, with the scenario's title.
    ///
    /// # Errors
    /// What stands in it makes no JSON, which would be a mistake of ours.
    pub fn new(starts: &[(String, LiveStart)], units: Units) -> Result<Self, serde_json::Error> {
        let at = |(title, start): &(String, LiveStart)| {
            Ok(LiveAt {
                title: title.clone(),
                json: in_a_script(start)?,
            })
        };
        Ok(Self {
            page: in_a_script(&live::page(None, units)?)?,
            starts: starts.iter().map(at).collect::<Result<_, serde_json::Error>>()?,
        })
    }
}

/// Everything about one scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct Chapter {
    /// The comparison; `None`: there is none.
    pub block: Option<ScenarioBlock>,
    /// Every fault.
    pub faults: FaultMatrix,
    /// Where the heat goes, one per water system.
    pub budgets: Vec<Budget>,
    /// Temperatures, one per strategy.
    pub courses: Vec<StrategyCourses>,
    /// Runs with nothing broken in other weather and noise, one entry per strategy.
    pub runs: Vec<StrategyRuns>,
    /// All tanks, in the order of the courses.
    pub tanks: Vec<TankFact>,
    /// Makes the comparison again.
    pub compare_command: String,
    /// Makes the fault matrix again.
    pub faults_command: String,
    /// Makes the budget again.
    pub budget_command: String,
    /// Makes mean and worst of the runs again.
    pub runs_command: String,
}

/// A tank.
#[derive(Debug, Clone, PartialEq)]
pub struct TankFact {
    /// Name.
    pub name: String,
    /// Its water, m³.
    pub water_m3: f64,
    /// Something lives in it.
    pub livestock: bool,
}

/// What one strategy does to the water.
#[derive(Debug, Clone, PartialEq)]
pub struct StrategyCourses {
    /// Name.
    pub strategy: String,
    /// With nothing broken, in the scenario's own room; `None`: the run failed.
    pub unbroken: Option<Course>,
    /// Makes that course again.
    pub unbroken_command: String,
    /// With the fault that is worst for it; `None`: no fault was tried, or its run failed.
    pub worst: Option<FaultCourse>,
}

/// The course of a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultCourse {
    /// What it does.
    pub row: FaultRow,
    /// The course, from some hours before the fault.
    pub course: Course,
    /// Makes it again.
    pub command: String,
}

/// Many runs of one strategy with nothing broken.
#[derive(Debug, Clone, PartialEq)]
pub struct StrategyRuns {
    /// Name.
    pub strategy: String,
    /// One per run with a result.
    pub runs: Vec<OneRun>,
}

/// One run; of all tanks with livestock the extremes of any.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneRun {
    /// Its replicate.
    pub replicate: u64,
    /// Lowest temperature, °C.
    pub lowest_c: f64,
    /// Highest temperature, °C.
    pub highest_c: f64,
    /// Time outside the band, h.
    pub outside_band_h: f64,
    /// The larger of the two doses; 1 = used up.
    pub dose_used: f64,
    /// Scored time, h.
    pub scored_h: f64,
}

/// A tank among others.
#[derive(Debug, Clone, PartialEq)]
pub struct RankedTank {
    /// Its scenario.
    pub scenario: String,
    /// That scenario's title.
    pub title: String,
    /// Its name.
    pub tank: String,
    /// Its water, m³.
    pub water_m3: f64,
    /// Under which strategy.
    pub strategy: String,
    /// The fault that is worst for it; `None`: no run has a result.
    pub worst: Option<TankDanger>,
}

/// What the worst single fault does to a tank. Hours count from the start of the fault.
#[derive(Debug, Clone, PartialEq)]
pub struct TankDanger {
    /// The fault.
    pub case: String,
    /// The room it was tried in.
    pub room: RoomKind,
    /// The larger dose is that of heat.
    pub is_hot: bool,
    /// That dose; 1 = used up.
    pub dose_used: f64,
    /// When it was used up, h; `None`: it was not.
    pub used_up_h: Option<f64>,
    /// Highest temperature, °C.
    pub peak_c: f64,
    /// Lowest temperature, °C.
    pub lowest_c: f64,
    /// First alert, h; `None`: none got out.
    pub first_alert_h: Option<f64>,
}

/// A text that scenarios or strategies were read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Input {
    /// Name or file.
    pub name: String,
    /// The text as it was read.
    pub text: String,
}
