//! What a log cannot tell, in words.

use nalgebra::DMatrix;
use tepid_output::records::{FitParameterKind as Kind, FitResiduals};
use tepid_output::wording::Units;
use tepid_scenarios::log_file::Log;

use super::least_squares::Found;
use super::{FitError, FitRequest, parameters};
use crate::measure::t_of;

/// From this correlation on two values cannot be told apart.
const ONE_AND_THE_SAME: f64 = 0.995;

/// A column of derivatives this small, K per unit over all readings, is none.
const NO_EFFECT: f64 = 1e-9;

/// What is meant.
pub(super) fn words(kind: Kind) -> &'static str {
    match kind {
        Kind::LossesFrac => "losses",
        Kind::CapacityFrac => "heat capacity",
        Kind::HeaterPowerFrac => "the heaters' power",
        Kind::RoomOffsetK => "an offset of the room",
        Kind::PumpHeatFrac => "heat of the pumps",
        Kind::ProbeLagS => "the probe's lag",
    }
}

/// The parameter that must be held because the log cannot tell it, with the reason; `None` where all can stay.
pub(super) fn give_way(
    request: &FitRequest<'_>,
    free: &[Kind],
    found: &Found,
    covariance: Option<&DMatrix<f64>>,
    counts_as: f64,
) -> Result<Option<(Kind, String)>, FitError> {
    let asked = |kind: Kind| request.free.contains(&kind);
    let without_effect = free
        .iter()
        .enumerate()
        .find(|(at, _)| found.jacobian.column(*at).norm() < NO_EFFECT);
    if let Some((_, kind)) = without_effect {
        if asked(*kind) {
            return Err(FitError::NoEffect {
                name: parameters::name(*kind),
                because: None,
            });
        }
        return Ok(Some((
            *kind,
            format!("{} has no effect in this log", capital(words(*kind))),
        )));
    }
    let lesser = free
        .iter()
        .rev()
        .copied()
        .find(|kind| !asked(*kind) && *kind != Kind::LossesFrac);
    let Some(covariance) = covariance else {
        return match lesser {
            Some(kind) => Ok(Some((kind, apart(kind, Kind::LossesFrac, request.log)))),
            None => Err(FitError::Lost),
        };
    };
    // The least important first: what gives way for it may make the rest clear.
    for (at, kind) in free.iter().enumerate().rev() {
        if asked(*kind) || *kind == Kind::LossesFrac {
            continue;
        }
        let like = free[..at].iter().enumerate().find(|(other, _)| {
            let both = covariance[(at, at)] * covariance[(*other, *other)];
            (covariance[(at, *other)] / both.sqrt()).abs() > ONE_AND_THE_SAME
        });
        if let Some((_, other)) = like {
            return Ok(Some((*kind, apart(*kind, *other, request.log))));
        }
        let unknowns = (free.len() + found.starts_c.len()) as f64;
        let off =
            t_of(counts_as - unknowns).map_or(f64::INFINITY, |t| t * covariance[(at, at)].max(0.0).sqrt());
        if off > parameters::useless(*kind) {
            let held = format!(
                "{} would only be known to ± {}: it is held",
                capital(words(*kind)),
                amount(*kind, off)
            );
            return Ok(Some((*kind, format!("{held}. {}", reason(*kind, request.log)))));
        }
    }
    Ok(None)
}

/// Why one of two was held.
fn apart(held: Kind, other: Kind, log: &Log) -> String {
    format!(
        "{} and {} cannot be told apart in this log; {} is held. {}",
        capital(words(other)),
        words(held),
        words(held),
        reason(held, log)
    )
}

/// What the log lacks for it.
fn reason(kind: Kind, log: &Log) -> String {
    match kind {
        Kind::RoomOffsetK | Kind::PumpHeatFrac => {
            let range = |of: fn(&tepid_scenarios::log_file::LogRow) -> Option<f64>| {
                let values = log.rows.iter().filter_map(of);
                values.fold(None, |range: Option<(f64, f64)>, value| {
                    Some(range.map_or((value, value), |(low, high)| (low.min(value), high.max(value))))
                })
            };
            match (range(|row| row.room_c), range(|row| row.water_c)) {
                (Some((low, high)), Some((cold, warm))) => format!(
                    "The room went from {} and the water from {} in the log: a wider range of the difference would tell losses from constant heat.",
                    Units::Metric.range(low, high),
                    Units::Metric.range(cold, warm)
                ),
                _ => "Without a column of the room, losses and constant heat can only be told apart where the water changes widely.".to_owned(),
            }
        }
        Kind::CapacityFrac | Kind::HeaterPowerFrac => {
            "A log without watts knows only their ratio: state what is known better, volume or power."
                .to_owned()
        }
        Kind::ProbeLagS => {
            "It would show in the first minutes after the heaters switch, in readings every minute."
                .to_owned()
        }
        Kind::LossesFrac => String::new(),
    }
}

fn amount(kind: Kind, off: f64) -> String {
    match kind {
        Kind::RoomOffsetK => Units::Metric.difference(off),
        Kind::ProbeLagS => format!("{off:.0} s"),
        _ => format!("{:.0} %", 100.0 * off),
    }
}

fn capital(words: &str) -> String {
    let mut characters = words.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(characters).collect()
    })
}

/// What the residuals say of the model.
pub(super) fn of_residuals(told: &FitResiduals, log: &Log) -> Vec<String> {
    let mut warnings = Vec::new();
    let by_rounding = (0.3 * log.step_k).max(0.02);
    if told.resemblance > 0.8 && told.deviation_k > 2.0 * by_rounding {
        warnings.push(format!(
            "The residuals go in long waves of {}: the model leaves something out of this tank (sun, a draught, a cover that was moved), and the intervals can only partly say so.",
            Units::Metric.difference(told.deviation_k)
        ));
    }
    warnings
}
