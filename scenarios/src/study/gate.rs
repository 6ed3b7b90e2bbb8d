//! `[[gate]]`: bounds on scores.

use tepid_sim::quantity::{Kind, parse};

use super::Known;
use super::known_faults::known_fault;
use crate::fault_sets::NONE;
use crate::fields::score::{ScoreName, known_score, never_a_value};
use crate::fields::study::GATE;
use crate::mistakes::quantity_problem;
use crate::nearest::nearest;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Reported};
use crate::reader::Reader;

/// A bound on a score. Values are in the published unit of the score.
#[derive(Debug, Clone, PartialEq)]
pub struct Gate {
    /// The score.
    pub score: ScoreName,
    /// The fault set it holds under; `None`: every one of the study.
    pub under: Option<String>,
    /// The scenario it holds in, as the study names it; `None`: every one.
    pub scenario: Option<String>,
    /// The strategy it holds for, as the study names it; `None`: every one.
    pub strategy: Option<String>,
    /// Which figure of the runs it judges.
    pub of: GateFigure,
    /// Largest value that holds.
    pub at_most: Option<f64>,
    /// Smallest value that holds.
    pub at_least: Option<f64>,
    /// How much worse than a kept baseline it may be.
    pub no_worse_than_baseline: Option<Tolerance>,
}

/// Which figure of a group of runs a gate judges.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GateFigure {
    /// The worst run.
    WorstRun,
    /// The mean of the runs.
    Mean,
    /// The 95 % quantile on the worse side.
    WorstTwentieth,
}

/// How much worse than a baseline still holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// By this share of the baseline's value, 0.05 = 5 %.
    Share(f64),
    /// By this much.
    By(f64),
}

pub(super) fn gate(table: &Table, known: &Known<'_>) -> Result<Gate, Reported> {
    let reader = Reader::open(table, &GATE, known.problems);
    let score = known_score(&reader, "score");
    let under = reader.optional_text("under");
    let scenario = one_of(&reader, "scenario", known.scenario_names());
    let strategy = one_of(&reader, "strategy", known.strategy_names());
    let of = reader.choice("of");
    let known_score = score.as_ref().ok();
    let (at_most, at_least) = (
        bound(&reader, "at_most", known_score),
        bound(&reader, "at_least", known_score),
    );
    let baseline = tolerance(&reader, known_score);
    let under = under?;
    if let Some(under) = &under {
        known_fault(&reader, under, reader.place_of("under"), known.known_faults)?;
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
    let (score, at_most, at_least, baseline) = (score?, at_most?, at_least?, baseline?);
    if let (false, Some(under)) = (
        score.under_faults,
        under.as_deref().filter(|under| *under != NONE),
    ) {
        let problem = Problem::new(
            "no-score-under-faults",
            reader.place_of("under"),
            format!("`{}` has no value under `{under}`", score.name),
        )
        .label("would never be judged")
        .expected("under = \"none\": runs under a fault end at times of their own, so what adds up over them cannot be compared");
        return Err(reader.report(problem));
    }
    if known.faults.is_some_and(|faults| !score.has_value_among(faults)) {
        return Err(reader.report(never_a_value(&score, reader.place_of("score"))));
    }
    if let (Some(most), Some(least)) = (at_most, at_least)
        && least > most
    {
        let problem = Problem::new(
            "no-value-holds",
            reader.place_of("at_least"),
            "no value is at most `at_most` and at least `at_least`",
        )
        .label("above `at_most`")
        .expected("a smaller one, or two gates");
        return Err(reader.report(problem));
    }
    if at_most.is_none() && at_least.is_none() && baseline.is_none() {
        let problem = Problem::new("no-bound", reader.place(), "this gate has no bound")
            .label("always holds")
            .expected("`at_most`, `at_least` or `no_worse_than_baseline`")
            .fix("at_most = \"50 %\"");
        return Err(reader.report(problem));
    }
    Ok(Gate {
        score,
        under,
        scenario: scenario?,
        strategy: strategy?,
        of: match of? {
            "mean" => GateFigure::Mean,
            "worst twentieth" => GateFigure::WorstTwentieth,
            _ => GateFigure::WorstRun,
        },
        at_most,
        at_least,
        no_worse_than_baseline: baseline,
    })
}

/// A name that must be one of the study's own.
fn one_of(
    reader: &Reader<'_>,
    field: &'static str,
    names: Option<Vec<&str>>,
) -> Result<Option<String>, Reported> {
    let given = reader.optional_text(field)?;
    match (&given, names) {
        (Some(name), Some(names)) if !names.contains(&name.as_str()) => {
            let problem = Problem::new(
                "unknown-name",
                reader.place_of(field),
                format!("this study has no {field} `{name}`"),
            )
            .label("would never be judged")
            .found(name.clone())
            .expected(format!("one of {}", names.join(", ")))
            .nearest(nearest(name, names.iter().copied()));
            Err(reader.report(problem))
        }
        _ => Ok(given),
    }
}

/// A bound in the kind of the gate's score; counts may be bare numbers.
pub(super) fn bound(
    reader: &Reader<'_>,
    name: &'static str,
    score: Option<&ScoreName>,
) -> Result<Option<f64>, Reported> {
    shown(reader, name, score, |score| score.kind)
}

/// A width in the kind of a difference of the score's values.
pub(super) fn width(
    reader: &Reader<'_>,
    name: &'static str,
    score: Option<&ScoreName>,
) -> Result<Option<f64>, Reported> {
    let width = shown(reader, name, score, ScoreName::kind_of_difference)?;
    if width.is_some_and(|width| width <= 0.0) {
        let message = format!("`{name}` must be above zero");
        let problem = Problem::new("out-of-range", reader.place_of(name), message)
            .label("no width")
            .expected("more than zero");
        return Err(reader.report(problem));
    }
    Ok(width)
}

/// A value of a kind that follows from the score, as results show it; `None`: not given, or the score is not known.
fn shown(
    reader: &Reader<'_>,
    name: &'static str,
    score: Option<&ScoreName>,
    kind: impl Fn(&ScoreName) -> Kind,
) -> Result<Option<f64>, Reported> {
    match (reader.node(name), score) {
        (Some(node), Some(score)) => {
            value(reader, name, node, kind(score)).map(|inside| Some(score.shown(inside)))
        }
        _ => Ok(None),
    }
}

/// A share of the baseline, or a difference in the score's own kind. A share of a temperature would depend on where its scale begins.
fn tolerance(reader: &Reader<'_>, score: Option<&ScoreName>) -> Result<Option<Tolerance>, Reported> {
    let name = "no_worse_than_baseline";
    let (Some(node), Some(score)) = (reader.node(name), score) else {
        return Ok(None);
    };
    let kind = score.kind_of_difference();
    let as_share = match &node.value {
        Value::Text { text, .. } if text.trim_end().ends_with('%') => parse(Kind::Share, text).ok(),
        _ => None,
    };
    let tolerance = match as_share {
        Some(_) if score.kind == Kind::Temperature => {
            let problem = Problem::new(
                "share-of-a-temperature",
                &node.place,
                format!("`{}` has no zero that a share could be of", score.name),
            )
            .label("a share")
            .expected("a temperature difference such as \"0.2 K\"")
            .fix(format!("{name} = \"0.2 K\""));
            return Err(reader.report(problem));
        }
        Some(share) => Tolerance::Share(share),
        None => Tolerance::By(score.shown(value(reader, name, node, kind)?)),
    };
    let (Tolerance::Share(size) | Tolerance::By(size)) = tolerance;
    if size < 0.0 {
        let problem = Problem::new("out-of-range", &node.place, format!("`{name}` is below zero"))
            .label("below zero")
            .expected("zero or more");
        return Err(reader.report(problem));
    }
    Ok(Some(tolerance))
}

/// A value of a kind, inside; counts may be bare numbers.
fn value(reader: &Reader<'_>, name: &'static str, node: &Node, kind: Kind) -> Result<f64, Reported> {
    let example = format!("{} such as \"{}\"", kind.words(), kind.example());
    match &node.value {
        Value::Text { text, .. } => parse(kind, text).map_err(|error| {
            let Some(field) = reader.field(name) else {
                return Reported;
            };
            reader.report(quantity_problem(field, node, &error).expected(example.clone()))
        }),
        Value::Integer(Some(number)) if kind == Kind::Number => Ok(*number as f64),
        Value::Float(Some(number)) if kind == Kind::Number && number.is_finite() => Ok(*number),
        _ => {
            let problem = Problem::new(
                "wrong-value",
                &node.place,
                format!("`{name}` cannot be {}", node.what()),
            )
            .label(node.what())
            .expected(example)
            .fix(format!("{name} = \"{}\"", kind.example()));
            Err(reader.report(problem))
        }
    }
}
