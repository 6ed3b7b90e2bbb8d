//! How sure a counted share is.
//!
//! Wilson's score interval, without continuity correction: E. B. Wilson, Journal of the American Statistical Association 22 (1927) 209–212 (from
//! memory); checked against scipy by `tests/verification/wilson_table.rs`.

use tepid_output::records::Chance;
use tepid_sim::noise::normal_quantile;

/// The standard normal deviate of a two-sided interval of that confidence, in (0, 1).
#[must_use]
pub fn deviate(level_frac: f64) -> f64 {
    normal_quantile(0.5 + 0.5 * level_frac)
}

/// `count` of `trials` ≥ 1, with its interval.
#[must_use]
pub fn wilson(count: u64, trials: u64, level_frac: f64) -> Chance {
    let (count, trials) = (count as f64, trials as f64);
    let z = deviate(level_frac);
    let share = count / trials;
    let spread = z * z / trials;
    let middle = (share + 0.5 * spread) / (1.0 + spread);
    let half = z / (1.0 + spread)
        * (share * (1.0 - share) / trials + 0.25 * spread / trials)
            .max(0.0)
            .sqrt();
    Chance {
        frac: share,
        // At the ends the two terms are equal but for rounding.
        low_frac: if count == 0.0 { 0.0 } else { middle - half },
        high_frac: if count == trials { 1.0 } else { middle + half },
    }
}
