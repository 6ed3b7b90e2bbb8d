//! Texts that were read, and places in them.

use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A text with the name people know it by: a path, a library name, or an option of the command line.
#[derive(PartialEq, Eq)]
pub struct Source {
    /// Its name.
    pub name: String,
    /// Its text.
    pub text: String,
    /// Where relative paths in it start from; empty: the current folder.
    folder: PathBuf,
    /// Whether lines and columns in it help to find a place: not in an option of the command line.
    has_lines: bool,
}

impl Source {
    pub(crate) fn new(name: &str, text: &str) -> Arc<Self> {
        Arc::new(Self {
            name: name.to_owned(),
            text: text.to_owned(),
            folder: PathBuf::new(),
            has_lines: true,
        })
    }

    /// What stands in the command line: an option or argument by its name there.
    pub(crate) fn of_command_line(name: &str, text: &str) -> Arc<Self> {
        Arc::new(Self {
            name: name.to_owned(),
            text: text.to_owned(),
            folder: PathBuf::new(),
            has_lines: false,
        })
    }

    /// A file without a text: it cannot be read.
    pub(crate) fn unread(name: &str) -> Arc<Self> {
        Self::of_command_line(name, "")
    }

    /// Whether lines and columns in it help to find a place.
    pub(crate) fn has_lines(&self) -> bool {
        self.has_lines
    }

    /// The text of a file: relative paths in it start from its folder.
    pub(crate) fn of_file(path: &Path, text: String) -> Arc<Self> {
        Arc::new(Self {
            name: path.to_string_lossy().into_owned(),
            text,
            folder: path.parent().unwrap_or(Path::new("")).to_owned(),
            has_lines: true,
        })
    }

    /// Where relative paths in it start from; empty: the current folder.
    pub(crate) fn folder(&self) -> &Path {
        &self.folder
    }
}

/// Short: the text of a whole file would drown every other figure.
impl fmt::Debug for Source {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Source({}, {} bytes)", self.name, self.text.len())
    }
}

/// A place in a source.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The source.
    pub source: Arc<Source>,
    /// Bytes of its text, on character boundaries.
    pub range: Range<usize>,
}

impl Place {
    /// A place; the range is moved into the text and onto character boundaries.
    pub(crate) fn new(source: &Arc<Source>, range: Range<usize>) -> Self {
        let text = &source.text;
        let mut start = range.start.min(text.len());
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        let mut end = range.end.clamp(start, text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        Self {
            source: Arc::clone(source),
            range: start..end,
        }
    }

    /// The text at this place.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.source.text[self.range.clone()]
    }

    /// Line and column of the start, both from 1; columns count characters.
    #[must_use]
    pub fn line_and_column(&self) -> (usize, usize) {
        position(&self.source.text, self.range.start)
    }

    /// "my-tank.toml:12:9", or "--set" where lines help nobody.
    #[must_use]
    pub fn shown(&self) -> String {
        if self.source.has_lines {
            let (line, column) = self.line_and_column();
            format!("{}:{line}:{column}", self.source.name)
        } else {
            self.source.name.clone()
        }
    }

    /// The line the place starts in, without its end, and the byte it starts at.
    #[must_use]
    pub fn line(&self) -> (&str, usize) {
        let text = &self.source.text;
        let start = text[..self.range.start].rfind('\n').map_or(0, |at| at + 1);
        let end = text[self.range.start..]
            .find('\n')
            .map_or(text.len(), |at| self.range.start + at);
        (text[start..end].trim_end_matches('\r'), start)
    }
}

/// Line and column of a byte, both from 1.
fn position(text: &str, at: usize) -> (usize, usize) {
    let before = &text[..at];
    let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
    (
        before.matches('\n').count() + 1,
        before[line_start..].chars().count() + 1,
    )
}
