//! Studies: scenarios × strategies × fault cases × replicates, with statistics and gates, so that nothing is lost and everything can be run again.
//!
//! The way of a study: its file → [`Plan`] (variants, cells, names, digest) → the cells that its folder does not hold yet run and go into the journal →
//! groups with statistics → gates → [`StudyResult`] and the other files of the folder.
//!
//! A cell with nothing broken is the scenario's run; a cell under a fault is the run with the fault at the worst of the instants tried
//! ([`crate::exposure`]), judged from the fault on for 72 h, in the scenario's own room; what adds up over
//! a run (energy, cost) has no value there, since such runs end when their fault is 72 h old. Closings a day are of the whole run.

mod baseline;
mod cell;
mod cell_name;
mod digest;
mod effort;
mod execute;
mod files;
mod folder;
mod gates;
mod groups;
mod journal;
mod merge;
mod piece;
mod plan;
mod result;
mod shard;

use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use tepid_output::records::StudyResult;

use crate::compare::Progress;

pub use baseline::{Baseline, BaselineError};
pub use cell::{CellResult, CellScores};
pub use cell_name::UnknownCell;
pub(crate) use digest::digest_of;
pub use effort::Effort;
pub use folder::{Folder, FolderError};
pub use journal::{Header, Journal, JournalError};
pub use merge::{MergeError, merge};
pub use piece::{Piece, Replay};
pub use plan::{Case, CellPlace, Names, Pair, Plan, PlanError, Recipe, ScenarioPoint, StrategyPoint};
pub use shard::{Shard, ShardError};

/// Share of cases in which an interval should hold the true value.
pub const CONFIDENCE_FRAC: f64 = 0.95;

/// How a study is run.
#[derive(Debug)]
pub struct StudyRequest<'a> {
    /// What to run.
    pub plan: &'a Plan,
    /// The study's file as it was named, for the commands that replay.
    pub path: &'a str,
    /// Where results are kept; `None`: nowhere.
    pub folder: Option<&'a Path>,
    /// Which part of it.
    pub shard: Shard,
    /// What relative gates are held against.
    pub baseline: Option<&'a Baseline>,
    /// Set from outside to end after the cells under way.
    pub stop: &'a AtomicBool,
}

/// What came of it.
#[derive(Debug)]
pub enum Outcome {
    /// All of a study.
    Whole(Box<StudyResult>),
    /// A part of it, to be merged.
    Part {
        /// Cells with a result.
        cells_done: u64,
        /// Cells of this part.
        cells: u64,
    },
}

/// Why a study could not be run.
#[derive(Debug, thiserror::Error)]
pub enum StudyError {
    /// The folder.
    #[error(transparent)]
    Folder(#[from] FolderError),
    /// The journal.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// A study that adds replicates until it knows enough cannot be taken apart.
    #[error(
        "`enough` looks at all replicates together: a study with it cannot be run in parts; take `enough` out, or run it whole"
    )]
    PartOfEnough,
    /// The folder holds a file that this build of the program cannot write.
    #[error(
        "{}: this tepid is built without Parquet and cannot write that file anew; expected one built with `cargo build --release --features parquet`, or a folder without the file",
        path.display()
    )]
    WithoutParquet {
        /// The file.
        path: PathBuf,
    },
    /// A file of the results.
    #[error("{0}")]
    Format(String),
}

/// Runs what is missing, and puts all results together.
///
/// # Errors
/// [`StudyError`]; what was run before is kept in the folder.
pub fn study(request: &StudyRequest<'_>, progress: &dyn Progress) -> Result<Outcome, StudyError> {
    let plan = request.plan;
    if request.shard != Shard::WHOLE && plan.study.enough.is_some() {
        return Err(StudyError::PartOfEnough);
    }
    let folder = folder(request)?;
    let header = Header::new(&plan.digest, request.shard);
    let journal = folder.journal(&header)?;
    let (mut journal, replicates) = execute::execute(plan, request.shard, journal, progress, request.stop)?;
    if request.shard != Shard::WHOLE {
        let cells = plan.cells_of(request.shard);
        let complete = journal.len() == cells;
        journal.put_in_order(&header.finished(complete))?;
        return Ok(Outcome::Part {
            cells_done: journal.len(),
            cells,
        });
    }
    finished(request, &folder, journal, &replicates)
}

/// Where the results of a request go, with nothing in it that would be left behind.
fn folder(request: &StudyRequest<'_>) -> Result<Folder, StudyError> {
    let folder = match request.folder {
        Some(path) => Folder::open(path)?,
        None => Folder::temporary()?,
    };
    match files::out_of_reach(&folder) {
        Some(path) => Err(StudyError::WithoutParquet { path }),
        None => Ok(folder),
    }
}

/// The record of a journal, and the files of its folder. `replicates`: how many of each scenario were to be run.
fn finished(
    request: &StudyRequest<'_>,
    folder: &Folder,
    mut journal: Journal,
    replicates: &[u64],
) -> Result<Outcome, StudyError> {
    let result = result::result(request, &mut journal, replicates)?;
    if request.folder.is_some() {
        files::write(folder, request.plan, &mut journal, &result)?;
        let header = Header::new(&request.plan.digest, Shard::WHOLE);
        journal.put_in_order(&header.finished(result.complete))?;
    }
    Ok(Outcome::Whole(Box::new(result)))
}
