//! `[[gate]]`: bounds on scores.

use tepid_sim::quantity::{Kind, parse};

use super::Known;
use super::known_faults::known_fault;
use crate::fields::score::{SCORES, ScoreName, score_named};
use crate::fields::study::GATE;
use crate::mistakes::{quantity_problem, shortened};
use crate::nearest::nearest;
use crate::node::{Table, Value};
use crate::problem::{Problem, Reported};
use crate::reader::Reader;

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

pub(super) fn gate(table: &Table, known: &Known<'_>) -> Result<Gate, Reported> {
    let reader = Reader::open(table, &GATE, known.problems);
    let score = reader.text("score").and_then(|name| score_of(&reader, &name));
    let under = reader.optional_text("under");
    let baseline = reader.optional_quantity("no_worse_than_baseline");
    let kind = score.as_ref().ok().map(|score| score.kind);
    let (at_most, at_least) = (bound(&reader, "at_most", kind), bound(&reader, "at_least", kind));
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
