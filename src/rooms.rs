//! The rooms in which verdicts are given: the scenario's own, and constant ones as cold and as warm as the year gets.

use tepid_output::records::{RoomBlock, RoomKind};
use tepid_sim::network::AirCourse;
use tepid_sim::scenario::{Effect, Humidity, RoomTemperature, Scenario, VerdictRoom};
use tepid_sim::still::StillPlant;
use tepid_sim::time::{DAY, HOUR, Millis};
use tepid_sim::weather::Weather;

/// All rooms, in the order of reports.
pub const ROOMS: [RoomKind; 3] = [RoomKind::Scenario, RoomKind::Coldest, RoomKind::Warmest];

/// A room that never changes shows all it has to show in this time, ms.
const STILL_DAYS_MS: Millis = 10 * DAY;

/// The scenario in one of the rooms.
#[must_use]
pub fn in_room(scenario: &Scenario, room: RoomKind) -> Scenario {
    let mut placed = scenario.clone();
    if let Some(verdict) = verdict_room(scenario, room) {
        placed.duration_ms = placed.duration_ms.min(STILL_DAYS_MS);
        placed.room.temperature = RoomTemperature::constant(verdict.temp_c);
        placed.room.humidity = Humidity::ConstantRatio {
            relative_frac: verdict.relative_humidity_frac,
        };
        placed.room.humidity_course.clear();
        placed.room.lumped = None;
        // The year's extremes have warm and cold spells in them already.
        placed
            .happenings
            .retain(|happening| !matches!(happening.effect, Effect::RoomShift { .. }));
    }
    placed
}

/// The constant room of that kind; `None` for the scenario's own.
#[must_use]
pub fn verdict_room(scenario: &Scenario, room: RoomKind) -> Option<VerdictRoom> {
    match room {
        RoomKind::Scenario => None,
        RoomKind::Coldest => Some(scenario.room.coldest),
        RoomKind::Warmest => Some(scenario.room.warmest),
    }
}

/// Temperature, °C, and relative humidity, 0..=1, of one of the rooms as a budget holds it: the scenario's own at its mean, or as its building
/// settles at the mean outdoors with the water at the target.
#[must_use]
pub fn still_room(scenario: &Scenario, still: &StillPlant<'_>, room: RoomKind) -> (f64, f64) {
    verdict_room(scenario, room).map_or_else(
        || {
            let own = still.room();
            (own.temp_c, own.relative_humidity_frac)
        },
        |verdict| (verdict.temp_c, verdict.relative_humidity_frac),
    )
}

/// Lowest and highest temperature of the prescribed air between two instants, from one look an hour, °C: of the room, or outdoors where the
/// room answers to what stands in it.
#[must_use]
pub fn range_c(scenario: &Scenario, seed: u64, replicate: u64, from_ms: Millis, to_ms: Millis) -> (f64, f64) {
    let mut weather = Weather::new(scenario, seed, replicate);
    let mut range = (f64::INFINITY, f64::NEG_INFINITY);
    let mut at_ms = from_ms;
    while at_ms <= to_ms {
        let temp_c = weather.air_at(at_ms).temp_c + scenario.room_shift_k(at_ms);
        range = (range.0.min(temp_c), range.1.max(temp_c));
        at_ms += HOUR;
    }
    range
}

/// A room as the comparison's record states it; `computed_c` is what the runs had of a room that answers to what stands in it.
#[must_use]
pub fn block(
    scenario: &Scenario,
    room: RoomKind,
    seed: u64,
    to_ms: Millis,
    computed_c: Option<(f64, f64)>,
) -> RoomBlock {
    let prescribed_c = range_c(&in_room(scenario, room), seed, 0, 0, to_ms);
    let verdict = verdict_room(scenario, room);
    let answers = verdict.is_none() && scenario.room.lumped.is_some();
    let (lowest_c, highest_c) = computed_c.filter(|_| answers).unwrap_or(prescribed_c);
    RoomBlock {
        room,
        lowest_c,
        highest_c,
        outdoors_c: answers.then_some([prescribed_c.0, prescribed_c.1]),
        relative_humidity_frac: verdict.map_or_else(
            || scenario.room.humidity.relative_frac(),
            |verdict| verdict.relative_humidity_frac,
        ),
        stated: verdict.is_none_or(|verdict| verdict.stated),
    }
}
