//! Study files: scenarios × strategies × fault sets × replicates, what varies, what must hold.

mod drawn;
mod enough;
mod gate;
mod known_faults;
mod strategy;
mod vary;
mod written;

use known_faults::{KnownFaults, known_fault};

pub(crate) use known_faults::unknown_fault_set;

use std::path::Path as FilePath;

use tepid_sim::scenario::Scenario;
use tepid_sim::time::Millis;

use crate::fields::study::STUDY;
use crate::nearest::nearest;
use crate::node::{Node, Table, Value};
use crate::path;
use crate::problem::{Problem, Problems, Report, Reported};
use crate::read::{self, Titles};
use crate::reader::Reader;
use crate::source::Place;
use crate::variant::{self, Around, Tree};

pub use drawn::Drawn;
pub use enough::Enough;
pub use gate::{Gate, GateFigure, Tolerance};
pub use strategy::StudyStrategy;
pub use vary::{Put, Takes, Vary, VaryOf, VaryValue};

/// A study, checked.
#[derive(Debug)]
pub struct Study {
    /// Short name: the file's.
    pub name: String,
    /// One line for people.
    pub title: String,
    /// Scenarios, at least one, names unique.
    pub scenarios: Vec<StudyScenario>,
    /// Strategies, at least one, names unique.
    pub strategies: Vec<StudyStrategy>,
    /// Names of fault sets; each is known to at least one scenario.
    pub faults: Vec<String>,
    /// Replicates, at least 1; with `enough`: the most.
    pub replicates: u64,
    /// Seed.
    pub seed: u64,
    /// Name of the strategy that the others are compared with: one of `strategies`.
    pub reference: String,
    /// Scored time in place of each scenario's own, ms.
    pub duration_ms: Option<Millis>,
    /// Temperatures, doses and alerts are judged from here on, ms.
    pub scored_from_ms: Millis,
    /// When no more replicates are needed; `None`: all are run.
    pub enough: Option<Enough>,
    /// What varies.
    pub vary: Vec<Vary>,
    /// What must hold.
    pub gates: Vec<Gate>,
}

/// A scenario of a study, and what is needed to build it again with other values.
#[derive(Debug)]
pub struct StudyScenario {
    /// The scenario.
    pub scenario: Scenario,
    tree: Tree,
}

impl StudyScenario {
    /// The scenario with values put in; those of strategies are left aside.
    ///
    /// # Errors
    /// [`Report`], underlined in the study.
    pub fn with(&self, puts: &[Put<'_>]) -> Result<Scenario, Report> {
        let problems = Problems::default();
        let built = self.build(puts, &problems);
        crate::load::finish(built, problems)
    }

    fn build(&self, puts: &[Put<'_>], problems: &Problems) -> Result<Scenario, Reported> {
        let mut root = self.tree.root.clone();
        for put in puts.iter().filter(|put| put.vary.of == VaryOf::Scenario) {
            let path = path::Path::read(&put.vary.path_place, problems)?;
            let section = &crate::fields::scenario::SCENARIO;
            path::put(&mut root, section, &path.parts, put.node.clone(), problems)?;
        }
        read::scenario(&root, &self.tree.titles, problems)
    }
}

/// Fault sets where a study names none.
const USUAL_FAULTS: [&str; 2] = [crate::fault_sets::NONE, "one contact welded"];

pub(crate) fn read(
    root: &Table,
    name: &str,
    folder: &FilePath,
    problems: &Problems,
) -> Result<Study, Reported> {
    let reader = Reader::open(root, &STUDY, problems);
    let title = reader.optional_text("title");
    let mut known_faults = KnownFaults::built_in();
    let scenarios = scenarios(&reader, folder, &mut known_faults, problems);
    let strategies = strategies(&reader, root, problems);
    let (replicates, seed) = (reader.whole("replicates"), reader.whole("seed"));
    let (duration_ms, scored_from_ms) = (reader.optional_millis("duration"), reader.millis("scored_from"));
    let faults = faults(&reader, &known_faults);
    let (vary_tables, vary_whole) = reader.tables("vary");
    let (gate_tables, gate_whole) = reader.tables("gate");
    let around = Known {
        scenarios: scenarios.as_deref().ok(),
        strategies: strategies.as_deref().ok(),
        faults: faults.as_deref().ok(),
        known_faults: &known_faults,
        problems,
    };
    let reference = reference(&reader, &around);
    let enough = enough::enough(&reader, around.faults, problems);
    let vary: Vec<_> = vary_tables
        .iter()
        .map(|table| vary::vary(table, &around))
        .collect();
    let gates: Vec<_> = gate_tables
        .iter()
        .map(|table| gate::gate(table, &around))
        .collect();
    vary_whole?;
    gate_whole?;
    let vary: Vec<Vary> = vary.into_iter().collect::<Result<_, _>>()?;
    vary::each_path_once(&vary, problems)?;
    let scored_from_ms = scored_within(&reader, &around, duration_ms, scored_from_ms);
    Ok(Study {
        name: name.to_owned(),
        title: title?.unwrap_or_else(|| name.to_owned()),
        duration_ms: duration_ms?,
        scored_from_ms: scored_from_ms?,
        reference: reference?,
        enough: enough?,
        faults: faults?,
        replicates: replicates?,
        seed: seed?,
        vary,
        gates: gates.into_iter().collect::<Result<_, _>>()?,
        scenarios: scenarios?,
        strategies: strategies?,
    })
}

/// The strategy that the others are compared with.
fn reference(reader: &Reader<'_>, known: &Known<'_>) -> Result<String, Reported> {
    let given = reader.optional_text("reference")?;
    let names = known.strategy_names().ok_or(Reported)?;
    match given {
        None => names.first().map(|name| (*name).to_owned()).ok_or(Reported),
        Some(name) if names.contains(&name.as_str()) => Ok(name),
        Some(name) => {
            let problem = Problem::new(
                "unknown-name",
                reader.place_of("reference"),
                format!("this study has no strategy `{name}`"),
            )
            .label("cannot be compared with")
            .found(name.clone())
            .expected(format!("one of {}", names.join(", ")))
            .nearest(nearest(&name, names.iter().copied()));
            Err(reader.report(problem))
        }
    }
}

/// What is scored must begin before the shortest run ends.
fn scored_within(
    reader: &Reader<'_>,
    known: &Known<'_>,
    duration_ms: Result<Option<Millis>, Reported>,
    scored_from_ms: Result<Millis, Reported>,
) -> Result<Millis, Reported> {
    let (duration_ms, scored_from_ms) = (duration_ms?, scored_from_ms?);
    let own = known.scenarios.unwrap_or(&[]).iter();
    let shortest_ms = duration_ms.or_else(|| own.map(|one| one.scenario.duration_ms).min());
    if shortest_ms.is_none_or(|end_ms| scored_from_ms < end_ms) {
        return Ok(scored_from_ms);
    }
    let problem = Problem::new(
        "scored-from",
        reader.place_of("scored_from"),
        "a run of this study ends before scoring begins",
    )
    .label("too late")
    .expected("a time before the end of the shortest run");
    Err(reader.report(problem))
}

/// What the rest of a study refers to, where it could be read.
struct Known<'a> {
    scenarios: Option<&'a [StudyScenario]>,
    strategies: Option<&'a [StudyStrategy]>,
    faults: Option<&'a [String]>,
    known_faults: &'a KnownFaults,
    problems: &'a Problems,
}

impl<'a> Known<'a> {
    fn scenario_names(&self) -> Option<Vec<&'a str>> {
        let names = self.scenarios?.iter().map(|one| one.scenario.name.as_str());
        Some(names.collect())
    }

    fn strategy_names(&self) -> Option<Vec<&'a str>> {
        let names = self.strategies?.iter().map(|one| one.file.name.as_str());
        Some(names.collect())
    }
}

/// The items of a list that must not be empty.
fn list<'a>(reader: &Reader<'a>, name: &str) -> Result<Option<&'a [Node]>, Reported> {
    let Some(node) = reader.node(name) else {
        return Ok(None);
    };
    match &node.value {
        Value::List(items) if !items.is_empty() => Ok(Some(items)),
        _ => Err(reader.wrong(name, node)),
    }
}

fn scenarios(
    reader: &Reader<'_>,
    folder: &FilePath,
    known_faults: &mut KnownFaults,
    problems: &Problems,
) -> Result<Vec<StudyScenario>, Reported> {
    let Some(items) = list(reader, "scenarios")? else {
        return Err(reader.missing("scenarios"));
    };
    let around = Around { folder, depth: 0 };
    let read: Vec<_> = items
        .iter()
        .map(|item| {
            let tree = match &item.value {
                Value::Text { text, .. } => variant::named(text, &item.place, around, problems),
                Value::Table(table) => {
                    let base = match table.get("base").map(|node| &node.value) {
                        Some(Value::Text { text, .. }) => variant::short_name(text),
                        _ => String::new(),
                    };
                    variant::variant(
                        table,
                        Titles {
                            name: base,
                            teaches: String::new(),
                        },
                        around,
                        problems,
                    )
                }
                _ => Err(reader.wrong("scenarios", item)),
            };
            known_faults.add(item, tree.as_ref().map_err(|reported| *reported));
            let tree = tree?;
            let scenario = read::scenario(&tree.root, &tree.titles, problems)?;
            Ok((StudyScenario { scenario, tree }, item))
        })
        .collect();
    let read: Vec<(StudyScenario, &Node)> = read.into_iter().collect::<Result<_, _>>()?;
    for (position, (scenario, item)) in read.iter().enumerate() {
        let name = &scenario.scenario.name;
        if read[..position]
            .iter()
            .any(|(earlier, _)| earlier.scenario.name == *name)
        {
            return Err(named_twice(reader, "scenarios", name, &item.place));
        }
    }
    Ok(read.into_iter().map(|(scenario, _)| scenario).collect())
}

fn named_twice(reader: &Reader<'_>, what: &str, name: &str, place: &Place) -> Reported {
    let message = format!("two {what} of this study are named `{name}`");
    let problem = Problem::new("duplicate-name", place, message)
        .label("a second time")
        .expected("a name of its own: name = \"…\" inside it");
    reader.report(problem)
}

fn strategies(
    reader: &Reader<'_>,
    root: &Table,
    problems: &Problems,
) -> Result<Vec<StudyStrategy>, Reported> {
    let Some(items) = list(reader, "strategies")? else {
        let registry = tepid_strategies::registry().iter();
        return registry
            .map(|entry| StudyStrategy::built_in(entry.name, &root.place, problems))
            .collect();
    };
    let read: Vec<_> = items
        .iter()
        .map(|item| {
            let strategy = match &item.value {
                Value::Table(table) => StudyStrategy::of_table(table.clone(), None, problems)?,
                Value::Text { text, .. } => StudyStrategy::named(text, &item.place, problems)?,
                _ => return Err(reader.wrong("strategies", item)),
            };
            Ok((strategy, item))
        })
        .collect();
    let read: Vec<(StudyStrategy, &Node)> = read.into_iter().collect::<Result<_, _>>()?;
    for (position, (strategy, item)) in read.iter().enumerate() {
        let name = &strategy.file.name;
        if read[..position]
            .iter()
            .any(|(earlier, _)| earlier.file.name == *name)
        {
            return Err(named_twice(reader, "strategies", name, &item.place));
        }
    }
    Ok(read.into_iter().map(|(strategy, _)| strategy).collect())
}

fn faults(reader: &Reader<'_>, known: &KnownFaults) -> Result<Vec<String>, Reported> {
    let Some(names) = reader.optional_texts("faults")? else {
        return Ok(USUAL_FAULTS.map(str::to_owned).to_vec());
    };
    let mut result = Ok(());
    for (position, (name, node)) in names.iter().enumerate() {
        if names[..position].iter().any(|(earlier, _)| earlier == name) {
            let message = format!("two fault sets of this study are named `{name}`");
            let problem = Problem::new("duplicate-name", &node.place, message)
                .label("a second time")
                .expected("each fault set once");
            result = Err(reader.report(problem));
            continue;
        }
        if let Err(reported) = known_fault(reader, name, &node.place, known) {
            result = Err(reported);
        }
    }
    result.map(|()| names.into_iter().map(|(name, _)| name).collect())
}
