//! `tepid live`.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, UnitSystem, all_bound, apart, twice};
use tepid::live::Server;
use tepid::live_start::{LiveRequest, live_start};
use tepid_output::live::{self, LiveStart};

/// Arguments of `live`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A scenario of the library, or a file, that the page opens at; it may be changed there.
    scenario: Option<String>,
    /// A strategy by name or file; may be given up to four times.
    #[arg(long, requires = "scenario")]
    strategy: Vec<String>,
    #[command(flatten)]
    changes: Changes,
    /// Writes the page to a file in place of serving it: it opens from disk, from a stick, from any server.
    #[arg(short, long, value_name = "FILE.html")]
    output: Option<PathBuf>,
    /// Port on this machine; 0: any that is free.
    #[arg(long, default_value_t = 7377, conflicts_with = "output")]
    port: u16,
    /// Seed of weather and noise.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    /// Units that the page begins with; they may be chosen there.
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
}

/// Serves the page until somebody stops it, or writes it.
pub fn run(arguments: &Arguments) -> Done {
    let read = arguments.scenario.iter().chain(&arguments.strategy);
    apart(arguments.output.as_deref(), read.map(Path::new))?;
    let start = start(arguments)?;
    let page = live::page(start.as_ref(), arguments.units.into())
        .map_err(|error| Failure::Unfinished(error.to_string()))?;
    if let Some(path) = &arguments.output {
        return std::fs::write(path, page).map_err(|error| Failure::writing(path, error));
    }
    let port = arguments.port;
    let server = Server::bind(port, page).map_err(|error| {
        let other = if port == 0 {
            ""
        } else {
            "; --port 0 takes any that is free"
        };
        Failure::Unfinished(format!("cannot serve on port {port}: {error}{other}"))
    })?;
    let end = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&end);
    ctrlc::set_handler(move || asked.store(true, Ordering::Relaxed))
        .map_err(|error| Failure::Unfinished(format!("cannot listen for Ctrl-C: {error}")))?;
    print(&format!(
        "The live tank: http://{}/ (Ctrl-C ends it)",
        server.address()
    ))?;
    server.serve(&end);
    Ok(())
}

/// What the page opens at, if somebody says.
fn start(arguments: &Arguments) -> Result<Option<LiveStart>, Failure> {
    let settings = arguments.changes.settings()?;
    let Some(asked) = &arguments.scenario else {
        return match settings.first() {
            None => Ok(None),
            Some(_) => Err(Failure::BadInput(
                "--set changes a scenario; expected its name or file before it".to_owned(),
            )),
        };
    };
    let scenario = tepid_scenarios::scenario(asked, &settings)?;
    let strategies = all_bound(&arguments.strategy, &[&scenario])?;
    let names: Vec<&str> = strategies.iter().map(|(name, _)| name.as_str()).collect();
    if let Some(name) = twice(&names) {
        return Err(Failure::BadInput(format!(
            "`{name}` is asked for twice; expected each strategy once"
        )));
    }
    let request = LiveRequest {
        asked,
        scenario: &scenario,
        settings: &settings,
        strategies: &arguments.strategy,
        seed: arguments.seed,
    };
    let start = live_start(&request).map_err(|error| Failure::BadInput(error.to_string()))?;
    Ok(Some(start))
}
