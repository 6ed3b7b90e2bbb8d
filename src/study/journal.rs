//! The journal of a study: every finished cell, in any order, so that nothing is lost whenever the program dies.
//!
//! A file of frames: length, checksum (CRC-32), content. The first frame says which study it is of; each further one is a cell. A
//! frame is written with one call, and a torn one at the end is cut off when the journal is opened again.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions};
use std::io::{self, BufReader, BufWriter, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::cell::CellResult;
use super::shard::Shard;

/// Layout of frames and contents; another one cannot be read.
const LAYOUT: u32 = 1;

/// No content is longer; a longer one is a torn or foreign file.
const LONGEST_CONTENT_B: u32 = 1 << 20;

/// Bytes of length and checksum before each content.
const HEAD_B: u64 = 8;

/// Which study a journal is of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Header {
    layout: u32,
    /// Digest of everything the cells depend on.
    pub digest: String,
    /// Which part of the cells it holds.
    pub shard: Shard,
    /// Every cell of that part is there.
    pub complete: bool,
}

impl Header {
    /// The header of a study or of a part of one.
    #[must_use]
    pub fn new(digest: &str, shard: Shard) -> Self {
        Self {
            layout: LAYOUT,
            digest: digest.to_owned(),
            shard,
            complete: false,
        }
    }

    /// The same, finished or not.
    #[must_use]
    pub fn finished(self, complete: bool) -> Self {
        Self { complete, ..self }
    }
}

/// Why a journal cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// It cannot be read or written.
    #[error("cannot use {}: {error}", path.display())]
    Io {
        /// The journal.
        path: PathBuf,
        /// Why.
        error: io::Error,
    },
    /// It is no journal, or one of another version of the program.
    #[error("{}: not a journal of this version of tepid; expected a folder of this study, an empty one, or a new name", path.display())]
    Foreign {
        /// The file.
        path: PathBuf,
    },
    /// It is of another study.
    #[error("{}: holds results of another study (or of this one with other settings, files or program); expected an empty folder or a new name", path.display())]
    OtherStudy {
        /// The journal.
        path: PathBuf,
    },
    /// It is of another part of the study.
    #[error("{}: holds shard {held} of this study, not {wanted}; expected an empty folder or a new name", path.display())]
    OtherShard {
        /// The journal.
        path: PathBuf,
        /// What it holds.
        held: Shard,
        /// What was asked for.
        wanted: Shard,
    },
}

/// Finished cells on disk.
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    file: File,
    index: BTreeMap<u64, Stand>,
    end: u64,
}

/// Where a cell's result stands.
#[derive(Debug, Clone, Copy)]
struct Stand {
    /// Where its content starts, and how long it is.
    start: u64,
    length: u32,
    failed: bool,
}

impl Journal {
    /// Opens the journal at `path` for a study, or begins it. Cells that failed are forgotten: they are tried again.
    ///
    /// # Errors
    /// [`JournalError`] if it cannot be read or is not of this study.
    pub fn open(path: &Path, wanted: &Header) -> Result<Self, JournalError> {
        let io = |error| JournalError::Io {
            path: path.to_owned(),
            error,
        };
        let mut file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(path)
            .map_err(io)?;
        let read = read(&mut file, path)?;
        let mut journal = Self {
            path: path.to_owned(),
            file,
            index: BTreeMap::new(),
            end: 0,
        };
        match read {
            Some(read) => {
                same_study(path, &read.header, wanted)?;
                journal.file.set_len(read.end).map_err(io)?;
                journal.index = read.index;
                journal.index.retain(|_, stand| !stand.failed);
                journal.end = read.end;
            }
            // Nothing, or a header of ours that was torn: there is nothing to lose.
            None => {
                let held = std::fs::read(path).map_err(io)?;
                let header = frame(&encoded(wanted).map_err(io)?);
                if !header.starts_with(&held) {
                    return Err(JournalError::Foreign {
                        path: path.to_owned(),
                    });
                }
                journal.file.set_len(0).map_err(io)?;
                let content = encoded(wanted).map_err(io)?;
                journal.append(&content).map_err(io)?;
            }
        }
        Ok(journal)
    }

    /// Opens a journal to read it, whatever study it is of.
    ///
    /// # Errors
    /// [`JournalError`] if it cannot be read.
    pub fn open_to_read(path: &Path) -> Result<(Header, Self), JournalError> {
        let io = |error| JournalError::Io {
            path: path.to_owned(),
            error,
        };
        let mut file = File::open(path).map_err(io)?;
        let read = read(&mut file, path)?.ok_or_else(|| JournalError::Foreign {
            path: path.to_owned(),
        })?;
        let journal = Self {
            path: path.to_owned(),
            file,
            index: read.index,
            end: read.end,
        };
        Ok((read.header, journal))
    }

    /// Whether a cell has a result.
    #[must_use]
    pub fn has(&self, cell: u64) -> bool {
        self.index.contains_key(&cell)
    }

    /// The cells that have a result, in their order.
    pub fn cells(&self) -> impl Iterator<Item = u64> {
        self.index.keys().copied()
    }

    /// The cells whose run failed, in their order.
    pub fn failed(&self) -> impl Iterator<Item = u64> {
        let failed = self.index.iter().filter(|(_, stand)| stand.failed);
        failed.map(|(cell, _)| *cell)
    }

    /// How many cells have a result.
    #[must_use]
    pub fn len(&self) -> u64 {
        self.index.len() as u64
    }

    /// Whether no cell has a result yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.index.is_empty()
    }

    /// Writes down a finished cell.
    ///
    /// # Errors
    /// [`JournalError`] if it cannot be written; what was written before is kept.
    pub fn add(&mut self, cell: u64, result: &CellResult) -> Result<(), JournalError> {
        let content = encoded(&(cell, result)).map_err(|error| self.io(error))?;
        let stand = Stand {
            start: self.end + HEAD_B,
            length: content.len() as u32,
            failed: matches!(result, CellResult::Failed(_)),
        };
        self.append(&content).map_err(|error| self.io(error))?;
        self.index.insert(cell, stand);
        Ok(())
    }

    /// The result of a cell; `None`: it has none yet.
    ///
    /// # Errors
    /// [`JournalError`] if it cannot be read.
    pub fn get(&mut self, cell: u64) -> Result<Option<CellResult>, JournalError> {
        let Some(stand) = self.index.get(&cell).copied() else {
            return Ok(None);
        };
        let mut content = vec![0; stand.length as usize];
        let read = self.file.seek(SeekFrom::Start(stand.start));
        read.and_then(|_| self.file.read_exact(&mut content))
            .map_err(|error| self.io(error))?;
        let (_, result): (u64, CellResult) = decoded(&content).ok_or_else(|| JournalError::Foreign {
            path: self.path.clone(),
        })?;
        Ok(Some(result))
    }

    /// Writes all cells in their order beside the journal, and puts that in its place: the same bytes whatever came before.
    ///
    /// # Errors
    /// [`JournalError`] if it cannot be written.
    pub fn put_in_order(&mut self, header: &Header) -> Result<(), JournalError> {
        let aside = self.path.with_extension("new");
        let io = |error| JournalError::Io {
            path: aside.clone(),
            error,
        };
        let mut writer = BufWriter::new(File::create(&aside).map_err(io)?);
        let mut write = |content: &[u8]| writer.write_all(&frame(content)).map_err(io);
        write(&encoded(header).map_err(io)?)?;
        let cells: Vec<u64> = self.cells().collect();
        for cell in cells {
            if let Some(result) = self.get(cell)? {
                write(&encoded(&(cell, &result)).map_err(io)?)?;
            }
        }
        let file = writer.into_inner().map_err(|error| io(error.into_error()))?;
        file.sync_all().map_err(io)?;
        std::fs::rename(&aside, &self.path).map_err(|error| self.io(error))
    }

    fn append(&mut self, content: &[u8]) -> io::Result<()> {
        let frame = frame(content);
        self.file.seek(SeekFrom::Start(self.end))?;
        self.file.write_all(&frame)?;
        self.end += frame.len() as u64;
        Ok(())
    }

    fn io(&self, error: io::Error) -> JournalError {
        JournalError::Io {
            path: self.path.clone(),
            error,
        }
    }
}

fn same_study(path: &Path, held: &Header, wanted: &Header) -> Result<(), JournalError> {
    if held.digest != wanted.digest {
        return Err(JournalError::OtherStudy {
            path: path.to_owned(),
        });
    }
    if held.shard != wanted.shard {
        return Err(JournalError::OtherShard {
            path: path.to_owned(),
            held: held.shard,
            wanted: wanted.shard,
        });
    }
    Ok(())
}

fn frame(content: &[u8]) -> Vec<u8> {
    let mut frame = Vec::with_capacity(content.len() + HEAD_B as usize);
    frame.extend((content.len() as u32).to_le_bytes());
    frame.extend(crc32fast::hash(content).to_le_bytes());
    frame.extend(content);
    frame
}

fn encoded(content: &impl Serialize) -> io::Result<Vec<u8>> {
    postcard::to_stdvec(content).map_err(|error| io::Error::other(error.to_string()))
}

fn decoded<T: for<'a> Deserialize<'a>>(content: &[u8]) -> Option<T> {
    postcard::from_bytes(content).ok()
}

/// What stands in a journal.
struct Stands {
    header: Header,
    index: BTreeMap<u64, Stand>,
    /// Where the last whole frame ends.
    end: u64,
}

/// Reads all whole frames; `None`: there is not even a header.
fn read(file: &mut File, path: &Path) -> Result<Option<Stands>, JournalError> {
    let io = |error| JournalError::Io {
        path: path.to_owned(),
        error,
    };
    let foreign = || JournalError::Foreign {
        path: path.to_owned(),
    };
    let length = file.metadata().map_err(io)?.len();
    file.seek(SeekFrom::Start(0)).map_err(io)?;
    let mut reader = BufReader::new(file);
    let Some(content) = next_frame(&mut reader).map_err(io)? else {
        // Torn at its very beginning, or something else that is not ours to cut off.
        return if length < HEAD_B + 512 {
            Ok(None)
        } else {
            Err(foreign())
        };
    };
    let header: Header = decoded(&content).ok_or_else(foreign)?;
    if header.layout != LAYOUT {
        return Err(foreign());
    }
    let mut stands = Stands {
        header,
        index: BTreeMap::new(),
        end: HEAD_B + content.len() as u64,
    };
    while let Some(content) = next_frame(&mut reader).map_err(io)? {
        let Some((cell, result)) = decoded::<(u64, CellResult)>(&content) else {
            break;
        };
        let start = stands.end + HEAD_B;
        stands.end = start + content.len() as u64;
        let stand = Stand {
            start,
            length: content.len() as u32,
            failed: matches!(result, CellResult::Failed(_)),
        };
        stands.index.insert(cell, stand);
    }
    Ok(Some(stands))
}

/// The content of the next frame; `None`: there is no further whole one.
fn next_frame(reader: &mut impl Read) -> io::Result<Option<Vec<u8>>> {
    let mut head = [0; HEAD_B as usize];
    if !filled(reader, &mut head)? {
        return Ok(None);
    }
    let [a, b, c, d, e, f, g, h] = head;
    let (length, checksum) = (u32::from_le_bytes([a, b, c, d]), u32::from_le_bytes([e, f, g, h]));
    if length == 0 || length > LONGEST_CONTENT_B {
        return Ok(None);
    }
    let mut content = vec![0; length as usize];
    Ok((filled(reader, &mut content)? && crc32fast::hash(&content) == checksum).then_some(content))
}

/// Fills a buffer; false: there were too few bytes.
fn filled(reader: &mut impl Read, buffer: &mut [u8]) -> io::Result<bool> {
    match reader.read_exact(buffer) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => Ok(false),
        Err(error) => Err(error),
    }
}
