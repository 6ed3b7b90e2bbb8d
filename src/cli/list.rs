//! `tepid list`.

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Format, json};
use tepid_output::{csv_text, table};

/// Arguments of `list`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Form of the output.
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Lists.
pub fn run(arguments: &Arguments) -> Done {
    let listing = tepid::listing::listing();
    print(&match arguments.format {
        Format::Table => table::listing(&listing),
        Format::Json => json(&listing)?,
        Format::Csv => csv_text::listing(&listing).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}
