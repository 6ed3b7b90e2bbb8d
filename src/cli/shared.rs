//! Options that several subcommands take.

use std::path::Path;

use clap::ValueEnum;
use tepid_output::wording::Units;
use tepid_scenarios::{Setting, StrategyFile, files_behind};
use tepid_sim::quantity::{Kind, parse};
use tepid_sim::run::binds;
use tepid_sim::scenario::Scenario;
use tepid_sim::strategy::{BindError, StrategyRecipe};
use tepid_strategies::registry;

use super::Done;
use super::exit::Failure;
use super::progress::Bar;

/// Form of the output.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people.
    #[default]
    Table,
    /// For programs, complete.
    Json,
    /// For spreadsheets.
    Csv,
}

/// Units of tables.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum UnitSystem {
    /// °C, L.
    #[default]
    Metric,
    /// °F, US gallons.
    Us,
}

impl From<UnitSystem> for Units {
    fn from(system: UnitSystem) -> Self {
        match system {
            UnitSystem::Metric => Self::Metric,
            UnitSystem::Us => Self::Us,
        }
    }
}

/// How a result is shown.
#[derive(Debug, Default, clap::Args)]
pub struct Shown {
    /// Form of the output.
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
    /// Units of tables; JSON and CSV are always metric.
    #[arg(long, value_enum, default_value_t)]
    pub units: UnitSystem,
}

/// Changes of a scenario by path.
#[derive(Debug, Default, clap::Args)]
pub struct Changes {
    /// Changes the scenario by path, for example `--set heater.left.power="150 W"`; may be given several times.
    #[arg(long = "set", value_name = "PATH=VALUE")]
    pub set: Vec<String>,
}

impl Changes {
    /// The changes, split at the first `=`.
    pub fn settings(&self) -> Result<Vec<Setting>, Failure> {
        self.set
            .iter()
            .map(|text| match text.split_once('=') {
                Some((path, value)) => Ok(Setting::new(path.trim(), value.trim())),
                None => Err(Failure::BadInput(format!(
                    "`--set {text}` has no `=`; expected PATH=VALUE, for example heater.left.power=\"150 W\""
                ))),
            })
            .collect()
    }
}

/// How many threads long work may take.
#[derive(Debug, Default, clap::Args)]
pub struct Threads {
    /// Threads; without it: all cores. The result does not depend on it.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..))]
    threads: Option<u16>,
}

/// Does long work on so many threads, with progress on a terminal.
pub fn with_threads<T: Send>(threads: &Threads, work: impl FnOnce(&Bar) -> T + Send) -> Result<T, Failure> {
    let bar = Bar::new();
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(usize::from(threads.threads.unwrap_or(0)))
        .build()
        .map_err(|error| Failure::Unfinished(format!("cannot start threads: {error}")))?;
    let done = pool.install(|| work(&bar));
    bar.finish();
    Ok(done)
}

/// What is left to say after a result in which the runs of so many strategies failed.
pub fn none_failed(strategies: usize) -> Done {
    match strategies {
        0 => Ok(()),
        1 => Err(Failure::Unfinished(
            "runs of one strategy failed; the reasons are in the result".to_owned(),
        )),
        count => Err(Failure::Unfinished(format!(
            "runs of {count} strategies failed; the reasons are in the result"
        ))),
    }
}

/// A name that stands twice among things to be told apart.
pub fn twice<'n>(names: &[&'n str]) -> Option<&'n str> {
    let earlier = |position: usize| &names[..position];
    let again = names
        .iter()
        .enumerate()
        .find(|(position, name)| earlier(*position).contains(name));
    again.map(|(_, name)| *name)
}

/// What a scenario lacks for a strategy to apply, if anything; a name in its file that the scenario does not have is a mistake.
fn missing(strategy: &StrategyFile, scenario: &Scenario) -> Result<Option<String>, Failure> {
    match binds(scenario, strategy.recipe.as_ref()) {
        Ok(()) => Ok(None),
        Err(BindError::DoesNotApply { missing }) => Ok(Some(missing)),
        Err(BindError::Unknown { what, name, known }) => {
            Err(strategy.misnamed(what, &name, &known, &scenario.name).into())
        }
    }
}

/// A strategy that cannot control a scenario: a name in its file, or what the scenario lacks and which built-in ones can.
pub fn bound(strategy: &StrategyFile, scenario: &Scenario) -> Result<(), Failure> {
    match missing(strategy, scenario)? {
        None => Ok(()),
        Some(missing) => Err(does_not_apply(&strategy.name, scenario, &missing)),
    }
}

/// Strategies by name or file, each of which applies to every scenario.
pub fn all_bound(names: &[String], scenarios: &[&Scenario]) -> Result<Vec<Named>, Failure> {
    let each = names.iter().map(|name| {
        let file = tepid_scenarios::strategy(name)?;
        for scenario in scenarios {
            bound(&file, scenario)?;
        }
        Ok((file.name, file.recipe))
    });
    each.collect()
}

/// A strategy and what it is called in results.
pub type Named = (String, Box<dyn StrategyRecipe>);

/// Strategies by name or file that name nothing a scenario lacks. Some may not apply to some scenarios, as long as one does to one.
pub fn strategies(names: &[String], scenarios: &[&Scenario]) -> Result<Vec<Named>, Failure> {
    let mut strategies = Vec::new();
    let mut applies = false;
    let mut why_not = None;
    for name in names {
        let file = tepid_scenarios::strategy(name)?;
        for scenario in scenarios {
            match missing(&file, scenario)? {
                None => applies = true,
                Some(missing) => {
                    why_not.get_or_insert_with(|| does_not_apply(&file.name, scenario, &missing));
                }
            }
        }
        strategies.push((file.name, file.recipe));
    }
    match why_not {
        Some(failure) if !applies => Err(failure),
        _ => Ok(strategies),
    }
}

/// What a scenario lacks, and which built-in strategies can control it.
fn does_not_apply(strategy: &str, scenario: &Scenario, missing: &str) -> Failure {
    let apply = registry().iter().map(|entry| entry.name).filter(|name| {
        tepid_scenarios::strategy(name)
            .is_ok_and(|strategy| binds(scenario, strategy.recipe.as_ref()).is_ok())
    });
    Failure::BadInput(format!(
        "--strategy {strategy} does not apply to {}: {missing}; there apply: {}",
        scenario.name,
        apply.collect::<Vec<_>>().join(", ")
    ))
}

/// The quantity that an option states.
pub fn quantity(option: &str, kind: Kind, text: &str) -> Result<f64, Failure> {
    parse(kind, text).map_err(|error| {
        Failure::BadInput(format!(
            "{option} {text}: {error}; expected {} such as \"{}\"",
            kind.words(),
            kind.example()
        ))
    })
}

/// A record as JSON.
pub fn json(record: &impl serde::Serialize) -> Result<String, Failure> {
    tepid_output::json::json(record).map_err(|error| Failure::Unfinished(error.to_string()))
}

/// What is written never takes the place of a file that it is made from, near or behind others.
pub fn apart<'a>(written: Option<&Path>, read: impl IntoIterator<Item = &'a Path>) -> Done {
    let Some(written) = written else {
        return Ok(());
    };
    // A file that is not there yet is none of those that are read.
    let Ok(place) = written.canonicalize() else {
        return Ok(());
    };
    match read.into_iter().any(|path| files_behind(path).contains(&place)) {
        true => Err(Failure::BadInput(format!(
            "{} is read by this command and would be written over; expected another name",
            written.display()
        ))),
        false => Ok(()),
    }
}

/// How a plot is written.
#[derive(Debug, Clone, Copy)]
pub enum PlotKind {
    /// An SVG document.
    Svg,
    /// A PNG picture.
    Png,
}

impl PlotKind {
    /// By the ending of the file's name that an option gives.
    pub fn of(option: &str, path: &Path) -> Result<Self, Failure> {
        match path
            .extension()
            .and_then(|ending| ending.to_str())
            .map(str::to_ascii_lowercase)
            .as_deref()
        {
            Some("svg") => Ok(Self::Svg),
            Some("png") => Ok(Self::Png),
            _ => Err(Failure::BadInput(format!(
                "{option} {}: the name must end in .svg or .png",
                path.display()
            ))),
        }
    }
}
