//! What is left between model and readings, and how much the readings say because of it.

use tepid_sim::time::{Millis, hours};

use tepid_output::records::FitResiduals;
use tepid_scenarios::log_file::Log;

/// Pairs further apart than this many usual intervals are no neighbours.
const NEIGHBOURS: Millis = 3;

/// No more lags than this share of the readings are looked at: further ones are known too badly.
const LONGEST_LAG_FRAC: f64 = 0.1;

/// Residuals that resemble each other say less: their number over their integrated correlation, 1 + 2 Σ ρ(k) up to the first that is within what
/// chance alone makes, 2/√n.
/// Where a reading's error resembles the next one's, an interval that takes them for independent is too narrow by the root of this.
///
/// Source: variance of the mean of a stationary series, any text of time series (from memory).
fn worth(residuals_k: &[f64], correlation: impl Fn(usize) -> Option<f64>) -> f64 {
    let count = residuals_k.len() as f64;
    let longest = (count * LONGEST_LAG_FRAC) as usize;
    let mut integrated = 1.0;
    for lag in 1..=longest.max(1) {
        match correlation(lag) {
            Some(resembles) if resembles > 2.0 / count.sqrt() => integrated += 2.0 * resembles,
            _ => break,
        }
    }
    count / integrated
}

/// Figures of the residuals of readings at these instants.
pub(super) fn residuals(
    residuals_k: &[f64],
    readings: &[(Millis, f64)],
    log: &Log,
    fitted: usize,
) -> FitResiduals {
    let squares: f64 = residuals_k.iter().map(|off| off * off).sum();
    let freedom = (residuals_k.len() as f64 - fitted as f64).max(1.0);
    let correlation = |lag: usize| {
        let pairs = (lag..residuals_k.len()).filter(|at| {
            readings[*at].0 - readings[at - lag].0 <= NEIGHBOURS * log.interval_ms * lag as Millis
        });
        let (mut sum, mut count) = (0.0, 0.0);
        for at in pairs {
            sum += residuals_k[at] * residuals_k[at - lag];
            count += 1.0;
        }
        (count > 0.0 && squares > 0.0).then(|| sum / count / (squares / residuals_k.len() as f64))
    };
    let largest = residuals_k
        .iter()
        .zip(readings)
        .max_by(|(a, _), (b, _)| a.abs().total_cmp(&b.abs()));
    let largest_at_ms = largest.map_or(0, |(_, (at_ms, _))| *at_ms);
    FitResiduals {
        deviation_k: (squares / freedom).sqrt(),
        largest_k: largest.map_or(0.0, |(off, _)| off.abs()),
        largest_at_h: hours(largest_at_ms),
        largest_in_log: log.instant(largest_at_ms),
        largest_line: log.line_at(largest_at_ms),
        resemblance: correlation(1).unwrap_or(0.0),
        counts_as: worth(residuals_k, correlation),
    }
}
