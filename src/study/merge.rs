//! Puts the parts of a study together.

use std::path::{Path, PathBuf};

use super::folder::Folder;
use super::journal::{Header, JournalError};
use super::plan::Plan;
use super::shard::Shard;
use super::{Outcome, StudyError, StudyRequest};

/// Why parts make no whole.
#[derive(Debug, thiserror::Error)]
pub enum MergeError {
    /// A part cannot be read.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// The result cannot be written.
    #[error(transparent)]
    Study(#[from] StudyError),
    /// A part is of another study.
    #[error("{}: is of another study (or of this one with other settings, files or program)", path.display())]
    OtherStudy {
        /// Its folder.
        path: PathBuf,
    },
    /// A part of another number of parts.
    #[error("{}: is part {shard}, the first one named is one of {of}; expected parts of one split", path.display())]
    OtherSplit {
        /// Its folder.
        path: PathBuf,
        /// What it is.
        shard: Shard,
        /// How many the first is of.
        of: u32,
    },
    /// The same part twice.
    #[error("{} and {}: both are part {shard}", first.display(), second.display())]
    Twice {
        /// One folder.
        first: PathBuf,
        /// The other.
        second: PathBuf,
        /// What they are.
        shard: Shard,
    },
    /// Parts that are not there.
    #[error("{} missing of {of}: {}", if missing.len() == 1 { "one part is" } else { "parts are" }, listed(missing))]
    Missing {
        /// Their numbers.
        missing: Vec<u32>,
        /// How many there must be.
        of: u32,
    },
    /// A part that was interrupted.
    #[error("{}: part {shard} is not finished; run it again with the same command, it goes on where it stopped", path.display())]
    Unfinished {
        /// Its folder.
        path: PathBuf,
        /// What it is.
        shard: Shard,
    },
}

fn listed(numbers: &[u32]) -> String {
    let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
    numbers.join(", ")
}

/// Joins the parts in `parts` into the request's folder; nothing is run.
///
/// # Errors
/// [`MergeError`].
pub fn merge(request: &StudyRequest<'_>, parts: &[PathBuf]) -> Result<Outcome, MergeError> {
    let plan: &Plan = request.plan;
    let mut opened: Vec<(&Path, Header, super::Journal)> = Vec::new();
    for path in parts {
        let (header, journal) = Folder::journal_in(path)?;
        fits(plan, path, (&header, journal.len()), &opened)?;
        opened.push((path, header, journal));
    }
    let of = opened.first().map_or(1, |(_, header, _)| header.shard.of);
    let has = |number: u32| opened.iter().any(|(_, header, _)| header.shard.number == number);
    let missing: Vec<u32> = (1..=of).filter(|number| !has(*number)).collect();
    if !missing.is_empty() {
        return Err(MergeError::Missing { missing, of });
    }
    let folder = super::folder(request)?;
    let mut whole = folder.journal(&Header::new(&plan.digest, Shard::WHOLE))?;
    for (_, _, journal) in &mut opened {
        for cell in journal.cells().collect::<Vec<_>>() {
            if let (false, Some(result)) = (whole.has(cell), journal.get(cell)?) {
                whole.add(cell, &result)?;
            }
        }
    }
    super::finished(
        request,
        &folder,
        whole,
        &vec![plan.study.replicates; plan.scenarios.len()],
    )
    .map_err(MergeError::Study)
}

/// A part must be a finished one of this study and of the same split as the others, and not there yet.
fn fits(
    plan: &Plan,
    path: &Path,
    (header, cells): (&Header, u64),
    others: &[(&Path, Header, super::Journal)],
) -> Result<(), MergeError> {
    let path_buf = path.to_owned();
    if header.digest != plan.digest {
        return Err(MergeError::OtherStudy { path: path_buf });
    }
    let shard = header.shard;
    if let Some((_, first, _)) = others.first().filter(|(_, first, _)| first.shard.of != shard.of) {
        return Err(MergeError::OtherSplit {
            path: path_buf,
            shard,
            of: first.shard.of,
        });
    }
    if let Some((first, _, _)) = others.iter().find(|(_, other, _)| other.shard == shard) {
        return Err(MergeError::Twice {
            first: (*first).to_owned(),
            second: path_buf,
            shard,
        });
    }
    if header.complete && cells == plan.cells_of(shard) {
        Ok(())
    } else {
        Err(MergeError::Unfinished {
            path: path_buf,
            shard,
        })
    }
}
