//! `[livestock]`.

use tepid_sim::quantity::{Kind, parse_millis};
use tepid_sim::scenario::{DangerLine, Livestock, Water};

use super::{Assumptions, items, oxygen};
use crate::fields::livestock::{FASTEST, LIVESTOCK};
use crate::fields::{Field, Section};
use crate::mistakes::quantity_problem;
use crate::node::{Node, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

#[derive(Clone, Copy, PartialEq)]
enum Side {
    Hot,
    Cold,
}

pub(super) fn read(
    root: &Reader<'_>,
    water: Option<&Water>,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Livestock, Reported> {
    let Some(table) = root.optional_table("livestock")? else {
        assumptions.push("no livestock stated: no danger is judged".to_owned());
        return Ok(Livestock {
            kind: "none stated".to_owned(),
            source: "none stated".to_owned(),
            used_to_c: water.ok_or(Reported)?.target_c,
            danger_hot: Vec::new(),
            danger_cold: Vec::new(),
            fastest_per_hour_k: None,
            fastest_per_day_k: None,
            oxygen: None,
        });
    };
    let reader = Reader::open(table, &LIVESTOCK, problems);
    let kind = reader.text("kind");
    let source = reader.text("source");
    let used_to = reader.optional_quantity("used_to");
    let hot = lines(&reader, "danger_hot", Side::Hot, water);
    let cold = lines(&reader, "danger_cold", Side::Cold, water);
    let fastest = reader.optional_table("fastest").and_then(|table| match table {
        None => Ok((None, None)),
        Some(table) => {
            let reader = Reader::open(table, &FASTEST, problems);
            let (per_hour, per_day) = (
                reader.optional_quantity("per_hour"),
                reader.optional_quantity("per_day"),
            );
            Ok((per_hour?, per_day?))
        }
    });
    let oxygen = oxygen::oxygen(&reader, problems, assumptions);
    let (fastest_per_hour_k, fastest_per_day_k) = fastest?;
    Ok(Livestock {
        kind: kind?,
        source: source?,
        used_to_c: used_to?.or(water.map(|water| water.target_c)).ok_or(Reported)?,
        danger_hot: hot?,
        danger_cold: cold?,
        fastest_per_hour_k,
        fastest_per_day_k,
        oxygen: oxygen?,
    })
}

fn lines(
    reader: &Reader<'_>,
    name: &'static str,
    side: Side,
    water: Option<&Water>,
) -> Result<Vec<DangerLine>, Reported> {
    let Some(node) = reader.node(name) else {
        return Ok(Vec::new());
    };
    let (Some(rows), Some(field)) = (items(node), field_of(&LIVESTOCK, name)) else {
        return Err(reader.wrong(name, node));
    };
    let read: Vec<Result<DangerLine, Reported>> = rows.iter().map(|row| line(reader, field, row)).collect();
    let lines: Vec<DangerLine> = read.into_iter().collect::<Result<_, _>>()?;
    check_order(reader, rows, &lines, side)?;
    if let (Some(water), Some(mildest)) = (water, lines.first()) {
        let wrong = match side {
            Side::Hot => mildest.temp_c <= water.target_c,
            Side::Cold => mildest.temp_c >= water.target_c,
        };
        if wrong {
            let (message, expected) = match side {
                Side::Hot => (
                    "a danger upwards lies below the target",
                    "temperatures above the target",
                ),
                Side::Cold => (
                    "a danger downwards lies above the target",
                    "temperatures below the target",
                ),
            };
            let problem = Problem::new("danger-line", &rows[0].place, message).expected(expected);
            return Err(reader.report(problem));
        }
    }
    Ok(lines)
}

fn field_of(section: &'static Section, name: &str) -> Option<&'static Field> {
    section.fields.iter().find(|field| field.name == name)
}

/// One line: `["30 °C", "12 h"]`, `["33 °C"]` or `"33 °C"`.
fn line(reader: &Reader<'_>, field: &Field, row: &Node) -> Result<DangerLine, Reported> {
    let (temperature, time) = match &row.value {
        Value::Text { .. } => (row, None),
        Value::List(parts) => match &parts[..] {
            [temperature] => (temperature, None),
            [temperature, time] => (temperature, Some(time)),
            _ => return Err(reader.wrong_value(field, row)),
        },
        _ => return Err(reader.wrong_value(field, row)),
    };
    let temp_c = reader.read_kind(field, temperature, Kind::Temperature);
    let allowed_ms = time.map(|time| allowed_time(reader, field, time)).transpose();
    Ok(DangerLine {
        temp_c: temp_c?,
        allowed_ms: allowed_ms?,
    })
}

fn allowed_time(reader: &Reader<'_>, field: &Field, node: &Node) -> Result<i64, Reported> {
    let Value::Text { text, .. } = &node.value else {
        return Err(reader.wrong_value(field, node));
    };
    let allowed = parse_millis(text).map_err(|error| reader.report(quantity_problem(field, node, &error)))?;
    if allowed > 0 {
        return Ok(allowed);
    }
    let problem = Problem::new("out-of-range", &node.place, "a time borne must be more than 0 s")
        .found(text.clone())
        .expected("a length of time such as \"12 h\"; leave it out for \"at once\"");
    Err(reader.report(problem))
}

/// Mildest first: temperatures go away from the target, times fall.
fn check_order(reader: &Reader<'_>, rows: &[Node], lines: &[DangerLine], side: Side) -> Result<(), Reported> {
    for (pair, row) in lines.windows(2).zip(rows.iter().skip(1)) {
        let [milder, severer] = pair else { continue };
        let further = match side {
            Side::Hot => severer.temp_c > milder.temp_c,
            Side::Cold => severer.temp_c < milder.temp_c,
        };
        let shorter = match (milder.allowed_ms, severer.allowed_ms) {
            (Some(longer), Some(shorter)) => shorter < longer,
            (Some(_), None) => true,
            (None, _) => false,
        };
        if !(further && shorter) {
            let expected = match side {
                Side::Hot => "warmer temperatures with shorter times from line to line",
                Side::Cold => "colder temperatures with shorter times from line to line",
            };
            let problem = Problem::new(
                "danger-line",
                &row.place,
                "this line is not severer than the one before it",
            )
            .label("mildest first")
            .expected(expected);
            return Err(reader.report(problem));
        }
    }
    Ok(())
}
