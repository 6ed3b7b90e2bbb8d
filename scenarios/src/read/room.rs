//! `[room]`.

use tepid_sim::quantity::{Kind, parse_millis};
use tepid_sim::scenario::{CalendarDate, Humidity, Room, RoomTemperature};
use tepid_sim::time::Millis;

use super::verdict_room::{self, Own};
use super::{Assumptions, Index, building, items, weather};
use crate::fields::room::{HUMIDITY, ROOM, ROOM_TEMPERATURE};
use crate::mistakes::quantity_problem;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// The run that the room is read for.
pub(super) struct Run {
    pub duration_ms: Millis,
    pub warm_up_ms: Millis,
    pub start_date: Option<CalendarDate>,
}

pub(super) fn read(
    root: &Reader<'_>,
    run: &Run,
    index: &Index,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Room, Reported> {
    let Some(table) = root.optional_table("room")? else {
        return Err(root.missing("room"));
    };
    let reader = Reader::open(table, &ROOM, problems);
    let air = match reader.node("weather") {
        Some(_) => weather::read(&reader, run, problems, assumptions),
        None => stated_air(&reader, problems),
    };
    let lumped = building::read(&reader, index, problems, assumptions);
    let year = reader.optional_table("year")?;
    let mut own = Own::of(air.as_ref().ok(), run.duration_ms);
    if let Ok(Some(building)) = &lumped {
        own.indoors(building, year.is_none(), assumptions);
    }
    let (coldest, warmest) = verdict_room::read(&reader, year, &own, problems)?;
    let (air, lumped) = (air?, lumped?);
    if let Some(sun) = lumped.as_ref().and_then(|building| building.sun) {
        weather::check_shine(sun, &air.sun_course, reader.place_of("building"), problems)?;
    }
    Ok(Room {
        temperature: air.temperature,
        humidity: air.humidity,
        coldest,
        warmest,
        lumped,
        humidity_course: air.humidity_course,
        sun_course: air.sun_course,
    })
}

/// The air of the room, or outdoors where there is a building.
pub(super) struct Air {
    pub temperature: RoomTemperature,
    pub humidity: Humidity,
    pub humidity_course: Vec<(Millis, f64)>,
    pub sun_course: Vec<(Millis, f64)>,
}

fn stated_air(room: &Reader<'_>, problems: &Problems) -> Result<Air, Reported> {
    if !room.given("temperature") {
        return Err(room.missing("temperature"));
    }
    let (temperature, humidity) = (temperature(room, problems), humidity(room, problems));
    Ok(Air {
        temperature: temperature?,
        humidity: humidity?,
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

pub(super) fn humidity(room: &Reader<'_>, problems: &Problems) -> Result<Humidity, Reported> {
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
