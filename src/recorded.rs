//! A scenario in the room of a log: its days, its room, its events in place of the scenario's own.
//!
//! Runs begin at time zero, 00:00 of a day, after a warm-up. A stretch of a log begins whenever it does, so time zero is the first midnight from
//! there on, and the warm-up reaches back to the first reading. Where a fit found the air around the tanks warmer than the room's thermometer reads, the
//! log's room is moved by that.

use tepid_scenarios::log_file::{Log, LogRow, later};
use tepid_scenarios::nearest;
use tepid_sim::physics::vapour::saturation_pressure_pa;
use tepid_sim::scenario::{CalendarDate, Happening, Humidity, RoomTemperature, Scenario, VerdictRoom, When};
use tepid_sim::time::{DAY, MINUTE, Millis};

/// A log does not fit a scenario.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RecordedError {
    /// An event of the log is none of the scenario's.
    #[error(
        "{log}:{line}: the scenario has no event `{name}`; {}{}",
        if known.is_empty() {
            "it has none at all: an [[event]] of that name says what it does, the log says when".to_owned()
        } else {
            format!("it has: {}", known.join(", "))
        },
        nearest.as_ref().map_or_else(String::new, |near| format!("; did you mean `{near}`?"))
    )]
    UnknownEvent {
        /// The log.
        log: String,
        /// Its line.
        line: usize,
        /// The event.
        name: String,
        /// The nearest that there is.
        nearest: Option<String>,
        /// Those there are.
        known: Vec<String>,
    },
    /// No tank has that name.
    #[error("--tank {name}: the scenario has no such tank; it has: {}", known.join(", "))]
    UnknownTank {
        /// Asked for.
        name: String,
        /// Those there are.
        known: Vec<String>,
    },
}

/// Rows of a log without a gap, in the time of a run.
#[derive(Debug, Clone, Copy)]
pub struct Stretch<'l> {
    /// The rows, at least one.
    pub rows: &'l [LogRow],
    /// Time zero of the run, ms of the log.
    pub zero_ms: Millis,
}

impl<'l> Stretch<'l> {
    /// Of these rows; `None` where there are none.
    #[must_use]
    pub fn new(rows: &'l [LogRow]) -> Option<Self> {
        let first = rows.first()?;
        Some(Self {
            rows,
            zero_ms: -(-first.at_ms).div_euclid(DAY) * DAY,
        })
    }

    /// When a run of it begins, ms of the run, ≤ 0.
    #[must_use]
    pub fn start_ms(&self) -> Millis {
        self.rows.first().map_or(0, |row| row.at_ms - self.zero_ms)
    }

    /// When it ends, ms of the run; a run needs a minute of scored time at least.
    #[must_use]
    pub fn end_ms(&self) -> Millis {
        self.rows
            .last()
            .map_or(0, |row| row.at_ms - self.zero_ms)
            .max(MINUTE)
    }

    /// What rows hold, in the time of the run.
    pub fn course(&self, of: impl Fn(&LogRow) -> Option<f64>) -> Vec<(Millis, f64)> {
        let rows = self.rows.iter();
        rows.filter_map(|row| of(row).map(|value| (row.at_ms - self.zero_ms, value)))
            .collect()
    }
}

/// The scenario over a stretch of a log: room, humidity and events are the log's where it holds them; it begins with all water at the first
/// reading's temperature.
///
/// # Errors
/// [`RecordedError`] for an event that the scenario does not know.
pub fn scenario_of(base: &Scenario, log: &Log, stretch: &Stretch<'_>) -> Result<Scenario, RecordedError> {
    let mut scenario = base.clone();
    scenario.warm_up_ms = -stretch.start_ms();
    scenario.duration_ms = stretch.end_ms();
    scenario.start_date = log
        .start_date
        .and_then(|date| later(date, stretch.zero_ms.div_euclid(DAY)))
        .or(base.start_date);
    let room = stretch.course(|row| row.room_c.map(|temp_c| temp_c + base.fitted.room_offset_k));
    if !room.is_empty() {
        let extreme =
            |pick: fn(f64, f64) -> f64, from: f64| room.iter().map(|(_, temp_c)| *temp_c).fold(from, pick);
        let (lowest_c, highest_c) = (
            extreme(f64::min, f64::INFINITY),
            extreme(f64::max, f64::NEG_INFINITY),
        );
        let verdict = |stated: VerdictRoom, temp_c| {
            if stated.stated {
                stated
            } else {
                VerdictRoom { temp_c, ..stated }
            }
        };
        scenario.room.coldest = verdict(scenario.room.coldest, lowest_c);
        scenario.room.warmest = verdict(scenario.room.warmest, highest_c);
        scenario.room.lumped = None;
        scenario.room.temperature = RoomTemperature {
            course: room,
            ..RoomTemperature::constant(0.0)
        };
        scenario.room.humidity_course.clear();
        scenario.room.sun_course.clear();
    }
    let mut humidity = stretch.course(|row| row.humidity_frac);
    if let (Humidity::ConstantRatio { relative_frac }, true, Some(mean_c)) =
        (base.room.humidity, humidity.is_empty(), mean_room_c(log))
    {
        // The same vapour all the time, that of the stated humidity in the mean room of the whole log.
        let vapour_pa = relative_frac * saturation_pressure_pa(mean_c);
        let room = stretch.course(|row| row.room_c).into_iter();
        humidity = room
            .map(|(at, temp_c)| (at, (vapour_pa / saturation_pressure_pa(temp_c)).min(1.0)))
            .collect();
    }
    if !humidity.is_empty() {
        let mean = humidity.iter().map(|(_, frac)| frac).sum::<f64>() / humidity.len() as f64;
        scenario.room.humidity = Humidity::ConstantRelative { relative_frac: mean };
        scenario.room.humidity_course = humidity;
    }
    scenario.happenings = events(base, log, stretch)?;
    if let Some(water_c) = stretch.rows.iter().find_map(|row| row.water_c) {
        scenario.start_c = Some(water_c);
    }
    Ok(scenario)
}

/// What the scenario lends a log that does not say it, for people.
#[must_use]
pub fn lent(base: &Scenario, log: &Log) -> Vec<String> {
    let lacks = |of: fn(&LogRow) -> bool| !log.rows.iter().any(of);
    let mut assumptions = Vec::new();
    if lacks(|row| row.event.is_some()) && !base.happenings.is_empty() {
        assumptions.push("none of the scenario's events happened: the log tells none".to_owned());
    }
    if lacks(|row| row.room_c.is_some()) {
        assumptions.push("the room was as the scenario says: the log has no column `room`".to_owned());
    }
    if lacks(|row| row.humidity_frac.is_some()) {
        assumptions.push("the room's humidity was as the scenario says".to_owned());
    }
    assumptions
}

/// Mean of the logged room, °C.
fn mean_room_c(log: &Log) -> Option<f64> {
    let room: Vec<f64> = log.rows.iter().filter_map(|row| row.room_c).collect();
    (!room.is_empty()).then(|| room.iter().sum::<f64>() / room.len() as f64)
}

/// The log's events, each as the scenario's event of that name.
fn events(base: &Scenario, log: &Log, stretch: &Stretch<'_>) -> Result<Vec<Happening>, RecordedError> {
    let mut happenings = Vec::new();
    for row in stretch.rows {
        let Some(name) = &row.event else { continue };
        let Some(known) = base.happenings.iter().find(|known| known.name == *name) else {
            let known: Vec<String> = base.happenings.iter().map(|known| known.name.clone()).collect();
            return Err(RecordedError::UnknownEvent {
                log: log.name.clone(),
                line: row.line,
                name: name.clone(),
                nearest: nearest(name, known.iter().map(String::as_str)).map(str::to_owned),
                known,
            });
        };
        happenings.push(Happening {
            when: When::At(row.at_ms - stretch.zero_ms),
            ..known.clone()
        });
    }
    Ok(happenings)
}

/// The number of the tank with this name; without a name that of the probe to control by, else the first with livestock.
///
/// # Errors
/// [`RecordedError::UnknownTank`].
pub fn tank_of(scenario: &Scenario, name: Option<&str>) -> Result<usize, RecordedError> {
    match name {
        Some(name) => scenario
            .tanks
            .iter()
            .position(|tank| tank.name == name)
            .ok_or_else(|| RecordedError::UnknownTank {
                name: name.to_owned(),
                known: scenario.tanks.iter().map(|tank| tank.name.clone()).collect(),
            }),
        None => {
            let control = scenario.probes.iter().find_map(|probe| probe.tank);
            Ok(control.map_or_else(
                || scenario.tanks.iter().position(|tank| tank.livestock).unwrap_or(0),
                |tank| tank.0,
            ))
        }
    }
}

/// Names of the days from one instant to another, ms after 00:00 of a date; none without a date.
#[must_use]
pub fn day_names(zero: Option<CalendarDate>, from_ms: Millis, to_ms: Millis) -> Vec<String> {
    let days = from_ms.div_euclid(DAY)..=to_ms.div_euclid(DAY);
    let dates = days.map_while(|day| later(zero?, day));
    dates
        .map(|CalendarDate { year, month, day }| format!("{year}-{month:02}-{day:02}"))
        .collect()
}
