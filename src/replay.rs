//! A strategy in a recorded room: the log's room, humidity and events, the recorded water beside the simulated.
//!
//! The run begins with the recorded water at the log's first reading. Until the first midnight that is warm-up: simulated and compared, not scored.

use tepid_output::records::{Replay, ReplayedWater};
use tepid_scenarios::log_file::{HeaterLog, Log};
use tepid_sim::scenario::Scenario;
use tepid_sim::time::{HOUR, Millis, hours};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

use crate::recorded::{RecordedError, Stretch, scenario_of, tank_of};

/// Shortest time to score, ms.
const SHORTEST_MS: Millis = HOUR;

/// Why a log cannot be replayed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReplayError {
    /// Log and scenario do not belong together.
    #[error(transparent)]
    Recorded(#[from] RecordedError),
    /// Nothing would be scored.
    #[error("{log}: a run is scored from the first midnight on, and the log ends less than an hour after it")]
    TooShort {
        /// The log.
        log: String,
    },
    /// Nothing would be replayed.
    #[error("{log}: the log has neither room nor events; there is nothing to replay but its days")]
    NoRoom {
        /// The log.
        log: String,
    },
}

/// A log as a run replays it.
#[derive(Debug)]
pub struct Replayed {
    /// The scenario in the log's room.
    pub scenario: Scenario,
    log: String,
    tank: usize,
    readings: Vec<(Millis, f64)>,
    /// From when on which power of the heaters, W; empty where the log does not say.
    heaters_w: Vec<(Millis, f64)>,
}

impl Replayed {
    /// A scenario in the room of a log; the log's water is that of the probe to control by.
    ///
    /// # Errors
    /// [`ReplayError`].
    pub fn new(base: &Scenario, log: &Log) -> Result<Self, ReplayError> {
        let first = log.rows.iter().position(|row| row.water_c.is_some()).unwrap_or(0);
        let too_short = || ReplayError::TooShort {
            log: log.name.clone(),
        };
        let stretch = Stretch::new(&log.rows[first..]).ok_or_else(too_short)?;
        if stretch.end_ms() < SHORTEST_MS {
            return Err(too_short());
        }
        if log
            .rows
            .iter()
            .all(|row| row.room_c.is_none() && row.event.is_none())
        {
            return Err(ReplayError::NoRoom {
                log: log.name.clone(),
            });
        }
        let rated_w: f64 = base.heaters.iter().map(|heater| heater.power_w).sum();
        let power_w = |logged: f64| match log.heater {
            Some(HeaterLog::Watts) => logged,
            _ => logged * rated_w,
        };
        Ok(Self {
            scenario: scenario_of(base, log, &stretch)?,
            log: log.name.clone(),
            tank: tank_of(base, None)?,
            readings: stretch.course(|row| row.water_c),
            heaters_w: stretch.course(|row| row.heater.map(power_w)),
        })
    }

    /// Recorded water: ms of the run, °C.
    #[must_use]
    pub fn readings(&self) -> &[(Millis, f64)] {
        &self.readings
    }

    /// What compares a run with the log while it goes on.
    #[must_use]
    pub fn beside(&self) -> ReplaySink<'_> {
        ReplaySink {
            replayed: self,
            next: 0,
            last: None,
            simulated_c: Vec::with_capacity(self.readings.len()),
            energy_w_ms: 0.0,
        }
    }
}

/// Takes down the simulated water at the instants of the log.
#[derive(Debug)]
pub struct ReplaySink<'r> {
    replayed: &'r Replayed,
    next: usize,
    /// Instant, water, °C, and power of the heaters from there on, W.
    last: Option<(Millis, f64, f64)>,
    simulated_c: Vec<f64>,
    energy_w_ms: f64,
}

impl TraceSink for ReplaySink<'_> {
    fn row(&mut self, row: &TraceRow<'_>) {
        let (readings, water_c) = (&self.replayed.readings, row.water_c[self.replayed.tank]);
        let (last_ms, last_c, last_w) = self.last.unwrap_or((row.at_ms, water_c, 0.0));
        while let Some((at_ms, _)) = readings.get(self.next)
            && *at_ms <= row.at_ms
        {
            let share = (at_ms - last_ms) as f64 / (row.at_ms - last_ms).max(1) as f64;
            self.simulated_c.push(last_c + (water_c - last_c) * share);
            self.next += 1;
        }
        self.energy_w_ms += last_w * (row.at_ms - last_ms) as f64;
        self.last = Some((row.at_ms, water_c, row.heater_w.iter().sum()));
    }

    fn mark(&mut self, _: &Mark<'_>) {}
}

impl ReplaySink<'_> {
    /// The comparison; `None` where the run ended before the first reading.
    #[must_use]
    pub fn finish(self) -> Option<Replay> {
        let compared: Vec<(Millis, f64, f64)> = self
            .replayed
            .readings
            .iter()
            .zip(&self.simulated_c)
            .map(|((at_ms, recorded_c), simulated_c)| (*at_ms, *recorded_c, *simulated_c))
            .collect();
        let (first, last) = (compared.first()?, compared.last()?);
        let off = |(_, recorded_c, simulated_c): &(Millis, f64, f64)| simulated_c - recorded_c;
        let largest = compared
            .iter()
            .max_by(|a, b| off(a).abs().total_cmp(&off(b).abs()))?;
        let count = compared.len() as f64;
        let span_ms = (last.0 - first.0).max(1) as f64;
        Some(Replay {
            log: self.replayed.log.clone(),
            tank: self.replayed.scenario.tanks[self.replayed.tank].name.clone(),
            readings: compared.len() as u64,
            from_h: hours(first.0),
            to_h: hours(last.0),
            recorded: water(compared.iter().map(|one| one.1)),
            simulated: water(compared.iter().map(|one| one.2)),
            mean_difference_k: compared.iter().map(off).sum::<f64>() / count,
            largest_difference_k: off(largest).abs(),
            largest_at_h: hours(largest.0),
            recorded_heaters_w: mean_power_w(&self.replayed.heaters_w, last.0),
            simulated_heaters_w: self.energy_w_ms / span_ms,
        })
    }
}

fn water(temps_c: impl Iterator<Item = f64> + Clone) -> ReplayedWater {
    let count = temps_c.clone().count().max(1) as f64;
    ReplayedWater {
        lowest_c: temps_c.clone().fold(f64::INFINITY, f64::min),
        mean_c: temps_c.clone().sum::<f64>() / count,
        highest_c: temps_c.fold(f64::NEG_INFINITY, f64::max),
    }
}

/// Mean of a power that holds from each instant to the next.
fn mean_power_w(course: &[(Millis, f64)], end_ms: Millis) -> Option<f64> {
    let first_ms = course.first()?.0;
    let ends = course.iter().skip(1).map(|(at_ms, _)| *at_ms).chain([end_ms]);
    let energy_w_ms: f64 = course
        .iter()
        .zip(ends)
        .map(|((at_ms, power_w), end_ms)| power_w * (end_ms - at_ms) as f64)
        .sum();
    (end_ms > first_ms).then(|| energy_w_ms / (end_ms - first_ms) as f64)
}
