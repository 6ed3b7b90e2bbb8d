//! `tepid new`.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::PathBuf;

use clap::ValueEnum;

use super::Done;
use super::exit::{Failure, print};
use tepid_scenarios::{FileKind, template};

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// What kind of file.
    #[arg(value_enum)]
    kind: Kind,
    /// Where to write it; without it, to standard output. An existing file is never written over.
    file: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Kind {
    Scenario,
    Strategy,
    Study,
}

/// Writes the file.
pub fn run(arguments: &Arguments) -> Done {
    let text = template(match arguments.kind {
        Kind::Scenario => FileKind::Scenario,
        Kind::Strategy => FileKind::Strategy,
        Kind::Study => FileKind::Study,
    });
    let Some(path) = &arguments.file else { return print(&text) };
    let mut file = OpenOptions::new().write(true).create_new(true).open(path).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => {
            Failure::BadInput(format!("{} is there already; it is left as it is", path.display()))
        }
        _ => Failure::writing(path, error),
    })?;
    file.write_all(text.as_bytes()).map_err(|error| Failure::writing(path, error))?;
    print(&format!("wrote {}; check it with: tepid check {}", path.display(), path.display()))
}
