//! A log beside the model: the plant driven by the logged heaters, read as the log's probe reads.

use nalgebra::{DMatrix, DVector};
use rayon::prelude::*;
use tepid_output::records::FitParameterKind as Kind;
use tepid_scenarios::log_file::{HeaterLog, Log, LogRow};
use tepid_sim::ids::ContactId;
use tepid_sim::network::StepperSettings;
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{Contact, ContactKind, Role, Scenario, SunShine};
use tepid_sim::time::{HOUR, MINUTE, Millis, seconds};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

use super::heaters::LoggedHeaters;
use super::parameters;
use crate::recorded::{RecordedError, Stretch, lent, scenario_of};

/// First minutes of a stretch, to which the model is not held, ms: heater bodies and rock begin as warm as the water.
const SETTLING_MS: Millis = 15 * MINUTE;

/// A shorter stretch says too little, ms.
const SHORTEST_MS: Millis = HOUR;

/// Readings that a stretch has at least.
const FEWEST: usize = 6;

/// Values of every parameter, in the order of [`parameters::ALL`].
pub(super) type Values = [f64; 6];

/// A stretch of the log, ready to be simulated.
#[derive(Debug)]
struct Piece {
    scenario: Scenario,
    heaters: LoggedHeaters,
    switchings: Vec<Switching>,
    /// Readings (ms of the run, °C) that the model is held to.
    readings: Vec<(Millis, f64)>,
    /// Time zero of its run, ms of the log.
    zero_ms: Millis,
    end_ms: Millis,
}

/// Width of an even distribution over its standard deviation, √12. Exact to the digits.
const UNIFORM: f64 = 3.464_101_615_137_754_6;

/// A switching that the log saw between two looks.
#[derive(Debug, Clone, Copy)]
struct Switching {
    /// Half-way between them, ms of the run.
    at_ms: Millis,
    /// Change of the heaters' share, > 0.
    by_share: f64,
    /// Standard deviation of its true time, s.
    off_s: f64,
}

/// All of a log that the model can be held to.
#[derive(Debug)]
pub(super) struct Course {
    pieces: Vec<Piece>,
    tank: usize,
    /// Readings that were left out.
    pub settling: usize,
    /// What driving the plant by a log leaves out, for people.
    pub assumptions: Vec<String>,
}

impl Course {
    pub fn new(base: &Scenario, log: &Log, tank: usize) -> Result<Self, RecordedError> {
        let (driven, contact, assumptions) = driven_by_log(base, log);
        let rated_w: f64 = driven.heaters.iter().map(|heater| heater.power_w).sum();
        let mut pieces = Vec::new();
        let mut settling = 0;
        // Nobody knows what the heaters did in a pause of the log: the model starts afresh behind it.
        for rows in log.stretches() {
            let readings = rows.iter().filter(|row| row.water_c.is_some()).count();
            let Some(piece) = piece(&driven, log, rows, contact, rated_w)? else {
                settling += readings;
                continue;
            };
            settling += readings - piece.readings.len();
            pieces.push(piece);
        }
        Ok(Self {
            pieces,
            tank,
            settling,
            assumptions,
        })
    }

    /// What the unknown instants of switching do to the values, as a covariance: heat given a little sooner or later warms everything after it,
    /// and fades as a start does. `pull` turns changes of readings into changes of values; a start's derivatives stand in the columns of `jacobian`
    /// from `first_start` on; full power warms by `k_per_s`.
    pub fn switching_covariance(
        &self,
        pull: &DMatrix<f64>,
        jacobian: &DMatrix<f64>,
        first_start: usize,
        k_per_s: f64,
    ) -> DMatrix<f64> {
        let mut covariance = DMatrix::zeros(pull.nrows(), pull.nrows());
        let mut begin = 0;
        for (number, piece) in self.pieces.iter().enumerate() {
            let end = begin + piece.readings.len();
            let fading = jacobian.column(first_start + number);
            for switching in &piece.switchings {
                let after = begin + piece.readings.partition_point(|(at, _)| *at < switching.at_ms);
                if after == end || fading[after] <= 0.0 {
                    continue;
                }
                let kick_k = k_per_s * switching.by_share * switching.off_s / fading[after];
                let mut moved = DVector::zeros(pull.nrows());
                for reading in after..end {
                    moved += pull.column(reading) * (kick_k * fading[reading]);
                }
                covariance += &moved * moved.transpose();
            }
            begin = end;
        }
        covariance
    }

    /// Number of stretches, each with a start of its own.
    pub fn stretches(&self) -> usize {
        self.pieces.len()
    }

    /// First guess of each stretch's start, °C.
    pub fn starts_c(&self) -> Vec<f64> {
        self.pieces
            .iter()
            .map(|piece| piece.scenario.begins_at_c())
            .collect()
    }

    /// Readings of each stretch.
    pub fn lengths(&self) -> Vec<usize> {
        self.pieces.iter().map(|piece| piece.readings.len()).collect()
    }

    /// All readings: ms of the log, °C.
    pub fn readings(&self) -> Vec<(Millis, f64)> {
        let of = |piece: &Piece| {
            let zero_ms = piece.zero_ms;
            let readings = piece.readings.iter();
            readings
                .map(move |(at, temp_c)| (at + zero_ms, *temp_c))
                .collect::<Vec<_>>()
        };
        self.pieces.iter().flat_map(of).collect()
    }

    /// Mean room over the readings, °C.
    pub fn room_c(&self) -> f64 {
        let means = self.pieces.iter().map(|piece| {
            let course = &piece.scenario.room.temperature;
            let at = |(at, _): &(Millis, f64)| course.without_drift_c(*at, None);
            piece.readings.iter().map(at).sum::<f64>()
        });
        means.sum::<f64>() / self.lengths().iter().sum::<usize>().max(1) as f64
    }

    /// What the model reads with these values at all readings, stretch by stretch.
    pub fn model(&self, values: &Values, starts_c: &[f64]) -> Result<Vec<f64>, RunError> {
        let each: Result<Vec<Vec<f64>>, RunError> = self
            .pieces
            .par_iter()
            .zip(starts_c)
            .map(|(piece, start_c)| piece.model(values, *start_c, self.tank))
            .collect();
        Ok(each?.concat())
    }
}

impl Piece {
    fn model(&self, values: &Values, start_c: f64, tank: usize) -> Result<Vec<f64>, RunError> {
        let mut scenario = self.scenario.clone();
        let mut lag_s = 0.0;
        for (kind, value) in parameters::ALL.into_iter().zip(values) {
            parameters::apply(&mut scenario, kind, *value);
            if kind == Kind::ProbeLagS {
                lag_s = parameters::possible(kind, *value);
            }
        }
        scenario.start_c = Some(start_c);
        let mut reader = Reader {
            tank,
            lag_s,
            readings: &self.readings,
            read: Vec::with_capacity(self.readings.len()),
            last: None,
        };
        let request = RunRequest {
            end_ms: self.end_ms,
            stepper: StepperSettings {
                tick_ms: MINUTE,
                ..StepperSettings::default()
            },
            ..RunRequest::new(&scenario, &self.heaters, 0)
        };
        run(&request, Some(&mut reader))?;
        Ok(reader.finished())
    }
}

/// The scenario with all heaters behind one contact that nothing but the log moves.
fn driven_by_log(base: &Scenario, log: &Log) -> (Scenario, ContactId, Vec<String>) {
    let mut scenario = base.clone();
    let mut assumptions = Vec::new();
    let contact = ContactId(scenario.contacts.len());
    scenario.contacts.push(Contact {
        name: "as logged".to_owned(),
        kind: ContactKind::SolidState,
        in_box: None,
        role: Some(Role::Heat),
        life_closings: None,
        own_sensing: None,
    });
    for heater in &mut scenario.heaters {
        heater.chain = vec![contact];
    }
    rate_by_log(&mut scenario, log);
    if !scenario.heaters.is_empty() {
        if log.heater.is_none() {
            assumptions.push("the heaters were off all the time: the log has no column `heater`".to_owned());
        } else if scenario.heaters.len() > 1 {
            assumptions.push("all heaters were on and off together, as the log's one column says".to_owned());
        }
    }
    let idle = |chains: usize, what: &str| {
        (chains > 0).then(|| format!("{what} that a controller switches stood still"))
    };
    assumptions.extend(idle(scenario.fans.len(), "fans"));
    assumptions.extend(idle(scenario.chillers.len(), "chillers"));
    assumptions.extend(lent(base, log));
    if log.rows.iter().any(|row| row.room_c.is_some()) {
        scenario
            .suns
            .retain(|sun| !matches!(sun.shine, SunShine::Weather { .. }));
    }
    scenario.watches.clear();
    scenario.circuits.clear();
    scenario.backups.clear();
    scenario.lives.clear();
    scenario.livestock.oxygen = None;
    scenario.probes.clear();
    (scenario, contact, assumptions)
}

/// Where the log has watts, they are what the heaters draw, whatever they are rated.
pub(super) fn rate_by_log(scenario: &mut Scenario, log: &Log) {
    let logged_w = log.rows.iter().filter_map(|row| row.heater).fold(0.0, f64::max);
    let rated_w: f64 = scenario.heaters.iter().map(|heater| heater.power_w).sum();
    if log.heater == Some(HeaterLog::Watts) && logged_w > 0.0 && rated_w > 0.0 {
        for heater in &mut scenario.heaters {
            heater.power_w *= logged_w / rated_w;
        }
    }
}

fn piece(
    driven: &Scenario,
    log: &Log,
    rows: &[LogRow],
    contact: ContactId,
    rated_w: f64,
) -> Result<Option<Piece>, RecordedError> {
    // It begins with its first reading.
    let first = rows.iter().position(|row| row.water_c.is_some());
    let Some(stretch) = first.and_then(|first| Stretch::new(&rows[first..])) else {
        return Ok(None);
    };
    let start_ms = stretch.start_ms();
    let long_enough = stretch
        .rows
        .last()
        .is_some_and(|last| last.at_ms - stretch.zero_ms - start_ms >= SHORTEST_MS);
    let mut readings = stretch.course(|row| row.water_c);
    let begins_c = readings
        .iter()
        .take(3)
        .map(|(_, temp_c)| *temp_c)
        .collect::<Vec<_>>();
    readings.retain(|(at, _)| *at >= start_ms + SETTLING_MS);
    if readings.len() < FEWEST || !long_enough {
        return Ok(None);
    }
    let mut scenario = scenario_of(driven, log, &stretch)?;
    scenario.start_c = Some(begins_c.iter().sum::<f64>() / begins_c.len() as f64);
    let share = |logged: f64| match log.heater {
        Some(HeaterLog::Watts) if rated_w > 0.0 => (logged / rated_w).min(1.0),
        _ => logged.clamp(0.0, 1.0),
    };
    let mut shares = stretch.course(|row| row.heater.map(share));
    let switchings = match log.heater {
        Some(HeaterLog::States | HeaterLog::Watts) if log.is_regular() => {
            switched_half_way(&mut shares, log.interval_ms)
        }
        Some(HeaterLog::Share) => {
            since_the_row_before(&mut shares);
            Vec::new()
        }
        _ => Vec::new(),
    };
    Ok(Some(Piece {
        heaters: LoggedHeaters { contact, shares },
        switchings,
        readings,
        zero_ms: stretch.zero_ms,
        end_ms: stretch.end_ms(),
        scenario,
    }))
}

/// A logger that looks every so often sees a switching at its next look: half an interval late in the mean, and up to half an interval off either
/// way.
fn switched_half_way(shares: &mut [(Millis, f64)], interval_ms: Millis) -> Vec<Switching> {
    let mut switchings = Vec::new();
    for at in (1..shares.len()).rev() {
        let since_ms = shares[at].0 - shares[at - 1].0;
        let by_share = shares[at].1 - shares[at - 1].1;
        if by_share != 0.0 && since_ms <= 2 * interval_ms {
            shares[at].0 -= since_ms / 2;
            switchings.push(Switching {
                at_ms: shares[at].0,
                by_share: by_share.abs(),
                off_s: seconds(since_ms) / UNIFORM,
            });
        }
    }
    switchings
}

/// A mean is written at the end of what it is the mean of.
fn since_the_row_before(shares: &mut Vec<(Millis, f64)>) {
    for at in 1..shares.len() {
        shares[at - 1].1 = shares[at].1;
    }
    shares.pop();
}

/// Reads the water of a tank at given instants as a probe with a lag does.
struct Reader<'r> {
    tank: usize,
    lag_s: f64,
    readings: &'r [(Millis, f64)],
    read: Vec<f64>,
    /// Instant, water and probe, °C.
    last: Option<(Millis, f64, f64)>,
}

impl Reader<'_> {
    /// The probe after a time in which the water goes in a straight line.
    fn probe_c(&self, probe_c: f64, (from_c, to_c): (f64, f64), time_s: f64) -> f64 {
        if self.lag_s <= 0.0 {
            return to_c;
        }
        let behind_k = (to_c - from_c) / time_s * self.lag_s;
        to_c - behind_k + (probe_c - from_c + behind_k) * (-time_s / self.lag_s).exp()
    }

    fn finished(mut self) -> Vec<f64> {
        // A reading at the very end of the last tick.
        if let Some((_, _, probe_c)) = self.last {
            self.read.resize(self.readings.len(), probe_c);
        }
        self.read
    }
}

impl TraceSink for Reader<'_> {
    fn row(&mut self, row: &TraceRow<'_>) {
        let water_c = row.water_c[self.tank];
        let Some((last_ms, last_c, probe_c)) = self.last else {
            self.last = Some((row.at_ms, water_c, water_c));
            return;
        };
        while let Some((at, _)) = self.readings.get(self.read.len())
            && *at <= row.at_ms
        {
            let share = (at - last_ms) as f64 / (row.at_ms - last_ms) as f64;
            let at_c = last_c + (water_c - last_c) * share;
            let time_s = seconds(at - last_ms);
            let read_c = if time_s > 0.0 {
                self.probe_c(probe_c, (last_c, at_c), time_s)
            } else {
                probe_c
            };
            self.read.push(read_c);
        }
        let now_c = self.probe_c(probe_c, (last_c, water_c), seconds(row.at_ms - last_ms));
        self.last = Some((row.at_ms, water_c, now_c));
    }

    fn mark(&mut self, _: &Mark<'_>) {}
}
