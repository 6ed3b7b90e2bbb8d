//! `[[vary]]`: fields that take several values: a list, evenly spaced ones, or one drawn for each replicate.

use super::drawn::{self, Drawn};
use super::strategy::StudyStrategy;
use super::written::Written;
use super::{Known, list};
use crate::fields::study::VARY;
use crate::nearest::nearest;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;
use crate::source::Place;

/// A field that takes several values.
#[derive(Debug, Clone)]
pub struct Vary {
    /// What it is a field of.
    pub of: VaryOf,
    /// Its path, without a leading `strategy.`.
    pub path: String,
    /// Which values.
    pub takes: Takes,
    /// Where the path stands, without `strategy.`.
    pub(super) path_place: Place,
}

/// What a varied field belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VaryOf {
    /// The scenarios.
    Scenario,
    /// The strategies that have such a parameter.
    Strategy,
}

/// The values that a varied field takes.
#[derive(Debug, Clone)]
pub enum Takes {
    /// Each of these, a variant of its own.
    Each(Vec<VaryValue>),
    /// One drawn for each replicate.
    Drawn(Drawn),
}

/// One value, and where it stands.
#[derive(Debug, Clone)]
pub struct VaryValue {
    /// As a file would write it, without quotes.
    pub text: String,
    pub(super) node: Node,
}

impl VaryValue {
    fn of(node: &Node) -> Self {
        let text = match &node.value {
            Value::Text { text, .. } => text.clone(),
            Value::Float(Some(number)) => number.to_string(),
            _ => node.place.text().to_owned(),
        };
        Self {
            text,
            node: node.clone(),
        }
    }
}

/// A value put in at a varied path.
#[derive(Debug, Clone)]
pub struct Put<'a> {
    pub(super) vary: &'a Vary,
    pub(super) node: Node,
    /// As a file would write it, without quotes.
    pub text: String,
}

impl Vary {
    /// One of its listed values; `None`: there is none at that place, or its values are drawn.
    #[must_use]
    pub fn listed(&self, position: usize) -> Option<Put<'_>> {
        let Takes::Each(values) = &self.takes else {
            return None;
        };
        let value = values.get(position)?;
        Some(Put {
            vary: self,
            node: value.node.clone(),
            text: value.text.clone(),
        })
    }

    /// A drawn value, in the unit of its distribution; `None`: its values are listed.
    #[must_use]
    pub fn drawn(&self, number: f64) -> Option<Put<'_>> {
        let Takes::Drawn(drawn) = &self.takes else {
            return None;
        };
        let node = drawn.node(number);
        Some(Put {
            vary: self,
            text: VaryValue::of(&node).text,
            node,
        })
    }

    /// How many variants it makes.
    #[must_use]
    pub fn variants(&self) -> usize {
        match &self.takes {
            Takes::Each(values) => values.len(),
            Takes::Drawn(_) => 1,
        }
    }
}

impl Put<'_> {
    /// "heater.left.power = 150 W", "deadband = 0.4 K".
    #[must_use]
    pub fn label(&self) -> String {
        format!("{} = {}", self.vary.path, self.text)
    }
}

pub(super) fn vary(table: &Table, known: &Known<'_>) -> Result<Vary, Reported> {
    let reader = Reader::open(table, &VARY, known.problems);
    let path = reader.text("path");
    let takes = takes(&reader, known);
    let (path, (takes, tried)) = (path?, takes?);
    let place_from = |start: usize| {
        reader
            .node("path")
            .map_or_else(|| reader.place().clone(), |node| node.part(start..path.len()))
    };
    let vary = match path.strip_prefix("strategy.") {
        Some(parameter) => Vary {
            of: VaryOf::Strategy,
            path: parameter.to_owned(),
            takes,
            path_place: place_from(path.len() - parameter.len()),
        },
        None => Vary {
            of: VaryOf::Scenario,
            path_place: place_from(0),
            path,
            takes,
        },
    };
    each_once(&vary, &reader)?;
    check(&vary, &tried, &reader, known).map(|()| vary)
}

/// Two variants of one value could not be told apart.
fn each_once(vary: &Vary, reader: &Reader<'_>) -> Result<(), Reported> {
    let Takes::Each(values) = &vary.takes else {
        return Ok(());
    };
    let again = values.iter().enumerate().find(|(position, value)| {
        values[..*position]
            .iter()
            .any(|earlier| earlier.text == value.text)
    });
    match again {
        None => Ok(()),
        Some((_, value)) => {
            let message = format!("`{}` stands twice among the values", value.text);
            let problem = Problem::new("duplicate-value", &value.node.place, message)
                .label("a second time")
                .expected("each value once");
            Err(reader.report(problem))
        }
    }
}

/// Two tables of one path: the second would win.
pub(super) fn each_path_once(all: &[Vary], problems: &Problems) -> Result<(), Reported> {
    let again = all.iter().enumerate().find(|(position, vary)| {
        all[..*position]
            .iter()
            .any(|earlier| earlier.of == vary.of && earlier.path == vary.path)
    });
    match again {
        None => Ok(()),
        Some((_, vary)) => {
            let message = format!("`{}` varies twice", vary.path);
            let problem = Problem::new("duplicate-path", &vary.path_place, message)
                .label("a second time")
                .expected("one [[vary]] for each field");
            Err(problems.add(problem))
        }
    }
}

/// The values, and those that are tried now: a draw's likely extremes stand for all of them.
fn takes(reader: &Reader<'_>, known: &Known<'_>) -> Result<(Takes, Vec<Node>), Reported> {
    let ways = [
        reader.given("values"),
        ["from", "to", "steps"].iter().any(|name| reader.given(name)),
        reader.given("distribution"),
    ];
    match ways {
        [true, false, false] => match list(reader, "values")? {
            Some(items) => Ok((
                Takes::Each(items.iter().map(VaryValue::of).collect()),
                items.to_vec(),
            )),
            None => Err(reader.missing("values")),
        },
        [false, true, false] => {
            let nodes = steps(reader)?;
            Ok((Takes::Each(nodes.iter().map(VaryValue::of).collect()), nodes))
        }
        [false, false, true] => {
            let (drawn, tried) = drawn::drawn(reader)?;
            Ok((Takes::Drawn(drawn), tried))
        }
        _ => {
            let problem = Problem::new(
                "vary-in-one-way",
                reader.place(),
                "which values does this field take?",
            )
            .label("said in no way, or in several")
            .expected("`values`, or `from`, `to` and `steps`, or `distribution` with its numbers")
            .fix("values = [\"0.2 K\", \"0.4 K\"]");
            Err(known.problems.add(problem))
        }
    }
}

/// Evenly spaced values, both ends included.
fn steps(reader: &Reader<'_>) -> Result<Vec<Node>, Reported> {
    let (from, to) = (Written::read(reader, "from"), Written::read(reader, "to"));
    let steps = reader
        .optional_whole("steps")?
        .ok_or_else(|| reader.missing("steps"));
    let (from, to, steps) = (from?, to?, steps?);
    to.in_unit_of(&from, reader)?;
    let last = steps - 1;
    Ok((0..steps)
        .map(|step| {
            let share = step as f64 / last as f64;
            let ends = if step == last { &to } else { &from };
            ends.with(from.number + (to.number - from.number) * share)
        })
        .collect())
}

/// Every value must be one that its field takes, in every scenario and in every strategy that has it.
fn check(vary: &Vary, tried: &[Node], reader: &Reader<'_>, known: &Known<'_>) -> Result<(), Reported> {
    if vary.of == VaryOf::Strategy
        && let Some(strategies) = known.strategies
    {
        has_parameter(vary, strategies, reader)?;
    }
    let mut result = Ok(());
    for node in tried {
        let put = [Put {
            vary,
            node: node.clone(),
            text: String::new(),
        }];
        let scenarios = known.scenarios.unwrap_or(&[]).iter();
        let strategies = known.strategies.unwrap_or(&[]).iter();
        let refused: Vec<(&str, Problems)> = match vary.of {
            VaryOf::Scenario => scenarios
                .filter_map(|of| {
                    Some((
                        of.scenario.name.as_str(),
                        refusal(|to| of.build(&put, to).map(|_| ()))?,
                    ))
                })
                .collect(),
            VaryOf::Strategy => strategies
                .filter(|of| of.has(&vary.path))
                .filter_map(|of| {
                    Some((
                        of.file.name.as_str(),
                        refusal(|to| of.build(&put, to).map(|_| ()))?,
                    ))
                })
                .collect(),
        };
        for (name, problems) in refused {
            result = Err(told(node, name, problems, known.problems));
        }
    }
    result
}

/// What stands in the way of building something; `None`: nothing.
fn refusal(build: impl FnOnce(&Problems) -> Result<(), Reported>) -> Option<Problems> {
    let problems = Problems::default();
    build(&problems).err().map(|_| problems)
}

/// Mistakes that a value makes, underlined in the value: it may be another line of another file that no longer fits.
fn told(node: &Node, name: &str, found: Problems, problems: &Problems) -> Reported {
    let mut reported = Reported;
    for problem in found.into_report().problems {
        reported = if problem.place.source == node.place.source {
            problems.add(problem)
        } else {
            let message = format!("with this value `{name}` does not stand: {}", problem.message);
            let elsewhere = Problem::new("vary-refused", &node.place, message).label("this value");
            problems.add(match problem.expected {
                Some(expected) => elsewhere.expected(expected),
                None => elsewhere,
            })
        };
    }
    reported
}

/// A parameter that no strategy of the study has would vary nothing.
fn has_parameter(vary: &Vary, strategies: &[StudyStrategy], reader: &Reader<'_>) -> Result<(), Reported> {
    let mut paths: Vec<String> = strategies.iter().flat_map(StudyStrategy::paths).collect();
    paths.sort_unstable();
    paths.dedup();
    let names: Vec<&str> = paths.iter().map(String::as_str).collect();
    if names.contains(&vary.path.as_str()) {
        return Ok(());
    }
    let problem = Problem::new(
        "path",
        &vary.path_place,
        format!("no strategy of this study has a parameter `{}`", vary.path),
    )
    .label("no such parameter")
    .found(vary.path.clone())
    .expected(format!("one of {}", names.join(", ")))
    .nearest(nearest(&vary.path, names.iter().copied()));
    Err(reader.report(problem))
}
