//! `[room]`.

use tepid_sim::quantity::{Kind, parse_millis};
use tepid_sim::scenario::{Humidity, Room, RoomTemperature, VerdictRoom};
use tepid_sim::time::Millis;

use super::items;
use crate::fields::room::{HUMIDITY, ROOM, ROOM_TEMPERATURE, YEAR};
use crate::mistakes::quantity_problem;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

pub(super) fn read(root: &Reader<'_>, duration_ms: Millis, problems: &Problems) -> Result<Room, Reported> {
    let Some(table) = root.optional_table("room")? else {
        return Err(root.missing("room"));
    };
    let reader = Reader::open(table, &ROOM, problems);
    let temperature = temperature(&reader, problems);
    let humidity = humidity(&reader, problems);
    let year = reader.optional_table("year");
    let own = temperature
        .as_ref()
        .map_or((20.0, 20.0), |temperature| extremes_c(temperature, duration_ms));
    let relative_frac = humidity.map_or(0.5, Humidity::relative_frac);
    let (coldest, warmest) = verdict_rooms(&reader, year?, own, relative_frac, problems)?;
    Ok(Room {
        temperature: temperature?,
        humidity: humidity?,
        coldest,
        warmest,
        lumped: None,
        humidity_course: Vec::new(),
        sun_course: Vec::new(),
    })
}

fn temperature(room: &Reader<'_>, problems: &Problems) -> Result<RoomTemperature, Reported> {
    let empty = Table {
        place: room.place().clone(),
        entries: Vec::new(),
    };
    let (constant, table) = match room.node("temperature") {
        Some(Node {
            value: Value::Table(table),
            ..
        }) => (None, table),
        _ => (Some(room.quantity("temperature")?), &empty),
    };
    let reader = Reader::open(table, &ROOM_TEMPERATURE, problems);
    let mean = reader.optional_quantity("mean");
    let points = points(&reader);
    let (swing, warmest) = (reader.quantity("swing"), reader.time_of_day("warmest"));
    let (season_swing, warmest_day) = (reader.quantity("season_swing"), reader.day_of_year("warmest_day"));
    let (drift, drift_time) = (reader.quantity("drift"), reader.millis("drift_time"));
    let course = match (constant.or(mean?), points?) {
        (Some(mean), None) => vec![(0, mean)],
        (None, Some(points)) => points,
        (Some(_), Some(_)) => {
            let problem = Problem::new(
                "mean-and-points",
                reader.place_of("points"),
                "the room has `mean` or `points`, not both",
            )
            .label("leave one of the two out");
            return Err(reader.report(problem));
        }
        (None, None) => return Err(reader.missing("mean")),
    };
    Ok(RoomTemperature {
        course,
        swing_k: swing?,
        warmest_ms: warmest?,
        season_swing_k: season_swing?,
        warmest_day: f64::from(warmest_day?),
        drift_k: drift?,
        drift_time_ms: drift_time?,
    })
}

fn points(reader: &Reader<'_>) -> Result<Option<Vec<(Millis, f64)>>, Reported> {
    const NAME: &str = "points";
    let Some(node) = reader.node(NAME) else {
        return Ok(None);
    };
    let field = ROOM_TEMPERATURE.fields.iter().find(|field| field.name == NAME);
    let (Some(rows), Some(field)) = (items(node).filter(|rows| !rows.is_empty()), field) else {
        return Err(reader.wrong(NAME, node));
    };
    let read: Vec<Result<(Millis, f64), Reported>> = rows
        .iter()
        .map(|row| {
            let Some([time, temperature]) = items(row) else {
                return Err(reader.wrong_value(field, row));
            };
            let temp_c = reader.read_kind(field, temperature, Kind::Temperature);
            let Value::Text { text, .. } = &time.value else {
                return Err(reader.wrong_value(field, time));
            };
            let time_ms =
                parse_millis(text).map_err(|error| reader.report(quantity_problem(field, time, &error)));
            Ok((time_ms?, temp_c?))
        })
        .collect();
    let points: Vec<(Millis, f64)> = read.into_iter().collect::<Result<_, _>>()?;
    if let Some(at) = points.windows(2).position(|pair| pair[1].0 < pair[0].0) {
        let problem = Problem::new(
            "points-order",
            &rows[at + 1].place,
            "this point is earlier than the one before it",
        )
        .expected("points in order of time; two at one time = a step");
        return Err(reader.report(problem));
    }
    Ok(Some(points))
}

fn humidity(room: &Reader<'_>, problems: &Problems) -> Result<Humidity, Reported> {
    if let Some(relative_frac) = room.quantity_unless_table("humidity")? {
        return Ok(Humidity::ConstantRatio { relative_frac });
    }
    let Some(table) = room.optional_table("humidity")? else {
        return Err(Reported);
    };
    let reader = Reader::open(table, &HUMIDITY, problems);
    let (relative, constant) = (reader.quantity("relative"), reader.choice("constant"));
    let relative_frac = relative?;
    Ok(match constant? {
        "relative" => Humidity::ConstantRelative { relative_frac },
        _ => Humidity::ConstantRatio { relative_frac },
    })
}

/// Coldest and warmest room of a course within the scored time, °C, without its random drift.
fn extremes_c(temperature: &RoomTemperature, duration_ms: Millis) -> (f64, f64) {
    let scored = temperature
        .course
        .iter()
        .filter(|(at, _)| (0..=duration_ms).contains(at));
    let ends = [0, duration_ms].map(|at| (at, course_c(&temperature.course, at)));
    let (low, high) = scored
        .copied()
        .chain(ends)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (_, temp_c)| {
            (low.min(temp_c), high.max(temp_c))
        });
    let swing = 0.5 * (temperature.swing_k + temperature.season_swing_k);
    (low - swing, high + swing)
}

/// The course at a time, °C.
fn course_c(course: &[(Millis, f64)], at: Millis) -> f64 {
    let after = course
        .iter()
        .position(|(time, _)| *time > at)
        .unwrap_or(course.len());
    match (
        after.checked_sub(1).and_then(|before| course.get(before)),
        course.get(after),
    ) {
        (Some((t0, c0)), Some((t1, c1))) => c0 + (c1 - c0) * ((at - t0) as f64) / ((t1 - t0) as f64),
        (Some((_, only)), None) | (None, Some((_, only))) => *only,
        (None, None) => f64::NAN,
    }
}

fn verdict_rooms(
    room: &Reader<'_>,
    year: Option<&Table>,
    own_c: (f64, f64),
    own_humidity_frac: f64,
    problems: &Problems,
) -> Result<(VerdictRoom, VerdictRoom), Reported> {
    let empty = Table {
        place: room.place().clone(),
        entries: Vec::new(),
    };
    let reader = Reader::open(year.unwrap_or(&empty), &YEAR, problems);
    let verdict = |temperature: &str, humidity: &str, own_c: f64| {
        let (temp_c, relative) = (
            reader.optional_quantity(temperature),
            reader.optional_quantity(humidity),
        );
        let (temp_c, relative) = (temp_c?, relative?);
        Ok(VerdictRoom {
            temp_c: temp_c.unwrap_or(own_c),
            relative_humidity_frac: relative.unwrap_or(own_humidity_frac),
            stated: temp_c.is_some(),
        })
    };
    let coldest = verdict("coldest", "coldest_humidity", own_c.0);
    let warmest = verdict("warmest", "warmest_humidity", own_c.1);
    let (coldest, warmest) = (coldest?, warmest?);
    if coldest.temp_c > warmest.temp_c {
        let problem = Problem::new(
            "year-order",
            room.place_of("year"),
            "the year's coldest room is warmer than its warmest",
        )
        .expected("`coldest` below `warmest`");
        return Err(room.report(problem));
    }
    Ok((coldest, warmest))
}
