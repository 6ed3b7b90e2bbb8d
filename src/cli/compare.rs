//! `tepid compare`.

use std::path::Path;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{
    Changes, Format, Named, Shown, Threads, json, none_failed, strategies, twice, with_threads,
};
use super::study::{Asked, Kept};
use tepid::compare::{CompareRequest, compare};
use tepid::study::Shard;
use tepid_output::records::Comparison;
use tepid_output::{csv_text, table};
use tepid_scenarios::{
    FileKind, Loaded, NO_FAULT, Study, fault_sets, kind_of_text, library, load_file, named_fault_set,
};
use tepid_sim::scenario::{FaultSet, Scenario};

/// What `tepid` alone looks at.
const DEFAULT_SCENARIO: &str = "spare-room-winter";
const DEFAULT_FAULTS: [&str; 2] = [tepid_scenarios::NO_FAULT, "one contact welded"];
/// One of each kind that heats; the others are these with something added.
const DEFAULT_STRATEGIES: [&str; 8] = [
    "heater-dial",
    "timer",
    "on-off",
    "proportional",
    "pi",
    "staggered-pair",
    "lead-lag",
    "set-back",
];
const DEFAULT_SEED: u64 = 7;

/// What to look at after that.
const NEXT: &str = "
Next
- every built-in strategy that applies: tepid compare spare-room-winter
- the same week with one big heater, where a weld is a disaster:
  tepid compare spare-room-winter spare-room-one-big-heater
- where the heat goes: tepid budget spare-room-winter
- your own tank: tepid new scenario my-tank.toml
";

/// Arguments of `compare`.
#[derive(Debug, Default, clap::Args)]
pub struct Arguments {
    /// Scenarios of the library, scenario files, or one study file; without any: spare-room-winter.
    #[arg(value_name = "SCENARIO|STUDY")]
    what: Vec<String>,
    /// A strategy by name or file; may be given several times; without any: all built-in ones that apply; where no scenario is named either, eight of them.
    #[arg(long)]
    strategy: Vec<String>,
    /// A fault set by name; may be given several times; without any: none, one contact welded.
    #[arg(long, conflicts_with = "all")]
    fault: Vec<String>,
    /// Every fault set, and every fault in the table.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    changes: Changes,
    /// Seed of weather and noise; without it: 7.
    #[arg(long)]
    seed: Option<u64>,
    /// Runs of each cell with other random numbers; without it: 1.
    #[arg(long, value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    replicates: Option<u64>,
    #[command(flatten)]
    threads: Threads,
    #[command(flatten)]
    kept: Kept,
    /// Runs part K of N of a study, for `tepid merge`; `auto` or `auto/N` in a job that numbers its parts.
    #[arg(long, value_name = "K/N")]
    shard: Option<Shard>,
    /// Tells of failed runs of a study as they come.
    #[arg(long)]
    verbose: bool,
    #[command(flatten)]
    shown: Shown,
}

/// Everything to be compared.
struct Plan {
    scenarios: Vec<(Scenario, Vec<FaultSet>)>,
    strategies: Vec<Named>,
    seed: u64,
    replicates: u64,
}

/// Compares and shows.
pub fn run(arguments: &Arguments) -> Done {
    if let Some(study) = study(arguments)? {
        return of_study(arguments, study);
    }
    if arguments.kept.is_asked_for() || arguments.shard.is_some() || arguments.verbose {
        return Err(Failure::BadInput(
            "--results, --shard, --baseline, --save-baseline and --verbose belong to a study; write one with: tepid new study my-study.toml"
                .to_owned(),
        ));
    }
    let plan = plan(arguments)?;
    let request = CompareRequest {
        scenarios: &plan.scenarios,
        strategies: &plan.strategies,
        seed: plan.seed,
        replicates: plan.replicates,
    };
    let comparison = with_threads(&arguments.threads, |bar| compare(&request, bar))?
        .map_err(|error| Failure::BadInput(error.to_string()))?;
    print(&shown(arguments, &comparison)?)?;
    if arguments.what.is_empty() && arguments.shown.format == Format::Table {
        print(NEXT)?;
    }
    let failed = comparison
        .scenarios
        .iter()
        .flat_map(|block| &block.rows)
        .filter(|row| !row.failures.is_empty());
    none_failed(failed.count())
}

fn shown(arguments: &Arguments, comparison: &Comparison) -> Result<String, Failure> {
    let units = arguments.shown.units.into();
    Ok(match arguments.shown.format {
        Format::Table if arguments.all => table::comparison_with_every_fault(comparison, units),
        Format::Table => table::comparison(comparison, units),
        Format::Json => json(comparison)?,
        Format::Csv => {
            csv_text::comparison(comparison).map_err(|error| Failure::Unfinished(error.to_string()))?
        }
    })
}

fn plan(arguments: &Arguments) -> Result<Plan, Failure> {
    let registry = || {
        tepid_strategies::registry()
            .iter()
            .map(|entry| entry.name.to_owned())
    };
    let names = match (arguments.strategy.as_slice(), arguments.what.is_empty()) {
        ([], true) => DEFAULT_STRATEGIES.map(str::to_owned).to_vec(),
        ([], false) => registry().collect(),
        (named, _) => named.to_vec(),
    };
    let scenarios = scenarios(arguments)?;
    let strategies = strategies(&names, &scenarios.iter().collect::<Vec<_>>())?;
    let wanted = if arguments.fault.is_empty() {
        DEFAULT_FAULTS.map(str::to_owned).to_vec()
    } else {
        arguments.fault.clone()
    };
    each_once(
        "scenarios",
        scenarios.iter().map(|scenario| scenario.name.as_str()),
    )?;
    each_once("strategies", strategies.iter().map(|(name, _)| name.as_str()))?;
    each_once("fault sets", wanted.iter().map(String::as_str))?;
    let scenarios = scenarios
        .into_iter()
        .map(|scenario| {
            let sets = if arguments.all {
                fault_sets(&scenario)
            } else {
                wanted
                    .iter()
                    .map(|name| named_fault_set(&scenario, name))
                    .collect::<Result<_, _>>()?
            };
            Ok((scenario, sets))
        })
        .collect::<Result<Vec<_>, Failure>>()?;
    if !arguments.all {
        each_strikes(&wanted, &scenarios)?;
    }
    Ok(Plan {
        scenarios,
        strategies,
        seed: arguments.seed.unwrap_or(DEFAULT_SEED),
        replicates: arguments.replicates.unwrap_or(1),
    })
}

/// A fault set that was asked for and finds nothing to strike anywhere is a mistake, not a silence.
fn each_strikes(wanted: &[String], scenarios: &[(Scenario, Vec<FaultSet>)]) -> Done {
    let strikes = |name: &String| {
        let mut sets = scenarios.iter().flat_map(|(_, sets)| sets);
        sets.any(|set| set.name == *name && !set.cases.is_empty())
    };
    match wanted.iter().find(|name| *name != NO_FAULT && !strikes(name)) {
        None => Ok(()),
        Some(name) => {
            let names: Vec<&str> = scenarios
                .iter()
                .map(|(scenario, _)| scenario.name.as_str())
                .collect();
            Err(Failure::BadInput(format!(
                "fault set `{name}` has no case in {}: there is nothing that it could strike",
                names.join(", ")
            )))
        }
    }
}

/// Rows of one name could not be told apart.
fn each_once<'n>(what: &str, names: impl Iterator<Item = &'n str>) -> Done {
    match twice(&names.collect::<Vec<_>>()) {
        None => Ok(()),
        Some(name) => Err(Failure::BadInput(format!(
            "two {what} of this comparison are named `{name}`; expected each once, or a name of its own: name = \"…\" in its file"
        ))),
    }
}

/// The study, if the one thing named is a study file.
fn study(arguments: &Arguments) -> Result<Option<Study>, Failure> {
    let is_file = |what: &str| library::text(what).is_none() && Path::new(what).is_file();
    let [one] = arguments.what.as_slice() else {
        return no_study_among(
            arguments.what.iter().filter(|what| is_file(what)),
            &arguments.what,
        );
    };
    if !is_file(one) {
        return Ok(None);
    }
    match load_file(Path::new(one))? {
        Loaded::Study(study) => Ok(Some(*study)),
        Loaded::Scenario(_) => Ok(None),
        Loaded::Strategy(_) => Err(Failure::BadInput(format!(
            "{one} is a strategy; compare it with: tepid compare --strategy {one}"
        ))),
    }
}

/// A study says itself what is compared: whoever runs it again must not need the command line of the first time.
fn of_study(arguments: &Arguments, study: Study) -> Done {
    let says_itself = [
        ("--strategy", !arguments.strategy.is_empty(), "strategies"),
        ("--fault", !arguments.fault.is_empty(), "faults"),
        ("--all", arguments.all, "faults"),
        (
            "--set",
            !arguments.changes.set.is_empty(),
            "a variant among its scenarios, or [[vary]]",
        ),
        ("--seed", arguments.seed.is_some(), "seed"),
        ("--replicates", arguments.replicates.is_some(), "replicates"),
    ];
    if let Some((option, _, field)) = says_itself.iter().find(|(_, given, _)| *given) {
        return Err(Failure::BadInput(format!(
            "{option} changes what a study compares, and its results could not be run again from its file alone; expected it in the file: {field}"
        )));
    }
    let [path] = arguments.what.as_slice() else {
        return Ok(());
    };
    let asked = Asked {
        path,
        kept: &arguments.kept,
        shard: arguments.shard.unwrap_or(Shard::WHOLE),
        threads: &arguments.threads,
        verbose: arguments.verbose,
        shown: &arguments.shown,
    };
    super::study::run(&asked, study)
}

/// Of several things none may be a study: it names its own scenarios, strategies and faults.
fn no_study_among<'a>(
    files: impl Iterator<Item = &'a String>,
    all: &[String],
) -> Result<Option<Study>, Failure> {
    for file in files {
        // What cannot be read is told by whoever loads it as a scenario.
        let is_study = std::fs::read_to_string(file).is_ok_and(|text| kind_of_text(&text) == FileKind::Study);
        if is_study {
            return Err(Failure::BadInput(format!(
                "one study at a time: {file} is a study, and {} things are named: {}",
                all.len(),
                all.join(", ")
            )));
        }
    }
    Ok(None)
}

fn scenarios(arguments: &Arguments) -> Result<Vec<Scenario>, Failure> {
    let settings = arguments.changes.settings()?;
    let default = [DEFAULT_SCENARIO.to_owned()];
    let names = if arguments.what.is_empty() {
        &default[..]
    } else {
        &arguments.what
    };
    names
        .iter()
        .map(|name| Ok(tepid_scenarios::scenario(name, &settings)?))
        .collect()
}
