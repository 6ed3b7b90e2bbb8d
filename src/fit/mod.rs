//! The tank identified from a log: the model, driven by the logged heaters in the logged room, is held to the logged water.
//!
//! Free parameters are found by Levenberg–Marquardt (a library's) over all readings; every stretch of the log without a long pause has a start
//! temperature of its own, fitted along. Intervals are Student's t from the curvature at the end, with the readings counted for as many as
//! their residuals allow (`residuals.rs`). What a log cannot tell is held where the scenario has it, and the answer says why; how far it may be off
//! there widens the intervals of the rest (`held.rs`).
//!
//! A log of temperatures alone knows only ratios: twice the power, twice the losses and twice the heat capacity make the same curve. So one of the three is an anchor: the
//! power where the log has watts, else the heat capacity, which the volume gives.

mod coarse;
mod course;
mod heaters;
mod held;
mod identifiable;
mod least_squares;
pub mod parameters;
mod pictured;
mod reservations;
mod residuals;
mod written;

use nalgebra::DMatrix;
use tepid_output::cautions;
use tepid_output::records::{
    FORMAT_VERSION, Fit, FitCorrelation, FitLeftOut, FitParameter, FitParameterKind as Kind, FitTank,
    RecordKind,
};
use tepid_output::wording::enumerated;
use tepid_scenarios::log_file::{HeaterLog, Log};
use tepid_sim::network::NetworkError;
use tepid_sim::scenario::Scenario;
use tepid_sim::still::StillPlant;
use tepid_sim::time::{MINUTE, Millis, hours, seconds};

use crate::measure::t_of;
use crate::recorded::{RecordedError, tank_of};
use course::{Course, Values, rate_by_log};
use held::{changes, moved, together};
use identifiable::give_way;
use least_squares::{Found, found, inverse_normal, position};
pub use pictured::pictured;
pub use written::{WrittenFrom, written};

/// A lag is looked for where readings are no further apart than this, ms.
const LAG_SEEN_MS: Millis = 2 * MINUTE;

/// And where the heaters were switched as often.
const LAG_SWITCHINGS: usize = 4;

/// A correlation from which on it is told in words.
const TOGETHER: f64 = 0.9;

/// What to fit to what.
#[derive(Debug, Clone, Copy)]
pub struct FitRequest<'a> {
    /// The tank as far as it is known.
    pub scenario: &'a Scenario,
    /// What was logged.
    pub log: &'a Log,
    /// The tank whose water the log holds; `None`: that of the probe to control by.
    pub tank: Option<&'a str>,
    /// Found whatever the log says of them, beside what is found anyway.
    pub free: &'a [Kind],
    /// Held at what the scenario says.
    pub hold: &'a [Kind],
}

/// Why nothing could be fitted.
#[derive(Debug, thiserror::Error)]
pub enum FitError {
    /// Log and scenario do not belong together.
    #[error(transparent)]
    Recorded(#[from] RecordedError),
    /// The scenario makes no network.
    #[error(transparent)]
    Network(#[from] NetworkError),
    /// A log is of one water.
    #[error(
        "{scenario} has several waters ({}), and what is fitted holds for a whole scenario: fit each in a scenario with its tanks, heaters and pumps alone",
        waters.join("; ")
    )]
    SeveralWaters {
        /// The scenario.
        scenario: String,
        /// Tanks of each.
        waters: Vec<String>,
    },
    /// Too little to go on.
    #[error(
        "{log}: {readings} reading(s) that the model can be held to, too few for {wanted} unknown(s): a stretch lasts an hour and has six readings at least, its first 15 minutes not counted"
    )]
    TooShort {
        /// The log.
        log: String,
        /// Readings.
        readings: usize,
        /// Unknowns.
        wanted: usize,
    },
    /// A parameter was asked for that nothing depends on.
    #[error("--free {name}: nothing in the log depends on it{}", because.map_or_else(String::new, |because| format!(": {because}")))]
    NoEffect {
        /// Which.
        name: &'static str,
        /// Why, in words.
        because: Option<&'static str>,
    },
    /// The model could not be run.
    #[error(
        "the model could not be run with the values on the way; is the scenario near the tank, and does each column hold what its name says?"
    )]
    Lost,
}

/// Fits.
///
/// # Errors
/// [`FitError`].
pub fn fit(request: &FitRequest<'_>) -> Result<Fit, FitError> {
    let (scenario, log) = (request.scenario, request.log);
    let tank = tank_of(scenario, request.tank)?;
    let waters = scenario.systems().map_err(|_| FitError::Lost)?;
    if !waters.is_empty() {
        return Err(FitError::SeveralWaters {
            scenario: scenario.name.clone(),
            waters: waters
                .iter()
                .map(|water| {
                    let tanks = water.scenario.tanks.iter();
                    enumerated(&tanks.map(|tank| tank.name.as_str()).collect::<Vec<_>>())
                })
                .collect(),
        });
    }
    let course = Course::new(scenario, log, tank)?;
    let readings = course.readings();
    let readings_c: Vec<f64> = readings.iter().map(|(_, temp_c)| *temp_c).collect();
    let values: Values = parameters::ALL.map(|kind| parameters::stated(kind, scenario));
    let mut held: Vec<(Kind, String)> = Vec::new();
    let heated = log
        .rows
        .iter()
        .any(|row| row.heater.is_some_and(|state| state > 0.0));
    if request.free.contains(&Kind::HeaterPowerFrac) && !heated {
        return Err(FitError::NoEffect {
            name: parameters::name(Kind::HeaterPowerFrac),
            because: Some(reservations::no_states(log).unwrap_or("the heaters were never on")),
        });
    }
    let mut free = candidates(request, &mut held);
    let mut begin = (values, course.starts_c());
    let (found, covariance, told) = loop {
        let unknowns = free.len() + course.stretches();
        if readings.len() <= unknowns + 2 {
            return Err(FitError::TooShort {
                log: log.name.clone(),
                readings: readings.len(),
                wanted: unknowns,
            });
        }
        let found = found(&course, &readings_c, &free, begin.0, begin.1.clone()).ok_or(FitError::Lost)?;
        let told = residuals::residuals(&found.residuals_k, &readings, log, unknowns);
        let inflated = readings.len() as f64 / told.counts_as;
        let as_found = with_values(scenario, log, &found.values);
        let k_per_s = full_power_k_per_s(&as_found)?;
        let covariance = inverse_normal(&found.jacobian).map(|inverse| {
            let pull = &inverse * found.jacobian.transpose();
            let switching = course.switching_covariance(&pull, &found.jacobian, free.len(), k_per_s);
            inverse * (told.deviation_k * told.deviation_k * inflated) + switching
        });
        match give_way(request, &free, &found, covariance.as_ref(), told.counts_as)? {
            Some((kind, why)) => {
                free.retain(|known| *known != kind);
                held.push((kind, why));
                // The others go on from where they are, the held one from what is stated.
                begin = (found.values, found.starts_c);
                begin.0[position(kind)] = values[position(kind)];
            }
            None => {
                let covariance = covariance.ok_or(FitError::Lost)?;
                break (found, covariance, told);
            }
        }
    };
    let half = t_of(told.counts_as - (free.len() + course.stretches()) as f64).ok_or_else(|| {
        FitError::TooShort {
            log: log.name.clone(),
            readings: told.counts_as as usize,
            wanted: free.len() + course.stretches(),
        }
    })?;
    let moved = moved(&course, (&free, request.hold), &found, &readings_c, scenario);
    let off = |at: usize| (half * covariance[(at, at)].max(0.0).sqrt()).hypot(together(&moved, at));
    let parameters = told_parameters(&free, &held, &values, &found, off);
    let correlations = correlations(&free, &covariance);
    // Heat that must have been seen is so by what is stated and by what was found.
    let stated = full_power_k_per_s(&with_values(scenario, log, &values))?;
    let k_per_s = full_power_k_per_s(&with_values(scenario, log, &found.values))?.min(stated);
    let reservations = reservations::reservations(&parameters, &told, log, scenario, k_per_s);
    let mut warnings = identifiable::of_residuals(&told, log);
    warnings.extend(hanging_together(&correlations));
    let span_ms = match (readings.first(), readings.last()) {
        (Some(first), Some(last)) => last.0 - first.0,
        _ => 0,
    };
    let mut assumptions = log.assumptions.clone();
    assumptions.extend(course.assumptions.iter().cloned());
    assumptions.extend(scenario.assumptions.iter().cloned());
    let mean_c = readings_c.iter().sum::<f64>() / readings_c.len() as f64;
    Ok(Fit {
        format: RecordKind::Fit,
        version: FORMAT_VERSION,
        log: log.name.clone(),
        scenario: scenario.name.clone(),
        title: scenario.title.clone(),
        tank: scenario.tanks[tank].name.clone(),
        span_h: hours(span_ms),
        stretches: course.stretches(),
        interval_s: seconds(log.interval_ms),
        readings: readings.len(),
        left_out: FitLeftOut {
            failed: log.left_out.failed,
            blank: log.left_out.blank,
            spikes: log.left_out.spikes,
            twice: log.left_out.twice,
            settling: course.settling,
            first_line: log.left_out.first_line,
        },
        tank_found: tank_found(scenario, log, &found.values, mean_c, course.room_c())?,
        parameters,
        correlations,
        residuals: told,
        changes: changes(&moved, &free, &found),
        reservations,
        warnings,
        assumptions,
        cautions: cautions::for_equipment(scenario),
    })
}

/// The scenario as fitted, to run.
#[must_use]
pub fn fitted(scenario: &Scenario, fit: &Fit) -> Scenario {
    let mut scenario = scenario.clone();
    for parameter in &fit.parameters {
        parameters::apply(&mut scenario, parameter.what, parameter.value);
    }
    scenario
}

/// What the model reads with the fitted values, at each of the log's readings that it was held to: ms of the log, °C.
///
/// # Errors
/// [`FitError`] if log and scenario do not belong together or the model cannot be run.
pub fn beside(request: &FitRequest<'_>, fit: &Fit) -> Result<Vec<Beside>, FitError> {
    let tank = tank_of(request.scenario, request.tank)?;
    let course = Course::new(request.scenario, request.log, tank)?;
    let readings = course.readings();
    let readings_c: Vec<f64> = readings.iter().map(|(_, temp_c)| *temp_c).collect();
    let mut values: Values = parameters::ALL.map(|kind| parameters::stated(kind, request.scenario));
    for parameter in &fit.parameters {
        values[position(parameter.what)] = parameter.value;
    }
    // With all values given, only the starts are left to find.
    let found = found(&course, &readings_c, &[], values, course.starts_c()).ok_or(FitError::Lost)?;
    let each = readings.iter().zip(&found.residuals_k);
    Ok(each
        .map(|((at_ms, read_c), off_k)| Beside {
            at_ms: *at_ms,
            read_c: *read_c,
            model_c: read_c + off_k,
        })
        .collect())
}

/// A reading and what the model says beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// ms of the log.
    pub at_ms: Millis,
    /// The log, °C.
    pub read_c: f64,
    /// The model, °C.
    pub model_c: f64,
}

/// What to look for at first; what is left out is in `held` with its reason.
fn candidates(request: &FitRequest<'_>, held: &mut Vec<(Kind, String)>) -> Vec<Kind> {
    let (scenario, log) = (request.scenario, request.log);
    let states: Vec<f64> = log.rows.iter().filter_map(|row| row.heater).collect();
    let switchings = states
        .windows(2)
        .filter(|pair| (pair[0] > 0.0) != (pair[1] > 0.0))
        .count();
    let heated = !scenario.heaters.is_empty() && states.iter().any(|state| *state > 0.0);
    let watts = log.heater == Some(HeaterLog::Watts) && heated;
    let coarse = coarse::too_coarse(log);
    let mut free = Vec::new();
    for kind in parameters::ALL {
        let why_not = match kind {
            Kind::LossesFrac => None,
            Kind::RoomOffsetK => None,
            Kind::HeaterPowerFrac if scenario.heaters.is_empty() => Some("the scenario has no heater"),
            Kind::HeaterPowerFrac if !heated => {
                Some(reservations::no_states(log).unwrap_or("the heaters were never on in the log"))
            }
            Kind::HeaterPowerFrac if watts => Some("the log has watts: they are the anchor"),
            Kind::HeaterPowerFrac => coarse.as_deref(),
            Kind::CapacityFrac if watts => coarse.as_deref(),
            Kind::CapacityFrac => Some("the volume is the anchor: a log without watts knows ratios alone"),
            Kind::PumpHeatFrac if scenario.pumps.is_empty() => Some("there is no pump"),
            Kind::PumpHeatFrac => Some("an offset of the room stands for all constant heat"),
            Kind::ProbeLagS if log.interval_ms > LAG_SEEN_MS => Some("readings are too far apart to see it"),
            Kind::ProbeLagS if switchings < LAG_SWITCHINGS => {
                Some(reservations::no_states(log).unwrap_or("the heaters switched too seldom to see it"))
            }
            Kind::ProbeLagS => None,
        };
        let asked = request.free.contains(&kind);
        let why_not = if request.hold.contains(&kind) {
            Some("as asked")
        } else {
            why_not.filter(|_| !asked)
        };
        match why_not {
            Some(why) => held.push((kind, why.to_owned())),
            None => free.push(kind),
        }
    }
    free
}

fn told_parameters(
    free: &[Kind],
    held: &[(Kind, String)],
    stated: &Values,
    found: &Found,
    off: impl Fn(usize) -> f64,
) -> Vec<FitParameter> {
    parameters::ALL
        .into_iter()
        .map(|kind| {
            let value = found.values[position(kind)];
            let at = free.iter().position(|known| *known == kind);
            FitParameter {
                what: kind,
                value,
                interval: at.map(|at| [parameters::possible(kind, value - off(at)), value + off(at)]),
                stated: stated[position(kind)],
                held: held
                    .iter()
                    .find(|(known, _)| *known == kind)
                    .map(|(_, why)| why.clone()),
            }
        })
        .collect()
}

fn correlations(free: &[Kind], covariance: &DMatrix<f64>) -> Vec<FitCorrelation> {
    let mut all = Vec::new();
    for (i, one) in free.iter().enumerate() {
        for (j, other) in free.iter().enumerate().skip(i + 1) {
            all.push(FitCorrelation {
                one: *one,
                other: *other,
                correlation: covariance[(i, j)] / (covariance[(i, i)] * covariance[(j, j)]).sqrt(),
            });
        }
    }
    all
}

fn hanging_together(correlations: &[FitCorrelation]) -> Vec<String> {
    let near = correlations.iter().filter(|one| one.correlation.abs() > TOGETHER);
    near.map(|pair| {
        format!(
            "{} and {} hang together ({:.2}): whoever knows one of them better, by a test of its own, can hold it (--hold {}) and knows the other better too.",
            identifiable::words(pair.one),
            identifiable::words(pair.other),
            pair.correlation,
            parameters::name(pair.other)
        )
    })
    .collect()
}

/// The scenario with values, and its heaters as strong as the log's watts say.
fn with_values(scenario: &Scenario, log: &Log, values: &Values) -> Scenario {
    let mut as_found = scenario.clone();
    rate_by_log(&mut as_found, log);
    for (kind, value) in parameters::ALL.into_iter().zip(values) {
        parameters::apply(&mut as_found, kind, *value);
    }
    as_found
}

/// How fast all heaters together warm a tank that loses nothing, K/s.
fn full_power_k_per_s(scenario: &Scenario) -> Result<f64, NetworkError> {
    let power_w = scenario.heaters.iter().map(|heater| heater.power_w).sum::<f64>();
    StillPlant::new(scenario).map(|still| power_w / still.heat_capacity_j_per_k())
}

fn tank_found(
    scenario: &Scenario,
    log: &Log,
    values: &Values,
    water_c: f64,
    room_c: f64,
) -> Result<FitTank, NetworkError> {
    let as_found = with_values(scenario, log, values);
    let room_c = room_c + values[position(Kind::RoomOffsetK)] - scenario.fitted.room_offset_k;
    let slope = |scenario: &Scenario| {
        let still = StillPlant::new(scenario)?;
        let air = still.air(room_c, still.room().relative_humidity_frac);
        Ok::<_, NetworkError>((still.slope_w_per_k(water_c, air), still.heat_capacity_j_per_k()))
    };
    let losses = {
        let still = StillPlant::new(&as_found)?;
        let air = still.air(room_c, still.room().relative_humidity_frac);
        still.losses(water_c, air)
    };
    let power_w = |scenario: &Scenario| scenario.heaters.iter().map(|heater| heater.power_w).sum();
    let (slope_w_per_k, heat_capacity_j_per_k) = slope(&as_found)?;
    let (stated_slope_w_per_k, _) = slope(scenario)?;
    Ok(FitTank {
        water_c,
        room_c,
        loss_w: losses.total_w(),
        slope_w_per_k,
        stated_slope_w_per_k,
        heat_capacity_j_per_k,
        heaters_w: power_w(&as_found),
        stated_heaters_w: power_w(scenario),
    })
}
