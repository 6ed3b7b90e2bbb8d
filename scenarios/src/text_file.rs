//! Reading a file that people wrote.

use std::path::Path;
use std::sync::Arc;

use crate::source::Source;

/// Longest scenario, strategy or study that is read, bytes: they have a few thousand.
pub const LONGEST_FILE: u64 = 1_000_000;

/// A file could not be read as text.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TextFileError {
    /// It is not there.
    #[error("there is no such file")]
    Missing,
    /// It is a folder.
    #[error("this is a folder, not a file")]
    Folder,
    /// It is too long to be what it is read as.
    #[error("the file has {bytes} bytes; of files of this kind no more than {longest} are read")]
    TooLong {
        /// Its length.
        bytes: u64,
        /// Longest file of this kind that is read.
        longest: u64,
    },
    /// It is not text.
    #[error("the file is not text (UTF-8): byte {at} is no character")]
    NotText {
        /// Bytes that are text.
        at: usize,
        /// The file with marks for bytes that are no character and blanks for signs that would steer a terminal; what stands
        /// before `at` has its length.
        readable: String,
    },
    /// Nothing can be read here but what is handed over, as on a page in a browser.
    #[error("no other file can be read here")]
    NoFiles,
    /// The system refused.
    #[error("the file cannot be read: {0}")]
    Io(#[from] std::io::Error),
}

/// Reads a file as UTF-8 text, a byte order mark at its start left out.
pub(crate) fn read(path: &Path) -> Result<Arc<Source>, TextFileError> {
    let bytes = read_bytes(path, LONGEST_FILE)?;
    Ok(Source::of_file(path, text_of(&bytes)?.to_owned()))
}

/// Reads a file of no more than so many bytes.
pub(crate) fn read_bytes(path: &Path, longest: u64) -> Result<Vec<u8>, TextFileError> {
    let metadata = std::fs::metadata(path).map_err(|error| match error.kind() {
        std::io::ErrorKind::NotFound => TextFileError::Missing,
        std::io::ErrorKind::Unsupported => TextFileError::NoFiles,
        _ => TextFileError::Io(error),
    })?;
    if metadata.is_dir() {
        return Err(TextFileError::Folder);
    }
    if metadata.len() > longest {
        return Err(TextFileError::TooLong {
            bytes: metadata.len(),
            longest,
        });
    }
    Ok(std::fs::read(path)?)
}

/// Bytes as text.
pub(crate) fn text_of(bytes: &[u8]) -> Result<&str, TextFileError> {
    let not_text = |at: usize| TextFileError::NotText {
        at,
        readable: String::from_utf8_lossy(bytes)
            .replace(|c: char| c.is_ascii_control() && !c.is_ascii_whitespace(), " "),
    };
    let text = std::str::from_utf8(bytes).map_err(|error| not_text(error.valid_up_to()))?;
    if let Some(at) = text.find('\0') {
        return Err(not_text(at));
    }
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}
