//! `weather` of `[room]`: its air from a file.

use tepid_sim::scenario::{Humidity, Room, RoomTemperature, Sun, SunShine};
use tepid_sim::time::Millis;

use super::Assumptions;
use super::room::{Air, Run, humidity};
use crate::fields::room::WEATHER;
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;
use crate::source::Place;
use crate::weather_file;

/// The air from a weather file: what it holds may not be stated beside it.
pub(super) fn read(
    room: &Reader<'_>,
    run: &Run,
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Air, Reported> {
    let Some(table) = room.optional_table("weather")? else {
        return Err(Reported);
    };
    let reader = Reader::open(table, &WEATHER, problems);
    let (file, from) = (reader.text("file"), reader.optional_day_of_year("from"));
    if room.given("temperature") {
        return Err(twice(room, "temperature"));
    }
    let from = match (from?, run.start_date) {
        (Some(day), _) => weather_file::Start::DayOfYear(day),
        (None, Some(date)) => weather_file::Start::Date(date),
        (None, None) => {
            let problem = Problem::new(
                "no-start-date",
                reader.place(),
                "`weather` needs `from` or `start_date`",
            )
            .label("which day of the file is the first?")
            .fix("from = \"01-08\"");
            return Err(reader.report(problem));
        }
    };
    let span = weather_file::Span {
        start: from,
        warm_up_ms: run.warm_up_ms,
        duration_ms: run.duration_ms,
    };
    let found = weather_file::read(&file?, reader.place_of("file"), &span, problems)?;
    assumptions.extend(found.assumptions);
    if !found.humidity.is_empty() && room.given("humidity") {
        return Err(twice(room, "humidity"));
    }
    let humidity = if found.humidity.is_empty() {
        humidity(room, problems)?
    } else {
        let scored: Vec<f64> = found
            .humidity
            .iter()
            .filter(|(at, _)| (0..=run.duration_ms).contains(at))
            .map(|(_, relative_frac)| *relative_frac)
            .collect();
        let mean = scored.iter().sum::<f64>() / scored.len().max(1) as f64;
        Humidity::ConstantRelative { relative_frac: mean }
    };
    let temperature = RoomTemperature {
        course: found.temperature,
        ..RoomTemperature::constant(0.0)
    };
    Ok(Air {
        temperature,
        humidity,
        humidity_course: found.humidity,
        sun_course: found.sun,
    })
}

fn twice(room: &Reader<'_>, field: &str) -> Reported {
    let message = format!("`{field}` stands beside a weather file that holds it");
    let problem = Problem::new("weather-and-stated", room.place_of(field), message)
        .label("leave one of the two out")
        .expected(format!("`weather` or `{field}`"));
    room.report(problem)
}

/// Sun from the weather file needs a weather file that has it.
pub(super) fn check_suns(tables: &[&Table], suns: Option<&[Sun]>, room: Option<&Room>, problems: &Problems) {
    // Suns and rooms that could not be read are reported by their own sections.
    let (Some(suns), Some(room)) = (suns, room) else {
        return;
    };
    for (table, sun) in tables.iter().zip(suns) {
        let place = table.get("area").map_or(&table.place, |node| &node.place);
        // What is wrong is written down; the other suns are checked all the same.
        let _reported = check_shine(sun.shine, &room.sun_course, place, problems);
    }
}

/// The same for one sun.
pub(super) fn check_shine(
    shine: SunShine,
    sun_course: &[(Millis, f64)],
    place: &Place,
    problems: &Problems,
) -> Result<(), Reported> {
    if !matches!(shine, SunShine::Weather { .. }) || !sun_course.is_empty() {
        return Ok(());
    }
    let message = "`area` needs the sun of a weather file, and there is none";
    let problem = Problem::new("no-sun", place, message)
        .label("no sun is known")
        .expected(
            "`weather` of [room] with a file that has the sun on level ground, or `peak`, `from` and `until`",
        );
    Err(problems.add(problem))
}
