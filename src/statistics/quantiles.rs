//! Quantiles of a sample.

/// Quantiles at shares 0..=1, by straight lines between the sorted values (the definition numbered 7 by Hyndman and Fan 1996, from memory).
/// Infinity stands for a value beyond what is followed; a quantile that touches one is `None`.
#[must_use]
pub fn quantiles<const N: usize>(mut values: Vec<f64>, shares: [f64; N]) -> [Option<f64>; N] {
    values.sort_by(f64::total_cmp);
    shares.map(|share| {
        let last = values.len().checked_sub(1)?;
        let place = share * last as f64;
        let below = place.floor() as usize;
        let above = (below + 1).min(last);
        let (low, high) = (*values.get(below)?, *values.get(above)?);
        let between = low + (high - low) * (place - place.floor());
        (low.is_finite() && high.is_finite()).then_some(between)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_lie_on_straight_lines_between_the_values() {
        assert_eq!(
            quantiles(vec![30.0, 10.0, 20.0], [0.0, 0.25, 0.5, 1.0]),
            [Some(10.0), Some(15.0), Some(20.0), Some(30.0)]
        );
    }

    #[test]
    fn a_quantile_beyond_what_is_followed_is_not_told() {
        let values = vec![1.0, f64::INFINITY, 2.0, f64::INFINITY];
        assert_eq!(
            quantiles(values, [0.0, 0.3, 0.5, 1.0]),
            [Some(1.0), Some(1.9), None, None]
        );
        assert_eq!(quantiles(Vec::new(), [0.5]), [None]);
    }
}
