//! A strategy in a recorded room: the log's room, humidity and events, the recorded water beside the simulated.
//!
//! The run begins with the recorded water at the log's first reading. Before the first midnight that is warm-up: simulated and compared, not scored.
//! In a gap of the log the room is taken in a straight line, and nothing is compared: neither water nor power.

mod changes;

use tepid_output::records::{Replay, ReplayGap, ReplayedWater};
use tepid_scenarios::log_file::{HeaterLog, Log, LogRow};
use tepid_sim::scenario::Scenario;
use tepid_sim::time::{HOUR, Millis, hours};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

pub use changes::ReplayChangesError;

use crate::recorded::{RecordedError, Stretch, lent, scenario_of, tank_of};

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
    /// The scenario in its own room.
    base: Scenario,
    tank: usize,
    readings: Vec<(Millis, f64)>,
    /// Mean power of the heaters where the log tells it, W.
    heaters_w: Option<f64>,
    /// Pauses of the log, from and to, ms of the run.
    gaps: Vec<(Millis, Millis)>,
    log: Log,
    zero_ms: Millis,
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
        let ends = log.stretches().filter_map(|rows| rows.first().zip(rows.last()));
        let ends: Vec<(Millis, Millis)> = ends
            .map(|(first, last)| (first.at_ms - stretch.zero_ms, last.at_ms - stretch.zero_ms))
            .collect();
        let gaps = ends.windows(2).map(|pair| (pair[0].1, pair[1].0));
        let mut scenario = scenario_of(base, log, &stretch)?;
        scenario.assumptions.extend(lent(base, log));
        Ok(Self {
            scenario,
            base: base.clone(),
            tank: tank_of(base, None)?,
            readings: stretch.course(|row| row.water_c),
            heaters_w: mean_power_w(log, &log.rows[first..], rated_w),
            gaps: gaps.filter(|(_, to_ms)| *to_ms > stretch.start_ms()).collect(),
            log: log.clone(),
            zero_ms: stretch.zero_ms,
        })
    }

    /// How much of a time of the run the log covers, ms.
    fn covered_ms(&self, from_ms: Millis, to_ms: Millis) -> Millis {
        let first = self.gaps.partition_point(|(_, end_ms)| *end_ms <= from_ms);
        let within = self.gaps[first..]
            .iter()
            .take_while(|(begin_ms, _)| *begin_ms < to_ms);
        let missing: Millis = within
            .map(|(begin_ms, end_ms)| to_ms.min(*end_ms) - from_ms.max(*begin_ms))
            .sum();
        to_ms - from_ms - missing
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
            covered_ms: 0,
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
    /// Where the log has no gap.
    energy_w_ms: f64,
    covered_ms: Millis,
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
        let covered_ms = self.replayed.covered_ms(last_ms, row.at_ms);
        self.energy_w_ms += last_w * covered_ms as f64;
        self.covered_ms += covered_ms;
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
        let gaps = &self.replayed.gaps;
        let longest = gaps.iter().max_by_key(|(from_ms, to_ms)| to_ms - from_ms);
        let log = &self.replayed.log;
        let in_log = |at_ms: Millis| log.instant(at_ms + self.replayed.zero_ms);
        Some(Replay {
            changes: Vec::new(),
            log: log.name.clone(),
            tank: self.replayed.scenario.tanks[self.replayed.tank].name.clone(),
            readings: compared.len() as u64,
            from_h: hours(first.0),
            to_h: hours(last.0),
            recorded: water(compared.iter().map(|one| one.1)),
            simulated: water(compared.iter().map(|one| one.2)),
            mean_difference_k: compared.iter().map(off).sum::<f64>() / count,
            largest_difference_k: off(largest).abs(),
            largest_at_h: hours(largest.0),
            largest_in_log: in_log(largest.0),
            largest_line: log.line_at(largest.0 + self.replayed.zero_ms),
            zero_in_log: in_log(0),
            gaps: gaps.len(),
            gaps_h: hours(gaps.iter().map(|(from_ms, to_ms)| to_ms - from_ms).sum()),
            longest_gap: longest.map(|(from_ms, to_ms)| ReplayGap {
                lasts_h: hours(to_ms - from_ms),
                begins_in_log: in_log(*from_ms),
            }),
            recorded_heaters_w: self.replayed.heaters_w,
            simulated_heaters_w: self.energy_w_ms / self.covered_ms.max(1) as f64,
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

/// Mean power of the heaters over the time in which the log tells it: a state holds to the next within a stretch, and nobody knows what it was in a
/// gap.
fn mean_power_w(log: &Log, rows: &[LogRow], rated_w: f64) -> Option<f64> {
    let (mut energy_w_ms, mut told_ms) = (0.0, 0);
    let from_ms = rows.first()?.at_ms;
    for stretch in log.stretches() {
        let mut known = None;
        for pair in stretch.windows(2).filter(|pair| pair[0].at_ms >= from_ms) {
            known = match log.heater? {
                // Written at the end of what it is the mean of.
                HeaterLog::Share => pair[1].heater,
                HeaterLog::States | HeaterLog::Watts => pair[0].heater.or(known),
            };
            let Some(logged) = known else { continue };
            let power_w = match log.heater? {
                HeaterLog::Watts => logged,
                HeaterLog::States | HeaterLog::Share => logged * rated_w,
            };
            let lasts_ms = pair[1].at_ms - pair[0].at_ms;
            energy_w_ms += power_w * lasts_ms as f64;
            told_ms += lasts_ms;
        }
    }
    (told_ms > 0).then(|| energy_w_ms / told_ms as f64)
}
