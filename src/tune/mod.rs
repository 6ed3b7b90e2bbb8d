//! Which settings of a strategy to choose: a search over several merits at once, kept to what no single fault takes past the dose.
//!
//! The way of a search: defaults, settings by a formula and a sample that fills the space run with the same weather and noise (`runs.rs`) → steps from the best →
//! merits, and which settings no other beats (`merits.rs`) → the most promising are tried on every single fault until one stands all (`safety.rs`) → what a step
//! further or a dial that is off would do, and runs that the search has not seen. Every run is written into the journal of studies, so that a search
//! that was stopped goes on.

mod merits;
mod runs;
mod safety;
mod search;
mod space;
mod start;

use std::path::Path;

use tepid_output::records::{FORMAT_VERSION, RecordKind, Tuning, TuningPassedOver};
use tepid_sim::run::RunError;
use tepid_sim::scenario::Scenario;
use tepid_sim::strategy::BindError;
use tepid_strategies::Entry;
use tepid_strategies::parameter::ParamError;

use crate::compare::Progress;
use crate::study::{Folder, FolderError, Header, JournalError, Shard, digest_of};
use runs::Runs;
pub use safety::NOTHING_BROKEN;
use search::Search;
pub use space::{MOST_VARIED, Varied};

/// Changed whenever the same search would give other runs.
const SEARCH: &str = "search 2";

/// What to search.
#[derive(Debug)]
pub struct TuneRequest<'a> {
    /// The tank.
    pub scenario: &'a Scenario,
    /// The strategy.
    pub entry: &'static Entry,
    /// Which of its parameters, at least one and at most [`MOST_VARIED`].
    pub varied: &'a [Varied],
    /// How many settings to try.
    pub settings: usize,
    /// Seed of weather, noise and search.
    pub seed: u64,
    /// Replicates of the scenario's own room in the search, ≥ 1.
    pub replicates: u64,
    /// Replicates that are kept from the search to judge it by, ≥ 1.
    pub held_out: u64,
    /// Other scenarios to judge it by.
    pub also: &'a [Scenario],
    /// Fault sets that are not asked about.
    pub despite: &'a [String],
    /// A fault that takes the defaults past the dose is not held against another setting.
    pub no_worse: bool,
    /// Where runs are kept, so that a search that was stopped goes on; `None`: nowhere.
    pub folder: Option<&'a Path>,
}

/// Why nothing could be searched.
#[derive(Debug, thiserror::Error)]
pub enum TuneError {
    /// No parameter of that name.
    #[error("`{strategy}` has no parameter `{param}` to search; {nearest}expected one of {known}")]
    NoSuchParameter {
        /// What was asked for.
        param: String,
        /// The strategy.
        strategy: &'static str,
        /// The nearest name, as a sentence.
        nearest: String,
        /// What can be searched.
        known: String,
    },
    /// A parameter without figures.
    #[error("`{param}` has no range of figures to search: it takes {takes}")]
    NoFigures {
        /// The parameter.
        param: &'static str,
        /// What it takes.
        takes: String,
    },
    /// A range that is none.
    #[error("`{text}`: {why}")]
    Range {
        /// As it was given.
        text: String,
        /// What is wrong.
        why: String,
    },
    /// Nothing to search, or too much.
    #[error("{found} parameters to search; expected 1 to {MOST_VARIED}")]
    Varied {
        /// How many there are.
        found: usize,
    },
    /// A fault set that the scenario does not have.
    #[error("no fault set `{set}` here; expected one of {known}")]
    NoSuchFaultSet {
        /// What was asked for.
        set: String,
        /// What there is.
        known: String,
    },
    /// The strategy does not apply.
    #[error("{0}")]
    Bind(#[from] BindError),
    /// Values that do not fit together.
    #[error(transparent)]
    Param(#[from] ParamError),
    /// The scenario makes no network.
    #[error(transparent)]
    Run(#[from] RunError),
    /// The folder.
    #[error(transparent)]
    Folder(#[from] FolderError),
    /// The journal.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// A run failed.
    #[error("{0}")]
    Failed(String),
}

/// Searches.
///
/// # Errors
/// [`TuneError`]; runs that were done are kept in the folder.
pub fn tune(request: &TuneRequest<'_>, progress: &dyn Progress) -> Result<Tuning, TuneError> {
    let found = request.varied.len();
    if found == 0 || found > MOST_VARIED {
        return Err(TuneError::Varied { found });
    }
    let folder = request.folder.map(Folder::open).transpose()?;
    let header = Header::new(&digest(request), Shard::WHOLE);
    let journal = folder
        .as_ref()
        .map(|folder| folder.journal(&header))
        .transpose()?;
    let runs = Runs::new(request.scenario, request.also, request.seed, journal, progress)?;
    let mut search = Search::new(request, runs)?;
    let starts = search.start()?;
    search.sample()?;
    search.refine()?;
    let settings = search.candidates.len();
    let (unfit_rooms, safety) = search.safety()?;
    let best = safety
        .iter()
        .find(|tried| search.is_safe(&tried.past, &safety))
        .map(|tried| tried.setting);
    let held_out = best.map_or(Ok(Vec::new()), |setting| search.held_out(setting))?;
    // Unsafe defaults are left for whatever is safe.
    let may_keep = safety
        .iter()
        .any(|tried| tried.setting == 0 && search.is_safe(&tried.past, &safety));
    let passed_over = best
        .filter(|setting| may_keep && *setting != 0)
        .and_then(|setting| {
            let why = search.unsupported(setting, &held_out)?;
            Some(TuningPassedOver { setting, why })
        });
    let recommended = if passed_over.is_some() { Some(0) } else { best };
    let near = recommended.map_or(Ok(Vec::new()), |setting| search.near(setting))?;
    let tuning = Tuning {
        format: RecordKind::Tuning,
        version: FORMAT_VERSION,
        scenario: request.scenario.name.clone(),
        title: request.scenario.title.clone(),
        strategy: request.entry.name.to_owned(),
        seed: request.seed,
        replicates: request.replicates,
        parameters: search.parameters(),
        starts,
        settings: search.told(settings),
        recommended,
        passed_over,
        remarks: recommended.map_or_else(Vec::new, |setting| search.remarks(setting)),
        beyond_lines: recommended.map_or(Ok(None), |setting| safety::beyond_lines(&search, setting))?,
        despite: request.despite.to_vec(),
        no_worse: request.no_worse,
        faults_tried: search.asked_about().len() as u64,
        safety,
        unfit_rooms,
        near,
        held_out,
        assumptions: search.assumptions(),
        cautions: search.cautions(),
    };
    if let Some(mut journal) = search.runs.into_journal() {
        journal.put_in_order(&header.finished(true))?;
    }
    Ok(tuning)
}

/// Everything that runs depend on.
fn digest(request: &TuneRequest<'_>) -> String {
    let mut parts = vec![
        SEARCH.to_owned(),
        format!(
            "{} {} {} {} {}",
            request.entry.name, request.settings, request.seed, request.replicates, request.held_out
        ),
        format!("{:?}", request.scenario),
        format!("{:?} {}", request.despite, request.no_worse),
    ];
    parts.extend(request.varied.iter().map(|varied| format!("{varied:?}")));
    parts.extend(request.also.iter().map(|scenario| format!("{scenario:?}")));
    digest_of(parts)
}
