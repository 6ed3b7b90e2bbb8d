//! Study files: scenarios × strategies × fault sets × replicates, what varies, what must hold.

use std::path::{Path as FilePath, PathBuf};

use tepid_sim::quantity::{Kind, parse};
use tepid_sim::scenario::Scenario;

use crate::fault_sets::fault_set;
use crate::fields::score::{SCORES, ScoreName, score_named};
use crate::fields::study::{GATE, STUDY, VARY};
use crate::fields::{FieldKind, strategy as strategy_fields};
use crate::nearest::nearest;
use crate::node::{Node, Table, Value};
use crate::path::Path;
use crate::problem::{Problem, Problems, Reported};
use crate::read::{self, Titles};
use crate::reader::{Reader, quantity_problem, shortened};
use crate::source::Place;
use crate::strategy_file::{self, StrategyFile};
use crate::text_file;
use crate::variant::{self, Around, Tree, looks_like_path};

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

/// A field that takes several values.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Vary {
    /// What it is a field of.
    pub of: VaryOf,
    /// Its path, without a leading `strategy.`.
    pub path: String,
    /// Its values, as a file would write them (without quotes).
    pub values: Vec<String>,
}

/// What a varied field belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VaryOf {
    /// The scenarios.
    Scenario,
    /// The strategies that have such a parameter.
    Strategy,
}

/// A bound on a score.
#[derive(Debug, Clone, PartialEq)]
pub struct Gate {
    /// The score.
    pub score: ScoreName,
    /// The fault set it holds under; `None`: every one of the study.
    pub under: Option<String>,
    /// Largest value that holds, in the inside unit of the score's kind.
    pub at_most: Option<f64>,
    /// Smallest value that holds, likewise.
    pub at_least: Option<f64>,
    /// How much worse than a kept baseline it may be, as a fraction.
    pub no_worse_than_baseline_frac: Option<f64>,
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
    let scenarios = scenarios(&reader, folder, problems);
    let strategies = strategies(&reader, folder, problems);
    let (replicates, seed) = (reader.whole("replicates"), reader.whole("seed"));
    let known_scenarios = scenarios.as_deref().ok();
    let faults = faults(&reader, known_scenarios);
    let (vary_tables, vary_whole) = reader.tables("vary");
    let (gate_tables, gate_whole) = reader.tables("gate");
    let around = Known {
        scenarios: known_scenarios,
        strategies: strategies.as_deref().ok(),
        faults: faults.as_deref().ok(),
        problems,
    };
    let vary: Vec<_> = vary_tables.iter().map(|table| vary(table, &around)).collect();
    let gates: Vec<_> = gate_tables.iter().map(|table| gate(table, &around)).collect();
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
    problems: &'a Problems,
}

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
                Value::Text { text, .. } => variant::named(text, &item.place, around, problems)?,
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
                    )?
                }
                _ => return Err(reader.wrong("scenarios", item)),
            };
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
            return Err(named_twice(reader, "scenario", name, &item.place));
        }
    }
    Ok(read.into_iter().map(|(scenario, _)| scenario).collect())
}

fn named_twice(reader: &Reader<'_>, what: &str, name: &str, place: &Place) -> Reported {
    let message = format!("two {what}s of this study are named `{name}`");
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
            return Err(named_twice(reader, "strategy", &file.name, &item.place));
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
    let root = variant::parse_document(&source, problems)?;
    strategy_file::read(&root, Some(&variant::short_name(name)), problems)
}

fn faults(reader: &Reader<'_>, scenarios: Option<&[StudyScenario]>) -> Result<Vec<String>, Reported> {
    let Some(names) = reader.optional_texts("faults")? else {
        return Ok(USUAL_FAULTS.map(str::to_owned).to_vec());
    };
    let mut result = Ok(());
    for (name, node) in &names {
        if let Err(reported) = known_fault(reader, name, &node.place, scenarios) {
            result = Err(reported);
        }
    }
    result.map(|()| names.into_iter().map(|(name, _)| name).collect())
}

/// A fault set that at least one scenario knows.
fn known_fault(
    reader: &Reader<'_>,
    name: &str,
    place: &Place,
    scenarios: Option<&[StudyScenario]>,
) -> Result<(), Reported> {
    let Some(scenarios) = scenarios else { return Ok(()) };
    let asked: Vec<_> = scenarios
        .iter()
        .map(|scenario| fault_set(&scenario.scenario, name))
        .collect();
    if asked.iter().any(Result::is_ok) {
        return Ok(());
    }
    let Some(Err(error)) = asked.into_iter().next() else {
        return Ok(());
    };
    let problem = Problem::new(
        "unknown-fault-set",
        place,
        format!("no fault set is named `{name}`"),
    )
    .label("no such fault set")
    .found(name)
    .expected(format!("one of {}", error.known.join(", ")))
    .nearest(error.nearest.as_deref());
    Err(reader.report(problem))
}

fn vary(table: &Table, known: &Known<'_>) -> Result<Vary, Reported> {
    let reader = Reader::open(table, &VARY, known.problems);
    let path = reader.text("path");
    let Some(items) = list(&reader, "values")? else {
        return Err(reader.missing("values"));
    };
    let path = path?;
    let path_place = reader
        .node("path")
        .map_or_else(|| reader.place().clone(), |node| node.part(0..path.len()));
    if let Some(parameter) = path.strip_prefix("strategy.") {
        check_parameter(&reader, parameter, &path_place, items, known)?;
        return Ok(Vary {
            of: VaryOf::Strategy,
            path: parameter.to_owned(),
            values: written(items),
        });
    }
    let mut result = Ok(());
    for item in items {
        for scenario in known.scenarios.unwrap_or(&[]) {
            let mut root = scenario.tree.root.clone();
            let path = Path::read(&path_place, known.problems)?;
            let put = crate::path::put(
                &mut root,
                &crate::fields::scenario::SCENARIO,
                &path.parts,
                item.clone(),
                known.problems,
            );
            result = result.and(
                put.and_then(|()| read::scenario(&root, &scenario.tree.titles, known.problems).map(|_| ())),
            );
        }
    }
    result.map(|()| Vary {
        of: VaryOf::Scenario,
        path,
        values: written(items),
    })
}

fn written(items: &[Node]) -> Vec<String> {
    items
        .iter()
        .map(|item| match &item.value {
            Value::Text { text, .. } => text.clone(),
            _ => item.place.text().to_owned(),
        })
        .collect()
}

/// A parameter that at least one strategy has, and values that all of those accept.
fn check_parameter(
    reader: &Reader<'_>,
    parameter: &str,
    place: &Place,
    items: &[Node],
    known: &Known<'_>,
) -> Result<(), Reported> {
    let Some(strategies) = known.strategies else {
        return Ok(());
    };
    let entries: Vec<_> = tepid_strategies::registry()
        .iter()
        .filter(|entry| strategies.is_empty() || strategies.iter().any(|file| file.strategy == entry.name))
        .collect();
    let with_it: Vec<_> = entries
        .iter()
        .filter(|entry| entry.param(parameter).is_some())
        .collect();
    if with_it.is_empty() {
        let mut names: Vec<&str> = entries
            .iter()
            .flat_map(|entry| entry.params)
            .map(|param| param.name)
            .collect();
        names.sort_unstable();
        names.dedup();
        let problem = Problem::new(
            "path",
            place,
            format!("no strategy of this study has a parameter `{parameter}`"),
        )
        .label("no such parameter")
        .found(parameter)
        .expected(format!("one of {}", names.join(", ")))
        .nearest(nearest(parameter, names.iter().copied()));
        return Err(reader.report(problem));
    }
    let mut result = Ok(());
    for item in items {
        for entry in &with_it {
            let fields = strategy_fields::fields(entry);
            let entries = vec![crate::node::Entry {
                key: parameter.to_owned(),
                key_place: place.clone(),
                node: item.clone(),
            }];
            let one = Table {
                place: place.clone(),
                entries,
            };
            let reader = Reader::open_fields(&one, &fields, entry.name, known.problems);
            let field = fields
                .iter()
                .find(|field| field.name == parameter)
                .map(|field| field.kind);
            let read = match field {
                Some(FieldKind::Quantity(_)) => reader.quantity(parameter).map(|_| ()),
                Some(FieldKind::Choice(_)) => reader.choice(parameter).map(|_| ()),
                _ => Ok(()),
            };
            result = result.and(read);
        }
    }
    result
}

fn gate(table: &Table, known: &Known<'_>) -> Result<Gate, Reported> {
    let reader = Reader::open(table, &GATE, known.problems);
    let score = reader.text("score").and_then(|name| score_of(&reader, &name));
    let under = reader.optional_text("under");
    let baseline = reader.optional_quantity("no_worse_than_baseline");
    let kind = score.as_ref().ok().map(|score| score.kind);
    let (at_most, at_least) = (bound(&reader, "at_most", kind), bound(&reader, "at_least", kind));
    let under = under?;
    if let Some(under) = &under {
        known_fault(&reader, under, reader.place_of("under"), known.scenarios)?;
        if let Some(faults) = known.faults.filter(|faults| !faults.contains(under)) {
            let problem = Problem::new(
                "fault-not-run",
                reader.place_of("under"),
                format!("this study does not run `{under}`"),
            )
            .label("would never be judged")
            .expected(format!("one of its faults: {}", faults.join(", ")));
            return Err(reader.report(problem));
        }
    }
    let (at_most, at_least, baseline) = (at_most?, at_least?, baseline?);
    if at_most.is_none() && at_least.is_none() && baseline.is_none() {
        let problem = Problem::new("no-bound", reader.place(), "this gate has no bound")
            .label("always holds")
            .expected("`at_most`, `at_least` or `no_worse_than_baseline`")
            .fix("at_most = \"50 %\"");
        return Err(reader.report(problem));
    }
    Ok(Gate {
        score: score?,
        under,
        at_most,
        at_least,
        no_worse_than_baseline_frac: baseline,
    })
}

fn score_of(reader: &Reader<'_>, name: &str) -> Result<ScoreName, Reported> {
    score_named(name).copied().ok_or_else(|| {
        let known = SCORES.iter().map(|score| score.name);
        let problem = Problem::new(
            "unknown-score",
            reader.place_of("score"),
            format!("no score is named `{name}`"),
        )
        .label("no such score")
        .found(shortened(name))
        .expected(format!("one of {}", known.clone().collect::<Vec<_>>().join(", ")))
        .nearest(nearest(name, known));
        reader.report(problem)
    })
}

/// A bound in the kind of the gate's score; counts may be bare numbers.
fn bound(reader: &Reader<'_>, name: &'static str, kind: Option<Kind>) -> Result<Option<f64>, Reported> {
    let (Some(node), Some(kind)) = (reader.node(name), kind) else {
        return Ok(None);
    };
    let Some(field) = GATE.fields.iter().find(|field| field.name == name) else {
        return Ok(None);
    };
    match &node.value {
        Value::Text { text, .. } => parse(kind, text).map(Some).map_err(|error| {
            let problem = quantity_problem(field, node, &error);
            let example = format!("{} such as \"{}\"", kind.words(), kind.example());
            reader.report(problem.expected(example))
        }),
        Value::Integer(Some(number)) if kind == Kind::Number => Ok(Some(*number as f64)),
        Value::Float(Some(number)) if kind == Kind::Number && number.is_finite() => Ok(Some(*number)),
        _ => {
            let problem = Problem::new(
                "wrong-value",
                &node.place,
                format!("`{name}` cannot be {}", node.what()),
            )
            .label(node.what())
            .expected(format!("{} such as \"{}\"", kind.words(), kind.example()))
            .fix(format!("{name} = \"{}\"", kind.example()));
            Err(reader.report(problem))
        }
    }
}
