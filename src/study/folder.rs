//! The folder that keeps a study's results: one process at a time, and every file whole or not there.

use std::fs::{File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

use super::journal::{Header, Journal, JournalError};

/// The journal's name in the folder.
const JOURNAL: &str = "journal";
/// Locked while a process works in the folder; the operating system frees it when the process ends, however it ends.
const LOCK: &str = "lock";

/// A folder of results, ours alone for the time being.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
    _lock: File,
    /// Taken away at the end, where nobody named a folder.
    _temporary: Option<tempfile::TempDir>,
}

/// Why a folder cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum FolderError {
    /// It cannot be made or written.
    #[error("cannot write {}: {error}", path.display())]
    Io {
        /// The folder or file.
        path: PathBuf,
        /// Why.
        error: io::Error,
    },
    /// Another process works in it.
    #[error("{}: another tepid is at work in this folder; wait for it, or name another one", path.display())]
    Busy {
        /// The folder.
        path: PathBuf,
    },
}

impl Folder {
    /// Makes the folder if it is not there, and takes it.
    ///
    /// # Errors
    /// [`FolderError`].
    pub fn open(path: &Path) -> Result<Self, FolderError> {
        let io = |path: &Path| {
            let path = path.to_owned();
            move |error| FolderError::Io { path, error }
        };
        std::fs::create_dir_all(path).map_err(io(path))?;
        let lock_path = path.join(LOCK);
        let lock = File::create(&lock_path).map_err(io(&lock_path))?;
        match lock.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(FolderError::Busy {
                    path: path.to_owned(),
                });
            }
            Err(TryLockError::Error(error)) => return Err(io(&lock_path)(error)),
        }
        Ok(Self {
            path: path.to_owned(),
            _lock: lock,
            _temporary: None,
        })
    }

    /// A folder that is gone afterwards.
    ///
    /// # Errors
    /// [`FolderError`].
    pub fn temporary() -> Result<Self, FolderError> {
        let folder = tempfile::tempdir().map_err(|error| FolderError::Io {
            path: std::env::temp_dir(),
            error,
        })?;
        let path = folder.path().to_owned();
        Ok(Self {
            _temporary: Some(folder),
            ..Self::open(&path)?
        })
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The journal of a study in it.
    ///
    /// # Errors
    /// [`JournalError`].
    pub fn journal(&self, header: &Header) -> Result<Journal, JournalError> {
        Journal::open(&self.path.join(JOURNAL), header)
    }

    /// The journal in a folder that somebody else wrote.
    ///
    /// # Errors
    /// [`JournalError`].
    pub fn journal_in(path: &Path) -> Result<(Header, Journal), JournalError> {
        Journal::open_to_read(&path.join(JOURNAL))
    }

    /// A file of it, written aside and then put in its place.
    ///
    /// # Errors
    /// [`FolderError`].
    pub fn write(&self, name: &str, fill: impl FnOnce(&File) -> io::Result<()>) -> Result<(), FolderError> {
        let (aside, path) = (self.path.join(format!("{name}.new")), self.path.join(name));
        let io = |error| FolderError::Io {
            path: path.clone(),
            error,
        };
        let file = File::create(&aside).map_err(io)?;
        fill(&file).and_then(|()| file.sync_all()).map_err(io)?;
        std::fs::rename(&aside, &path).map_err(io)
    }
}
