//! Rank correlation of samples.

/// Spearman's rank correlation, −1..=1, ties sharing their mean rank; `None` where one side does not vary or a value is not finite.
pub(super) fn rank_correlation(a: &[f64], b: &[f64]) -> Option<f64> {
    if a.iter().chain(b).any(|value| !value.is_finite()) {
        return None;
    }
    let (a, b) = (ranks(a), ranks(b));
    let mean = (a.len() as f64 + 1.0) / 2.0;
    let product =
        |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| (a - mean) * (b - mean)).sum() };
    let scale = (product(&a, &a) * product(&b, &b)).sqrt();
    (scale > 0.0).then(|| product(&a, &b) / scale)
}

/// Ranks from 1 on.
fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut from = 0;
    while from < order.len() {
        let equal = order[from..]
            .iter()
            .take_while(|at| values[**at] == values[order[from]])
            .count();
        let shared = from as f64 + (equal as f64 + 1.0) / 2.0;
        for at in &order[from..from + equal] {
            ranks[*at] = shared;
        }
        from += equal;
    }
    ranks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranks_follow_any_rising_curve_and_turn_with_a_falling_one() {
        let a = [1.0, 2.0, 3.0, 4.0];
        assert_eq!(rank_correlation(&a, &a.map(|x: f64| x * x * x)), Some(1.0));
        assert_eq!(rank_correlation(&a, &a.map(|x| -x)), Some(-1.0));
    }

    #[test]
    fn a_textbook_table_has_its_rank_correlation() {
        // Worked by hand with 1 − 6 Σd²/(n (n² − 1)): ranks 1..5 against 2 1 4 3 5, Σd² = 4: 1 − 24/120 = 0.8.
        let found = rank_correlation(&[10.0, 20.0, 30.0, 40.0, 50.0], &[2.0, 1.0, 4.0, 3.0, 5.0]);
        assert!((found.unwrap_or(0.0) - 0.8).abs() < 1e-12, "{found:?}");
    }

    #[test]
    fn equal_values_share_their_rank_and_what_does_not_vary_has_none() {
        assert_eq!(ranks(&[5.0, 1.0, 5.0]), [2.5, 1.0, 2.5]);
        assert_eq!(rank_correlation(&[1.0, 2.0], &[3.0, 3.0]), None);
    }
}
