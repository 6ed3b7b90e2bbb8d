//! `tepid list`.

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Format, json};
use clap::ValueEnum;
use tepid_output::records::Listing;
use tepid_output::{csv_text, table};

/// Arguments of `list`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// What to list; without it: everything.
    #[arg(value_enum)]
    what: Option<What>,
    /// Form of the output.
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum What {
    /// Scenarios of the library.
    Scenarios,
    /// Strategies, and guards that can stand around them.
    Strategies,
    /// Fault sets.
    Faults,
}

/// Lists.
pub fn run(arguments: &Arguments) -> Done {
    let all = tepid::listing::listing();
    let nothing = Listing {
        scenarios: Vec::new(),
        strategies: Vec::new(),
        guards: Vec::new(),
        faults: Vec::new(),
    };
    let listing = match arguments.what {
        None => all,
        Some(What::Scenarios) => Listing {
            scenarios: all.scenarios,
            ..nothing
        },
        Some(What::Strategies) => Listing {
            strategies: all.strategies,
            guards: all.guards,
            ..nothing
        },
        Some(What::Faults) => Listing {
            faults: all.faults,
            ..nothing
        },
    };
    print(&match arguments.format {
        Format::Table => table::listing(&listing),
        Format::Json => json(&listing)?,
        Format::Csv => csv_text::listing(&listing).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}
