//! `[[life]]`, and `life` of a fault.

use tepid_sim::scenario::Life;
use tepid_sim::time::Millis;

use super::equipment::collect;
use crate::fields::life::PART_LIFE;
use crate::lives::counts_closings;
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;
use crate::source::Place;

/// One `[[life]]` as it stands in a file, before it is known which parts there are.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub kind: &'static str,
    pub place: Place,
    /// The one part it is of, and where that stands.
    pub part: Option<(String, Place)>,
    pub lasting: Lasting,
    pub welds_frac: f64,
    pub tested_every_ms: Option<Millis>,
    pub test_finds_frac: f64,
    pub replaced_after_ms: Millis,
    pub source: String,
}

/// A life in numbers, and whether it is counted in closings.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lasting {
    pub life: Life,
    pub in_closings: bool,
    pub age: f64,
}

/// Share of worn contacts that weld where none is stated. No source was found: a parameter to vary.
const WELDS_FRAC: f64 = 0.5;

pub(crate) fn rows(tables: &[&Table], problems: &Problems) -> Result<Vec<Row>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &PART_LIFE, problems);
        let kind = reader.choice("of");
        let part = reader.optional_text("part");
        let lasting = lasting(&reader);
        let welds = reader.optional_quantity("welds");
        let (every, finds) = (
            reader.optional_millis("tested_every"),
            reader.quantity("test_finds"),
        );
        let replaced_after = reader.millis("replaced_after");
        let source = reader.optional_text("from");
        let kind = kind?;
        let fails_in_two_ways =
            counts_closings(kind) || matches!(kind, "breaker" | "residual-current" | "box");
        if !fails_in_two_ways {
            reader.only(&["welds"], &[], kind)?;
        }
        if matches!(kind, "mains" | "alerts") {
            reader.only(&["part"], &[], kind)?;
        }
        let lasting = lasting?;
        if lasting.in_closings && !counts_closings(kind) {
            let problem = Problem::new(
                "no-closings",
                reader.place_of("closings"),
                format!("the life of `{kind}` is not counted in closings"),
            )
            .label("only contacts close")
            .expected("`per_year` or `years`");
            return Err(reader.report(problem));
        }
        Ok(Row {
            kind,
            place: reader.place_of("of").clone(),
            part: part?.map(|part| (part, reader.place_of("part").clone())),
            lasting,
            welds_frac: welds?.unwrap_or(WELDS_FRAC),
            tested_every_ms: every?,
            test_finds_frac: finds?,
            replaced_after_ms: replaced_after?,
            source: source?.unwrap_or_else(|| "stated in the scenario".to_owned()),
        })
    })
}

/// The numbers of a life.
pub(crate) fn lasting(reader: &Reader<'_>) -> Result<Lasting, Reported> {
    let (per_year, years, closings) = (
        reader.optional_number("per_year"),
        reader.optional_number("years"),
        reader.optional_number("closings"),
    );
    let (shape, age) = (reader.optional_number("shape"), reader.optional_number("age"));
    let (characteristic, in_closings) = match (per_year?, years?, closings?) {
        (Some(per_year), None, None) => {
            reader.only(&["shape", "age"], &[], "per_year")?;
            (1.0 / per_year, false)
        }
        (None, Some(years), None) => (years, false),
        (None, None, Some(closings)) => (closings, true),
        _ => {
            let problem = Problem::new(
                "life-in-one-way",
                reader.place(),
                "a life is given by exactly one of `per_year`, `years`, `closings`",
            )
            .label("one of them")
            .expected("failures a year by chance, or a characteristic life with its `shape`")
            .fix("per_year = 0.05");
            return Err(reader.report(problem));
        }
    };
    Ok(Lasting {
        life: Life {
            characteristic,
            shape: shape?.unwrap_or(1.0),
        },
        in_closings,
        age: age?.unwrap_or(0.0),
    })
}
