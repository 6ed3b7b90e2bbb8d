//! Values of uncertain parameters, and their distributions in words.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution as _, LogNormal, Normal, Triangular, Uniform};
use tepid_scenarios::uncertainty::{Distribution, Uncertain};

use super::UncertaintyError;

/// The values of one sample, in the order of the parameters.
pub(super) fn values(uncertain: &[Uncertain], seed: u64, sample: u32) -> Result<Vec<f64>, UncertaintyError> {
    let mut numbers = ChaCha8Rng::seed_from_u64(seed);
    numbers.set_stream(u64::from(sample));
    uncertain
        .iter()
        .map(|one| {
            value(one.distribution, &mut numbers).ok_or(UncertaintyError::NoDistribution {
                parameter: one.parameter.name(),
            })
        })
        .collect()
}

/// One value; `None`: the numbers make no distribution.
pub(crate) fn value(distribution: Distribution, numbers: &mut ChaCha8Rng) -> Option<f64> {
    match distribution {
        Distribution::Uniform { low, high } => Some(Uniform::new(low, high).ok()?.sample(numbers)),
        Distribution::Normal { mean, spread } => Some(Normal::new(mean, spread).ok()?.sample(numbers)),
        Distribution::Triangular { low, likely, high } => {
            Some(Triangular::new(low, high, likely).ok()?.sample(numbers))
        }
        Distribution::LogNormal { median, spread } if median > 0.0 => {
            Some(LogNormal::new(median.ln(), spread).ok()?.sample(numbers))
        }
        _ => None,
    }
}

/// A distribution in words, with its unit: "triangular 0.8 to 1.7, likeliest 1 (factor)".
pub(super) fn words(one: &Uncertain) -> String {
    let unit = one.parameter.unit();
    match one.distribution {
        Distribution::Uniform { low, high } => format!("uniform {low} to {high} ({unit})"),
        Distribution::Normal { mean, spread } => format!("normal {mean} ± {spread} ({unit})"),
        Distribution::Triangular { low, likely, high } => {
            format!("triangular {low} to {high}, likeliest {likely} ({unit})")
        }
        Distribution::LogNormal { median, spread } => {
            format!("lognormal {median}, spread {spread} of the logarithm ({unit})")
        }
        _ => "a further distribution".to_owned(),
    }
}
