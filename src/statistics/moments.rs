//! Mean and spread of a sample.

/// Mean; `None` of no values, or where it is no number.
#[must_use]
pub fn mean(values: &[f64]) -> Option<f64> {
    let count = values.len() as f64;
    let first = values.iter().sum::<f64>() / count;
    // What rounding took from the sum: nothing where the values are small, much where they are large beside their spread.
    let left = values.iter().map(|value| value - first).sum::<f64>() / count;
    Some(first + left).filter(|mean| mean.is_finite())
}

/// Standard deviation of what the values were drawn from, with n − 1; `None` below two values, or where it is no number.
/// In two passes with the correction of Chan, Golub and LeVeque 1983 (equation 1.7, from memory). Values alike to the bit have none at all.
#[must_use]
pub fn standard_deviation(values: &[f64]) -> Option<f64> {
    let [first, .., _] = values else {
        return None;
    };
    if values.iter().all(|value| value == first) {
        return first.is_finite().then_some(0.0);
    }
    let mean = mean(values)?;
    let count = values.len() as f64;
    let (mut squares, mut rest) = (0.0, 0.0);
    for value in values {
        squares += (value - mean) * (value - mean);
        rest += value - mean;
    }
    let variance = (squares - rest * rest / count) / (count - 1.0);
    Some(variance.max(0.0).sqrt()).filter(|deviation| deviation.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_spread_of_large_values_is_not_lost() {
        let far = [1e9 + 4.0, 1e9 + 7.0, 1e9 + 13.0, 1e9 + 16.0];
        // By hand: mean 10, squares 36 + 9 + 9 + 36 = 90, 90 / 3 = 30.
        assert_eq!(mean(&far), Some(1e9 + 10.0));
        assert_eq!(standard_deviation(&far), Some(30_f64.sqrt()));
    }

    #[test]
    fn values_that_are_alike_have_no_spread_at_all() {
        assert_eq!(standard_deviation(&[0.1; 7]), Some(0.0));
    }

    #[test]
    fn one_value_has_no_spread_and_none_has_no_mean() {
        assert_eq!(standard_deviation(&[3.0]), None);
        assert_eq!(mean(&[]), None);
    }

    #[test]
    fn what_is_no_number_has_neither() {
        assert_eq!(mean(&[1.0, f64::INFINITY]), None);
        assert_eq!(standard_deviation(&[f64::INFINITY; 2]), None);
        assert_eq!(standard_deviation(&[1.0, f64::NAN]), None);
    }
}
