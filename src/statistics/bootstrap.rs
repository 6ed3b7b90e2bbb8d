//! The mean's interval without the assumption of a normal distribution.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::{mean, standard_deviation};

/// Resamples. One less than a round number, so that the usual shares fall on one of them: of 1999 the 50th and the 1950th for 95 %.
const RESAMPLES: usize = 1999;

/// Resamples of the largest samples.
const LEAST_RESAMPLES: usize = 999;

/// Draws beyond which fewer resamples are made: a tenth of a second.
const MOST_DRAWS: usize = 20_000_000;

/// A resample whose variance is below this share of the sample's holds one value only, but for rounding.
const NO_VARIANCE_FRAC: f64 = 1e-12;

/// Interval of the mean by the studentised bootstrap ("bootstrap-t"): resamples, drawn from the values with replacement, say how far (mean of the
/// resample − mean)/(its standard error) spreads, and the interval is laid out with that spread in place of Student's. It follows skewed values, where a
/// t interval does not, and is as good with few runs.
///
/// 1999 resamples, from a stream of numbers that `seed` alone names; above 10 000 values fewer, never below 999. Values that are all alike give a
/// point. `None` below two values, where one is no number, or where an end cannot be told: with three values or fewer at 95 %, or where so many are
/// alike that resamples without any spread are too frequent.
///
/// Source: B. Efron, "Nonparametric standard errors and confidence intervals", Canadian Journal of Statistics 9 (1981) 139–172; order of its error: P. Hall,
/// Annals of Statistics 16 (1988) 927–953; B. Efron and R. Tibshirani, An Introduction to the Bootstrap (1993), 12.5 (all from memory).
#[must_use]
pub fn bootstrap_interval(values: &[f64], confidence: f64, seed: u64) -> Option<[f64; 2]> {
    ends(values, confidence, seed).filter(|ends| ends.iter().all(|end| end.is_finite()))
}

/// The same, with an end that cannot be told at infinity.
pub(super) fn ends(values: &[f64], confidence: f64, seed: u64) -> Option<[f64; 2]> {
    let (mean, deviation) = (mean(values)?, standard_deviation(values)?);
    if deviation == 0.0 {
        return Some([mean, mean]);
    }
    let error = deviation / (values.len() as f64).sqrt();
    let mut spread = studentised(values, mean, deviation, seed);
    spread.sort_by(f64::total_cmp);
    let beyond = ((spread.len() + 1) as f64 * 0.5 * (1.0 - confidence)).floor() as usize;
    let beyond = beyond.clamp(1, spread.len().div_ceil(2));
    let (low, high) = (spread.get(beyond - 1)?, spread.get(spread.len() - beyond)?);
    Some([mean - high * error, mean - low * error])
}

/// (Mean of a resample − mean)/(standard error of the resample), of all resamples.
fn studentised(values: &[f64], mean: f64, deviation: f64, seed: u64) -> Vec<f64> {
    let scaled: Vec<f64> = values.iter().map(|value| (value - mean) / deviation).collect();
    let count = scaled.len();
    let mut numbers = ChaCha8Rng::seed_from_u64(seed);
    let resamples = (MOST_DRAWS / count).clamp(LEAST_RESAMPLES, RESAMPLES);
    let resample = |_| {
        let (mut sum, mut squares) = (0.0, 0.0);
        for _ in 0..count {
            // The product's upper half: a whole number below `count`, each as likely but for one part in four thousand million.
            let at = (u64::from(numbers.next_u32()) * count as u64) >> 32;
            let value = scaled[at as usize];
            sum += value;
            squares += value * value;
        }
        let count = count as f64;
        let variance = (squares - sum * sum / count) / (count - 1.0);
        if variance > NO_VARIANCE_FRAC {
            sum / (variance * count).sqrt()
        } else {
            f64::INFINITY.copysign(sum)
        }
    };
    (0..resamples).map(resample).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SKEWED: [f64; 8] = [0.1, 0.2, 0.2, 0.4, 0.5, 0.9, 1.6, 4.0];

    #[test]
    fn the_seed_alone_names_the_resamples() {
        assert_eq!(
            bootstrap_interval(&SKEWED, 0.95, 7),
            bootstrap_interval(&SKEWED, 0.95, 7)
        );
        assert_ne!(
            bootstrap_interval(&SKEWED, 0.95, 7),
            bootstrap_interval(&SKEWED, 0.95, 8)
        );
    }

    #[test]
    fn an_interval_reaches_farther_to_the_side_of_the_long_tail() {
        let middle = mean(&SKEWED).unwrap();
        let [low, high] = bootstrap_interval(&SKEWED, 0.95, 7).unwrap();
        assert!(high - middle > 2.0 * (middle - low), "{low} {middle} {high}");
    }

    #[test]
    fn another_unit_gives_the_same_interval_in_it() {
        let [low, high] = bootstrap_interval(&SKEWED, 0.9, 7).unwrap();
        let [low_f, high_f] = bootstrap_interval(&SKEWED.map(|c| c * 2.0 + 32.0), 0.9, 7).unwrap();
        assert!((low_f - (low * 2.0 + 32.0)).abs() < 1e-12 && (high_f - (high * 2.0 + 32.0)).abs() < 1e-12);
    }

    #[test]
    fn values_that_are_alike_give_a_point() {
        assert_eq!(bootstrap_interval(&[0.3; 8], 0.95, 7), Some([0.3, 0.3]));
    }

    /// A third of the resamples hold no fault at all: nothing bounds what the one that was seen stands for.
    #[test]
    fn one_odd_run_among_eight_leaves_an_end_open() {
        let one_odd = [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 5.0];
        assert_eq!(bootstrap_interval(&one_odd, 0.95, 7), None);
        assert_eq!(ends(&one_odd, 0.95, 7).unwrap()[1], f64::INFINITY);
    }

    #[test]
    fn three_runs_are_too_few_and_four_are_not() {
        assert_eq!(bootstrap_interval(&[1.0, 2.0, 4.0], 0.95, 7), None);
        assert!(bootstrap_interval(&[1.0, 2.0, 4.0, 5.0], 0.95, 7).is_some());
        assert_eq!(bootstrap_interval(&[1.0], 0.95, 7), None);
    }
}
