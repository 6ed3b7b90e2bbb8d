//! Student's t.

use statrs::distribution::{ContinuousCDF, StudentsT};

use super::{mean, standard_deviation};

/// Interval of the mean by Student's t: `confidence` of such intervals, in (0, 1), hold the true mean of a normal distribution. Values that are all alike give a
/// point. `None` below two values, or where one is no number.
///
/// Source: "Student", Biometrika 6 (1908) 1–25; any textbook.
#[must_use]
pub fn t_interval(values: &[f64], confidence: f64) -> Option<[f64; 2]> {
    let (mean, error) = (mean(values)?, standard_error(values)?);
    let half = error * t_quantile(0.5 + 0.5 * confidence, values.len())?;
    Some([mean - half, mean + half])
}

/// How likely a mean at least this far from zero is where the true mean is zero, 0..=1; `None` below two values, or where one is no number.
pub(super) fn chance_of_zero(values: &[f64]) -> Option<f64> {
    let (mean, error) = (mean(values)?, standard_error(values)?);
    if error > 0.0 {
        Some(2.0 * student(values.len())?.cdf(-(mean / error).abs()))
    } else {
        Some(if mean == 0.0 { 1.0 } else { 0.0 })
    }
}

/// Standard deviation of the mean.
pub(super) fn standard_error(values: &[f64]) -> Option<f64> {
    Some(standard_deviation(values)? / (values.len() as f64).sqrt())
}

fn t_quantile(share: f64, count: usize) -> Option<f64> {
    (share > 0.0 && share < 1.0).then_some(student(count)?.inverse_cdf(share))
}

fn student(count: usize) -> Option<StudentsT> {
    StudentsT::new(0.0, 1.0, count as f64 - 1.0).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_that_are_alike_give_a_point() {
        assert_eq!(t_interval(&[0.3; 8], 0.95), Some([0.3, 0.3]));
        assert_eq!(chance_of_zero(&[0.3; 8]), Some(0.0));
        assert_eq!(chance_of_zero(&[0.0; 8]), Some(1.0));
    }

    #[test]
    fn one_value_says_nothing_about_others() {
        assert_eq!(t_interval(&[0.3], 0.95), None);
        assert_eq!(t_interval(&[0.3, f64::INFINITY], 0.95), None);
    }
}
