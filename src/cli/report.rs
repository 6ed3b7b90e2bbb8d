//! `tepid report`.

use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, Threads, UnitSystem, all_bound, apart, none_failed, twice, with_threads};
use super::study::{failed, read_baseline};
use tepid::live_start::{LiveRequest, live_start};
use tepid::report::{ReportRequest, report};
use tepid::study::{Outcome, Shard, StudyRequest};
use tepid_output::report::{Input, LiveTank, StudyReport, html, study_html};
use tepid_output::wording::{Units, quoted};
use tepid_scenarios::{Loaded, Setting, Study, library, load_file};
use tepid_sim::scenario::Scenario;

/// Arguments of `report`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Scenarios of the library, or scenario files; several are ranked, the first in danger on top. Or one study file.
    #[arg(value_name = "SCENARIO|STUDY", required = true)]
    scenarios: Vec<String>,
    /// A strategy by name or file; may be given several times; a study names its own.
    #[arg(long)]
    strategy: Vec<String>,
    /// The page to write.
    #[arg(long, short, value_name = "FILE.html")]
    output: PathBuf,
    /// Runs of each strategy with nothing broken, in other weather and noise, that show how outcomes vary; without it: 20.
    #[arg(long, value_parser = clap::value_parser!(u64).range(1..=1000))]
    runs: Option<u64>,
    /// Carries the live tank inside: the model that computes in the browser, opened at these scenarios and strategies. About 800 kB more.
    #[arg(long)]
    live: bool,
    /// Units of the page.
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    #[command(flatten)]
    changes: Changes,
    /// Seed of weather and noise; without it: 7.
    #[arg(long)]
    seed: Option<u64>,
    /// Where results of a study are kept: what is there already is not run again.
    #[arg(long, value_name = "DIR")]
    results: Option<PathBuf>,
    /// What gates of a study with `no_worse_than_baseline` are held against.
    #[arg(long, value_name = "FILE.json")]
    baseline: Option<PathBuf>,
    #[command(flatten)]
    threads: Threads,
}

/// Without others.
const DEFAULT_SEED: u64 = 7;
const DEFAULT_RUNS: u64 = 20;

/// Computes and writes.
pub fn run(arguments: &Arguments) -> Done {
    let read = arguments
        .scenarios
        .iter()
        .chain(&arguments.strategy)
        .map(Path::new);
    apart(Some(&arguments.output), read.chain(arguments.baseline.as_deref()))?;
    if let Some(study) = study(arguments)? {
        return of_study(arguments, study);
    }
    if arguments.strategy.is_empty() {
        return Err(Failure::BadInput(
            "nothing to report on; expected --strategy at least once".to_owned(),
        ));
    }
    if arguments.results.is_some() || arguments.baseline.is_some() {
        return Err(Failure::BadInput(
            "--results and --baseline belong to a study".to_owned(),
        ));
    }
    let settings = arguments.changes.settings()?;
    let mut scenarios = Vec::new();
    for asked in &arguments.scenarios {
        scenarios.push((asked.clone(), tepid_scenarios::scenario(asked, &settings)?));
    }
    let all: Vec<&Scenario> = scenarios.iter().map(|(_, scenario)| scenario).collect();
    let strategies = all_bound(&arguments.strategy, &all)?;
    let names: Vec<&str> = scenarios
        .iter()
        .map(|(_, scenario)| scenario.name.as_str())
        .collect();
    let strategy_names: Vec<&str> = strategies.iter().map(|(name, _)| name.as_str()).collect();
    if let Some(name) = twice(&names).or_else(|| twice(&strategy_names)) {
        return Err(Failure::BadInput(format!(
            "`{name}` is asked for twice; expected each scenario and each strategy once"
        )));
    }
    let request = ReportRequest {
        scenarios: &scenarios,
        strategies: &strategies,
        strategies_asked: &arguments.strategy,
        changes: &arguments.changes.set,
        seed: arguments.seed.unwrap_or(DEFAULT_SEED),
        runs: arguments.runs.unwrap_or(DEFAULT_RUNS),
        units: arguments.units.into(),
        file: &arguments.output.display().to_string(),
        inputs: inputs(arguments)?,
        live: live(arguments, &scenarios, &settings)?,
    };
    opened(arguments)?;
    let report = with_threads(&arguments.threads, |bar| report(&request, bar))?
        .map_err(|error| Failure::BadInput(error.to_string()))?;
    written(arguments, &html(&report))?;
    let failed = report
        .chapters
        .iter()
        .flat_map(|chapter| &chapter.faults.strategies)
        .filter(|one| !one.failures.is_empty());
    none_failed(failed.count())
}

/// The live tank at each scenario, if it was asked for and can show them.
fn live(
    arguments: &Arguments,
    scenarios: &[(String, Scenario)],
    settings: &[Setting],
) -> Result<Option<LiveTank>, Failure> {
    if !arguments.live {
        return Ok(None);
    }
    let mut starts = Vec::new();
    for (asked, scenario) in scenarios {
        let request = LiveRequest {
            asked,
            scenario,
            settings,
            strategies: &arguments.strategy,
            seed: arguments.seed.unwrap_or(DEFAULT_SEED),
        };
        let start = live_start(&request).map_err(|error| Failure::BadInput(format!("--live: {error}")))?;
        starts.push((scenario.title.clone(), start));
    }
    let tank = LiveTank::new(&starts, arguments.units.into())
        .map_err(|error| Failure::Unfinished(error.to_string()))?;
    Ok(Some(tank))
}

/// The study, if the one thing named is a study file.
fn study(arguments: &Arguments) -> Result<Option<Study>, Failure> {
    let [one] = arguments.scenarios.as_slice() else {
        return Ok(None);
    };
    if library::text(one).is_some() || !Path::new(one).is_file() {
        return Ok(None);
    }
    Ok(match load_file(Path::new(one))? {
        Loaded::Study(study) => Some(*study),
        Loaded::Scenario(_) | Loaded::Strategy(_) => None,
    })
}

fn of_study(arguments: &Arguments, study: Study) -> Done {
    let says_itself = [
        ("--strategy", !arguments.strategy.is_empty(), "strategies"),
        ("--set", !arguments.changes.set.is_empty(), "[[vary]]"),
        ("--seed", arguments.seed.is_some(), "seed"),
        ("--runs", arguments.runs.is_some(), "replicates"),
    ];
    if arguments.live {
        return Err(Failure::BadInput(
            "--live shows one tank as it is run, and a study is many runs; expected a scenario".to_owned(),
        ));
    }
    if let Some((option, _, field)) = says_itself.iter().find(|(_, given, _)| *given) {
        return Err(Failure::BadInput(format!(
            "{option} changes what a study compares; expected it in the file: {field}"
        )));
    }
    let plan = super::study::plan(study)?;
    let path = arguments.scenarios.first().map_or("", String::as_str);
    let baseline = arguments
        .baseline
        .as_deref()
        .map(|path| read_baseline(path, &plan))
        .transpose()?;
    opened(arguments)?;
    let request = StudyRequest {
        plan: &plan,
        path,
        folder: arguments.results.as_deref(),
        shard: Shard::WHOLE,
        baseline: baseline.as_ref(),
        stop: &AtomicBool::new(false),
    };
    let outcome =
        with_threads(&arguments.threads, |bar| tepid::study::study(&request, bar))?.map_err(failed)?;
    let Outcome::Whole(result) = outcome else {
        return Err(Failure::Unfinished("only a part of the study was run".to_owned()));
    };
    let units = Units::from(arguments.units);
    let mut command = format!("tepid report {}", quoted(path));
    if let Some(baseline) = &arguments.baseline {
        command += &format!(" --baseline {}", quoted(&baseline.display().to_string()));
    }
    command += units.option();
    command += &format!(" -o {}", quoted(&arguments.output.display().to_string()));
    let report = StudyReport {
        program: concat!("tepid ", env!("CARGO_PKG_VERSION")).to_owned(),
        command,
        units,
        path: path.to_owned(),
        result: *result,
        inputs: inputs(arguments)?,
    };
    written(arguments, &study_html(&report))
}

/// A wrong path fails before the work, not after it.
fn opened(arguments: &Arguments) -> Done {
    std::fs::write(&arguments.output, "").map_err(|error| Failure::writing(&arguments.output, error))
}

fn written(arguments: &Arguments, page: &str) -> Done {
    std::fs::write(&arguments.output, page).map_err(|error| Failure::writing(&arguments.output, error))?;
    print(&format!(
        "{}: {} kB, opens in any browser, needs no network\n",
        arguments.output.display(),
        page.len().div_ceil(1000)
    ))
}

/// Texts of all scenarios and of strategies in files.
fn inputs(arguments: &Arguments) -> Result<Vec<Input>, Failure> {
    let mut inputs = Vec::new();
    for asked in arguments.scenarios.iter().chain(&arguments.strategy) {
        let built_in = tepid_strategies::registry()
            .iter()
            .any(|entry| entry.name == *asked);
        let text = match library::text(asked) {
            Some(text) => text.to_owned(),
            None if built_in => continue,
            None => std::fs::read_to_string(asked)
                .map_err(|error| Failure::BadInput(format!("cannot read {asked}: {error}")))?,
        };
        inputs.push(Input {
            name: asked.clone(),
            text,
        });
    }
    Ok(inputs)
}
