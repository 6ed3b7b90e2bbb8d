//! `tepid merge`.

use std::path::{Path, PathBuf};

use tepid::study::Shard;
use tepid_scenarios::{Loaded, load_file};

use super::Done;
use super::exit::Failure;
use super::shared::{Shown, Threads};
use super::study::{Asked, Kept, merge};

/// Arguments of `merge`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The study's file.
    study: String,
    /// The folders of all its parts, one for each `--shard`.
    #[arg(value_name = "DIR", required = true)]
    parts: Vec<PathBuf>,
    #[command(flatten)]
    kept: Kept,
    #[command(flatten)]
    shown: Shown,
}

/// Joins and shows.
pub fn run(arguments: &Arguments) -> Done {
    let Loaded::Study(study) = load_file(Path::new(&arguments.study))? else {
        return Err(Failure::BadInput(format!("{} is no study", arguments.study)));
    };
    let asked = Asked {
        path: &arguments.study,
        kept: &arguments.kept,
        shard: Shard::WHOLE,
        threads: &Threads::default(),
        verbose: false,
        shown: &arguments.shown,
    };
    merge(&asked, *study, &arguments.parts)
}
