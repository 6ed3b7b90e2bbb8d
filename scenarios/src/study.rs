//! Study files: scenarios × strategies × fault sets × replicates, what varies, what must hold.

mod gate;
mod known_faults;
mod vary;

use known_faults::{KnownFaults, known_fault};

pub(crate) use known_faults::unknown_fault_set;

use std::path::{Path as FilePath, PathBuf};

use tepid_sim::scenario::Scenario;

use crate::fields::study::STUDY;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::read::{self, Titles};
use crate::reader::Reader;
use crate::source::Place;
use crate::strategy_file::{self, StrategyFile};
use crate::text_file;
use crate::variant::{self, Around, Tree, looks_like_path};

pub use gate::Gate;
pub use vary::{Vary, VaryOf};

/// A study, checked.
#[derive(Debug)]
pub struct Study {
    /// Short name: the file's.
    pub name: String,
    /// One line for people.
    pub title: String,
    /// Scenarios, at least one, names unique.
    pub scenarios: Vec<StudyScenario>,
    /// Strategies, names unique; empty: all that apply.
    pub strategies: Vec<StrategyFile>,
    /// Names of fault sets; each is known to at least one scenario.
    pub faults: Vec<String>,
    /// Replicates, at least 1.
    pub replicates: u64,
    /// Seed.
    pub seed: u64,
    /// What varies.
    pub vary: Vec<Vary>,
    /// What must hold.
    pub gates: Vec<Gate>,
}

impl Study {
    /// Its parts that are checked but that no study carries out yet: `vary`, `gate`.
    #[must_use]
    pub fn not_carried_out(&self) -> Vec<&'static str> {
        let parts = [("vary", self.vary.is_empty()), ("gate", self.gates.is_empty())];
        let there = parts.into_iter().filter(|(_, is_empty)| !is_empty);
        there.map(|(name, _)| name).collect()
    }
}

/// A scenario of a study, and what is needed to build it again with other values.
#[derive(Debug)]
pub struct StudyScenario {
    /// The scenario.
    pub scenario: Scenario,
    tree: Tree,
}

impl StudyScenario {
    /// The scenario with values put in by path, written as in a file (without quotes).
    ///
    /// # Errors
    /// [`crate::Report`], underlined in the values.
    pub fn with(&self, settings: &[crate::Setting]) -> Result<Scenario, crate::Report> {
        crate::load::with_settings(&self.tree, settings)
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
    let strategies = strategies(&reader, folder, problems);
    let (replicates, seed) = (reader.whole("replicates"), reader.whole("seed"));
    let known_scenarios = scenarios.as_deref().ok();
    let faults = faults(&reader, &known_faults);
    let (vary_tables, vary_whole) = reader.tables("vary");
    let (gate_tables, gate_whole) = reader.tables("gate");
    let around = Known {
        scenarios: known_scenarios,
        strategies: strategies.as_deref().ok(),
        faults: faults.as_deref().ok(),
        known_faults: &known_faults,
        problems,
    };
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
    Ok(Study {
        name: name.to_owned(),
        title: title?.unwrap_or_else(|| name.to_owned()),
        scenarios: scenarios?,
        strategies: strategies?,
        faults: faults?,
        replicates: replicates?,
        seed: seed?,
        vary: vary.into_iter().collect::<Result<_, _>>()?,
        gates: gates.into_iter().collect::<Result<_, _>>()?,
    })
}

/// What the rest of a study refers to, where it could be read.
struct Known<'a> {
    scenarios: Option<&'a [StudyScenario]>,
    strategies: Option<&'a [StrategyFile]>,
    faults: Option<&'a [String]>,
    known_faults: &'a KnownFaults,
    problems: &'a Problems,
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
    folder: &FilePath,
    problems: &Problems,
) -> Result<Vec<StrategyFile>, Reported> {
    let Some(items) = list(reader, "strategies")? else {
        return Ok(Vec::new());
    };
    let read: Vec<_> = items
        .iter()
        .map(|item| {
            let file = match &item.value {
                Value::Table(table) => strategy_file::read(table, None, problems)?,
                Value::Text { text, .. } => named_strategy(text, &item.place, folder, problems)?,
                _ => return Err(reader.wrong("strategies", item)),
            };
            Ok((file, item))
        })
        .collect();
    let read: Vec<(StrategyFile, &Node)> = read.into_iter().collect::<Result<_, _>>()?;
    for (position, (file, item)) in read.iter().enumerate() {
        if read[..position]
            .iter()
            .any(|(earlier, _)| earlier.name == file.name)
        {
            return Err(named_twice(reader, "strategies", &file.name, &item.place));
        }
    }
    Ok(read.into_iter().map(|(file, _)| file).collect())
}

fn named_strategy(
    name: &str,
    place: &Place,
    folder: &FilePath,
    problems: &Problems,
) -> Result<StrategyFile, Reported> {
    if let Some(made) = strategy_file::built_in(name) {
        return made.map_err(|error| problems.add(Problem::new("parameter", place, error.to_string())));
    }
    if !looks_like_path(name) {
        return Err(problems.add(strategy_file::unknown_strategy(name, place)));
    }
    let path: PathBuf = folder.join(name);
    let source = text_file::read(&path).map_err(|error| {
        let problem = Problem::new("unreadable", place, format!("`{name}`: {error}"))
            .label("cannot be read")
            .expected("the path of a strategy file, or a name of a strategy");
        problems.add(problem)
    })?;
    strategy_file::of_source(&source, problems)
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
