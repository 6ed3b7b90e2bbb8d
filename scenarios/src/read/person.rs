//! `[[person]]`.

use tepid_sim::scenario::{DailyHours, Person, Response, ResponseTime};
use tepid_sim::time::{MINUTE, Millis};

use super::calendar::{self, StartDate};
use super::equipment::collect;
use super::{Assumptions, act};
use crate::fields::person::{AWAY, HOURS, PERSON, RESPONSE};
use crate::names::name_of;
use crate::node::{Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// How long somebody takes of whom nothing is said. An assumption, no source.
const USUAL_RESPONSE: ResponseTime = ResponseTime::Lognormal {
    median_ms: 10 * MINUTE,
    spread: 2.0,
};

/// People whom alerts reach.
#[derive(Debug)]
pub(super) struct Persons {
    pub list: Vec<Person>,
    /// The file has a [[person]]; else these are names alone.
    pub stated: bool,
}

/// The people of the file; where it has none, the names that its watches reach, at hand at any hour.
pub(super) fn read_all(
    tables: &[&Table],
    watch_tables: &[&Table],
    start_date: StartDate,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Persons, Reported> {
    if tables.is_empty() {
        return Ok(Persons {
            list: names_alone(watch_tables)
                .into_iter()
                .map(Person::at_hand)
                .collect(),
            stated: false,
        });
    }
    for table in tables.iter().filter(|table| table.get("response").is_none()) {
        let name = name_of(table).unwrap_or("?");
        assumptions.push(format!(
            "person {name}: a median response of 10 min with a spread of 2, no source"
        ));
    }
    let list = collect(tables, |table| {
        let reader = Reader::open(table, &PERSON, problems);
        let name = reader.text("name");
        let (at_home, quiet) = (
            hours(&reader, "at_home", problems),
            hours(&reader, "quiet", problems),
        );
        let away = away(&reader, start_date, problems);
        let responses = responses(&reader, problems);
        let can = reader.optional_choices("can");
        let (name, responses) = (name?, responses?);
        Ok(Person {
            name,
            at_home: at_home?,
            away: away?,
            quiet: quiet?,
            responses,
            can: can?.map(|words| words.into_iter().map(act::kind).collect()),
        })
    })?;
    Ok(Persons { list, stated: true })
}

/// Names that watches reach, each once; the keeper where one says nothing.
fn names_alone(watch_tables: &[&Table]) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut add = |name: &str| {
        if !found.iter().any(|known| known == name) {
            found.push(name.to_owned());
        }
    };
    for table in watch_tables {
        match table.get("reaches").map(|node| &node.value) {
            Some(Value::List(items)) => {
                for item in items {
                    if let Value::Text { text, .. } = &item.value {
                        add(text);
                    }
                }
            }
            _ => add("keeper"),
        }
    }
    found
}

fn hours(reader: &Reader<'_>, field: &str, problems: &Problems) -> Result<Option<DailyHours>, Reported> {
    let Some(table) = reader.optional_table(field)? else {
        return Ok(None);
    };
    let hours = Reader::open(table, &HOURS, problems);
    let (from, to) = (hours.time_of_day("from"), hours.time_of_day("to"));
    daily(&hours, from?, to?).map(Some)
}

pub(super) fn daily(reader: &Reader<'_>, on_ms: Millis, off_ms: Millis) -> Result<DailyHours, Reported> {
    if on_ms == off_ms {
        let problem = Problem::new(
            "hours-empty",
            reader.place_of("to"),
            "these hours begin and end at the same time",
        )
        .label("the same time")
        .expected("another time of day");
        return Err(reader.report(problem));
    }
    Ok(DailyHours { on_ms, off_ms })
}

fn away(
    reader: &Reader<'_>,
    start_date: StartDate,
    problems: &Problems,
) -> Result<Vec<(Millis, Millis)>, Reported> {
    let (tables, whole) = reader.table_or_tables("away");
    let read = collect(&tables, |table| {
        let reader = Reader::open(table, &AWAY, problems);
        let (from, to) = (
            calendar::moment(&reader, "from", start_date),
            calendar::moment(&reader, "to", start_date),
        );
        let (from, to) = (from?, to?);
        if to <= from {
            let problem = Problem::new(
                "out-of-range",
                reader.place_of("to"),
                "somebody is back before leaving",
            )
            .expected("a moment after `from`");
            return Err(reader.report(problem));
        }
        Ok((from, to))
    });
    whole?;
    read
}

fn responses(reader: &Reader<'_>, problems: &Problems) -> Result<Vec<Response>, Reported> {
    if !reader.given("response") {
        return Ok(vec![Response {
            hours: None,
            time: USUAL_RESPONSE,
        }]);
    }
    let (tables, whole) = reader.table_or_tables("response");
    let read = collect(&tables, |table| {
        let reader = Reader::open(table, &RESPONSE, problems);
        let (from, to) = (
            reader.optional_time_of_day("from"),
            reader.optional_time_of_day("to"),
        );
        let (median, spread) = (reader.optional_millis("median"), reader.number("spread"));
        let never = reader.flag("never");
        let hours = match (from?, to?) {
            (Some(from), Some(to)) => Some(daily(&reader, from, to)?),
            (None, None) => None,
            (Some(_), None) => return Err(reader.missing("to")),
            (None, Some(_)) => return Err(reader.missing("from")),
        };
        let time = match (median?, never?) {
            (Some(median_ms), false) => ResponseTime::Lognormal {
                median_ms,
                spread: spread?,
            },
            (None, true) => ResponseTime::Never,
            (None, false) => return Err(reader.missing("median")),
            (Some(_), true) => {
                let problem = Problem::new(
                    "field-not-used",
                    reader.place_of("median"),
                    "`median` means nothing for somebody who never answers",
                )
                .label("leave one of the two out");
                return Err(reader.report(problem));
            }
        };
        Ok(Response { hours, time })
    });
    whole?;
    read
}
