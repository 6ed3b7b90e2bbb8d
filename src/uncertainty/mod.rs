//! How far a budget may be off: a scenario sampled over stated distributions of what is not known of it.
//!
//! Each sample draws every parameter from a stream of numbers of its own, named by seed and position, so a sample is the same bits alone, in
//! any order and on any number of threads.

mod apply;
pub(crate) mod draw;
mod rank_correlation;

use rayon::prelude::*;
use tepid_output::records::{
    Interval, RoomKind, UncertainHoursToLine, UncertainParameter, UncertainStuckOn, Uncertainty,
};
use tepid_scenarios::uncertainty::Uncertain;
use tepid_sim::network::NetworkError;
use tepid_sim::scenario::Scenario;
use tepid_sim::still::StillPlant;
use tepid_sim::time::{Millis, hours};

use crate::budget::{room_words, warmest};
use crate::exposure::HORIZON_MS;
use crate::rooms;
use crate::statistics::quantiles;
use rank_correlation::rank_correlation;

/// Samples unless asked otherwise: the ends of an interval of nine tenths then lie within one percentile of their own.
pub const DEFAULT_SAMPLES: u32 = 500;

/// Seed unless asked otherwise.
pub const DEFAULT_SEED: u64 = 7;

/// Settled where six hours change less than this, K: far below any interval.
const SETTLED_K: f64 = 1e-3;

/// What to sample.
#[derive(Debug, Clone, Copy)]
pub struct UncertaintyRequest<'a> {
    /// The scenario as stated.
    pub scenario: &'a Scenario,
    /// What is uncertain.
    pub uncertain: &'a [Uncertain],
    /// Samples, ≥ 1.
    pub samples: u32,
    /// Seed of the draws.
    pub seed: u64,
}

/// The samples could not be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum UncertaintyError {
    /// Numbers that make no distribution.
    #[error("the numbers of `{parameter}` make no distribution")]
    NoDistribution {
        /// The parameter.
        parameter: &'static str,
    },
    /// A sample that makes no network.
    #[error("sample {sample}: {cause}")]
    Network {
        /// Which sample, from 0.
        sample: u32,
        /// Why.
        cause: NetworkError,
    },
    /// The scenario as stated makes no network.
    #[error(transparent)]
    Stated(NetworkError),
    /// No sample was asked for.
    #[error("no sample is asked for")]
    NoSample,
}

/// What one sample comes to.
struct Figures {
    total_loss_w: f64,
    slope_w_per_k: f64,
    /// By room: where the water settles, °C, and when it passes each hot line.
    rooms: Vec<(Option<f64>, Vec<Option<Millis>>)>,
}

/// Samples the scenario.
///
/// # Errors
/// [`UncertaintyError`].
pub fn uncertainty(request: &UncertaintyRequest<'_>) -> Result<Uncertainty, UncertaintyError> {
    let UncertaintyRequest {
        scenario,
        uncertain,
        samples,
        seed,
    } = *request;
    if samples == 0 {
        return Err(UncertaintyError::NoSample);
    }
    let sampled: Vec<(Vec<f64>, Figures)> = (0..samples)
        .into_par_iter()
        .map(|sample| {
            let values = draw::values(uncertain, seed, sample)?;
            let changed = apply::all(scenario, uncertain, &values);
            let figures = figures(&changed).map_err(|cause| UncertaintyError::Network { sample, cause })?;
            Ok((values, figures))
        })
        .collect::<Result<_, _>>()?;
    let column = |of: &dyn Fn(&Figures) -> f64| -> Vec<f64> {
        sampled.iter().map(|(_, figures)| of(figures)).collect()
    };
    let losses_w = column(&|figures| figures.total_loss_w);
    let warmest_ends_c = column(&|figures| {
        figures
            .rooms
            .last()
            .and_then(|room| room.0)
            .unwrap_or(f64::INFINITY)
    });
    let mut parameters: Vec<UncertainParameter> = uncertain
        .iter()
        .enumerate()
        .filter(|(at, one)| {
            sampled
                .iter()
                .any(|(values, _)| apply::changes(scenario, one.parameter, values[*at]))
        })
        .map(|(at, one)| {
            let drawn: Vec<f64> = sampled.iter().map(|(values, _)| values[at]).collect();
            UncertainParameter {
                parameter: one.parameter.name().to_owned(),
                words: one.words.clone(),
                distribution: draw::words(one),
                source: one.source.clone(),
                rank_correlation_loss: rank_correlation(&drawn, &losses_w).unwrap_or(0.0),
                rank_correlation_warmest_end: rank_correlation(&drawn, &warmest_ends_c),
            }
        })
        .collect();
    parameters.sort_by(|a, b| {
        b.rank_correlation_loss
            .abs()
            .total_cmp(&a.rank_correlation_loss.abs())
    });
    let still = StillPlant::new(scenario).map_err(UncertaintyError::Stated)?;
    Ok(Uncertainty {
        samples,
        seed,
        parameters,
        total_loss_w: interval(losses_w),
        slope_w_per_k: interval(column(&|figures| figures.slope_w_per_k)),
        stuck_on: rooms::ROOMS
            .iter()
            .enumerate()
            .map(|(room, kind)| {
                stuck_on(
                    scenario,
                    (*kind, rooms::still_room(scenario, &still, *kind).0),
                    &sampled.iter().map(|(_, f)| &f.rooms[room]).collect::<Vec<_>>(),
                )
            })
            .collect(),
    })
}

fn interval(values: Vec<f64>) -> Interval {
    let [p05, p50, p95] = quantiles(values, [0.05, 0.5, 0.95]);
    Interval { p05, p50, p95 }
}

fn figures(scenario: &Scenario) -> Result<Figures, NetworkError> {
    let still = StillPlant::new(scenario)?;
    let target_c = scenario.water.target_c;
    let lines = &scenario.livestock.danger_hot;
    let all_on = vec![true; scenario.heaters.len()];
    let in_rooms = rooms::ROOMS
        .iter()
        .map(|kind| {
            let (room_c, humidity_frac) = rooms::still_room(scenario, &still, *kind);
            let mut passed_ms: Vec<Option<Millis>> = vec![None; lines.len()];
            let end = still.settle(
                still.air(room_c, humidity_frac),
                &all_on,
                SETTLED_K,
                |at_ms, waters_c| {
                    if at_ms <= HORIZON_MS {
                        let water_c = warmest(scenario, waters_c);
                        for (line, passed) in lines.iter().zip(&mut passed_ms) {
                            if passed.is_none() && water_c >= line.temp_c {
                                *passed = Some(at_ms);
                            }
                        }
                    }
                },
            );
            (end.map(|waters_c| warmest(scenario, &waters_c)), passed_ms)
        })
        .collect();
    let (room_c, humidity_frac) = rooms::still_room(scenario, &still, RoomKind::Scenario);
    let air = still.air(room_c, humidity_frac);
    Ok(Figures {
        total_loss_w: still.losses(target_c, air).total_w(),
        slope_w_per_k: still.slope_w_per_k(target_c, air),
        rooms: in_rooms,
    })
}

fn stuck_on(
    scenario: &Scenario,
    (kind, room_c): (RoomKind, f64),
    sampled: &[&(Option<f64>, Vec<Option<Millis>>)],
) -> UncertainStuckOn {
    let hours_to_lines = scenario
        .livestock
        .danger_hot
        .iter()
        .enumerate()
        .map(|(at, line)| {
            let after_h: Vec<f64> = sampled
                .iter()
                .map(|(_, passed)| passed[at].map_or(f64::INFINITY, hours))
                .collect();
            let reached = after_h.iter().filter(|after_h| after_h.is_finite()).count();
            UncertainHoursToLine {
                temp_c: line.temp_c,
                reached_frac: reached as f64 / after_h.len() as f64,
                after_h: interval(after_h),
            }
        });
    UncertainStuckOn {
        room: room_words(scenario, kind).to_owned(),
        room_c,
        hours_to_lines: hours_to_lines.collect(),
        end_c: interval(
            sampled
                .iter()
                .map(|(end, _)| end.unwrap_or(f64::INFINITY))
                .collect(),
        ),
    }
}
