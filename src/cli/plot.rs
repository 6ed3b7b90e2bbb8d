//! `tepid plot`.

use std::iter::once;
use std::path::{Path, PathBuf};

use clap::ValueEnum;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, Named, PlotKind, Threads, UnitSystem, all_bound, apart, with_threads};
use tepid::budget::budgets;
use tepid::compare::{CompareRequest, compare};
use tepid::faults::{FaultsRequest, faults};
use tepid::figures;
use tepid_output::plot::Figure;
use tepid_output::records::FaultMatrix;
use tepid_scenarios::{NO_FAULT, named_fault_set};
use tepid_sim::quantity::parse_millis;
use tepid_sim::run::RunError;
use tepid_sim::scenario::Scenario;
use tepid_sim::time::{MINUTE, Millis};

/// Arguments of `plot`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// What to draw; the course of one run is drawn by `tepid run --plot`.
    #[arg(value_enum)]
    kind: Kind,
    /// A scenario of the library, or a file.
    scenario: String,
    /// A strategy by name or file; may be given several times; `budget` takes none, `faults` one.
    #[arg(long)]
    strategy: Vec<String>,
    /// The picture to write, SVG or PNG by its ending.
    #[arg(long, short, value_name = "FILE.svg|png")]
    output: PathBuf,
    /// Where `cycle` begins, time since the start of scoring.
    #[arg(long, default_value = "1 d")]
    from: String,
    /// How long `cycle` looks.
    #[arg(long = "for", value_name = "LENGTH", default_value = "6 h")]
    length: String,
    #[command(flatten)]
    changes: Changes,
    /// Seed of weather and noise.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    /// Units of the picture.
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    #[command(flatten)]
    threads: Threads,
}

/// The pictures that compare.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Kind {
    /// A few hours of switching: water and heaters of each strategy.
    Cycle,
    /// Share of the time that heaters draw power, and closings as they add up.
    Wear,
    /// The worst single faults of a strategy, side by side.
    Faults,
    /// What strategies give up for what.
    Pareto,
    /// Where the heat goes.
    Budget,
}

/// Computes and draws.
pub fn run(arguments: &Arguments) -> Done {
    let kind = PlotKind::of("--output", &arguments.output)?;
    let read = once(&arguments.scenario).chain(&arguments.strategy);
    apart(Some(&arguments.output), read.map(Path::new))?;
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let strategies = strategies(arguments, &scenario)?;
    let figure = figure(arguments, &scenario, &strategies)?.in_units(arguments.units.into());
    let drawn = match kind {
        PlotKind::Svg => figure.svg().map(String::into_bytes),
        PlotKind::Png => figure.png(),
    };
    let bytes = drawn.map_err(|error| {
        Failure::Unfinished(format!("cannot draw {}: {error}", arguments.output.display()))
    })?;
    std::fs::write(&arguments.output, bytes).map_err(|error| Failure::writing(&arguments.output, error))?;
    print(&format!("drawn: {}\n", arguments.output.display()))
}

/// Checked against what the picture needs.
fn strategies(arguments: &Arguments, scenario: &Scenario) -> Result<Vec<Named>, Failure> {
    let bad = |expected: &str| Err(Failure::BadInput(expected.to_owned()));
    match (arguments.kind, arguments.strategy.len()) {
        (Kind::Budget, 1..) => return bad("a heat budget has no strategy; expected no --strategy"),
        (Kind::Faults, 0 | 2..) => {
            return bad("the faults of one strategy are drawn; expected --strategy once");
        }
        (Kind::Cycle | Kind::Wear | Kind::Pareto, 0) => {
            return bad("nothing to draw; expected --strategy at least once");
        }
        _ => {}
    }
    all_bound(&arguments.strategy, &[scenario])
}

fn figure(arguments: &Arguments, scenario: &Scenario, strategies: &[Named]) -> Result<Figure, Failure> {
    let seed = arguments.seed;
    let failed = |error: RunError| Failure::Unfinished(format!("{}: {error}", scenario.name));
    match arguments.kind {
        Kind::Cycle => {
            let from_ms = length("--from", &arguments.from, 0)?;
            let length_ms = length("--for", &arguments.length, MINUTE)?;
            if from_ms + MINUTE > scenario.duration_ms {
                return Err(Failure::BadInput(format!(
                    "--from {}: {} is over by then",
                    arguments.from, scenario.name
                )));
            }
            figures::cycle(scenario, strategies, seed, from_ms, length_ms).map_err(failed)
        }
        Kind::Wear => figures::wear(scenario, strategies, seed).map_err(failed),
        Kind::Faults => {
            let matrix = matrix(scenario, strategies, seed, &arguments.threads)?;
            let [(_, recipe)] = strategies else {
                return Err(Failure::BadInput("expected --strategy once".to_owned()));
            };
            Ok(figures::gallery(scenario, recipe.as_ref(), &matrix))
        }
        Kind::Pareto => {
            let matrix = matrix(scenario, strategies, seed, &arguments.threads)?;
            let sets = vec![named_fault_set(scenario, NO_FAULT)?];
            let request = CompareRequest {
                scenarios: &[(scenario.clone(), sets)],
                strategies,
                seed,
                replicates: 1,
            };
            let compared = with_threads(&arguments.threads, |bar| compare(&request, bar))?
                .map_err(|error| Failure::BadInput(error.to_string()))?;
            let blocks: Vec<_> = compared.scenarios;
            let Some(block) = blocks.first() else {
                return Err(Failure::Unfinished("nothing was compared".to_owned()));
            };
            Ok(figures::pareto(scenario, block, matrix))
        }
        Kind::Budget => {
            let all = budgets(scenario).map_err(failed)?;
            match <[_; 1]>::try_from(all) {
                Ok([budget]) => Ok(figures::heat(scenario, budget)),
                Err(all) => Err(Failure::BadInput(format!(
                    "{} has {} water systems, each with a budget of its own; `tepid report` draws them all",
                    scenario.name,
                    all.len()
                ))),
            }
        }
    }
}

fn matrix(
    scenario: &Scenario,
    strategies: &[Named],
    seed: u64,
    threads: &Threads,
) -> Result<FaultMatrix, Failure> {
    let request = FaultsRequest {
        scenario,
        strategies,
        seed,
        pairs: false,
    };
    with_threads(threads, |bar| faults(&request, bar))?
        .map_err(|error| Failure::BadInput(format!("{}: {error}", scenario.name)))
}

fn length(option: &str, text: &str, least_ms: Millis) -> Result<Millis, Failure> {
    match parse_millis(text) {
        Ok(length_ms) if length_ms >= least_ms => Ok(length_ms),
        Ok(_) => Err(Failure::BadInput(format!("{option} {text}: too short"))),
        Err(error) => Err(Failure::BadInput(format!(
            "{option} {text}: {error}; expected a length of time such as \"6 h\" or \"2 h 30 min\""
        ))),
    }
}
