//! Ranks that the runs allow.

use super::difference::FEWEST_PAIRS;
use super::mean;
use super::student::chance_of_zero;

/// For each strategy 1 + how many others are shown to be better. `values` holds for each strategy its runs in the order of the replicates, `None` where one has no
/// value; a pair of strategies is compared over the replicates that both have.
///
/// Every pair is judged by the t test of the paired differences, and all pairs together by Holm's rule: where no two strategies differ, at least `confidence` of
/// studies tell no rank but 1. Source: S. Holm, Scandinavian Journal of Statistics 6 (1979) 65–70 (from memory).
///
/// `None` for a strategy that shares four replicates with no other.
#[must_use]
pub fn ranks<V: AsRef<[Option<f64>]>>(
    values: &[V],
    larger_is_worse: bool,
    confidence: f64,
) -> Vec<Option<u32>> {
    let mut pairs: Vec<Pair> = Vec::new();
    for (index, one) in values.iter().enumerate() {
        for (after, other) in values.iter().enumerate().skip(index + 1) {
            pairs.extend(Pair::of(
                (index, one.as_ref()),
                (after, other.as_ref()),
                larger_is_worse,
            ));
        }
    }
    let mut ranks: Vec<Option<u32>> = vec![None; values.len()];
    for pair in &pairs {
        ranks[pair.better] = Some(1);
        ranks[pair.worse] = Some(1);
    }
    pairs.sort_by(|a, b| a.chance.total_cmp(&b.chance));
    let count = pairs.len();
    let shown = pairs
        .iter()
        .enumerate()
        .take_while(|(before, pair)| pair.chance * (count - before) as f64 <= 1.0 - confidence);
    for (_, pair) in shown {
        if let Some(rank) = &mut ranks[pair.worse] {
            *rank += 1;
        }
    }
    ranks
}

/// Two strategies, by the mean of their differences.
struct Pair {
    better: usize,
    worse: usize,
    /// How likely so large a difference is between two that do not differ.
    chance: f64,
}

impl Pair {
    fn of(
        (index, one): (usize, &[Option<f64>]),
        (after, other): (usize, &[Option<f64>]),
        larger_is_worse: bool,
    ) -> Option<Self> {
        let both = one.iter().zip(other);
        let differences: Vec<f64> = both
            .filter_map(|(one, other)| Some((*one)? - (*other)?))
            .collect();
        if differences.len() < FEWEST_PAIRS {
            return None;
        }
        let one_is_worse = (mean(&differences)? > 0.0) == larger_is_worse;
        let (better, worse) = if one_is_worse {
            (after, index)
        } else {
            (index, after)
        };
        Some(Self {
            better,
            worse,
            chance: chance_of_zero(&differences)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strategy(values: &[f64]) -> Vec<Option<f64>> {
        values.iter().copied().map(Some).collect()
    }

    #[test]
    fn a_rank_counts_those_that_are_shown_to_be_better() {
        let low = strategy(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0]);
        let alike = strategy(&[1.1, 1.9, 3.1, 3.9, 5.1, 5.9, 7.1, 7.9]);
        let high = strategy(&[2.1, 3.0, 4.2, 5.0, 6.1, 7.0, 8.1, 9.0]);
        let values = [high, low, alike];
        assert_eq!(ranks(&values, true, 0.95), [Some(3), Some(1), Some(1)]);
        assert_eq!(ranks(&values, false, 0.95), [Some(1), Some(2), Some(2)]);
    }

    #[test]
    fn strategies_that_do_the_same_share_the_first_rank() {
        let same = strategy(&[1.0, 2.0, 3.0, 4.0]);
        assert_eq!(ranks(&[same.clone(), same], true, 0.95), [Some(1), Some(1)]);
    }

    #[test]
    fn a_steady_difference_in_four_runs_is_one_and_in_three_is_not_told() {
        let values = [strategy(&[1.0, 2.0, 3.0, 4.0]), strategy(&[1.5, 2.5, 3.5, 4.5])];
        assert_eq!(ranks(&values, true, 0.95), [Some(1), Some(2)]);
        let values = values.map(|values| values[..3].to_vec());
        assert_eq!(ranks(&values, true, 0.95), [None, None]);
    }

    #[test]
    fn what_shares_no_runs_has_no_rank() {
        let values = [
            strategy(&[1.0, 2.0, 4.0, 1.0]),
            strategy(&[1.0, 2.0, 3.0, 1.0]),
            vec![Some(1.0), None, None, None],
        ];
        assert_eq!(ranks(&values, true, 0.95), [Some(1), Some(1), None]);
        assert_eq!(ranks(&values[..1], true, 0.95), [None]);
    }

    /// p = 0.03 in one of three pairs: shown alone, not among three.
    #[test]
    fn among_many_pairs_a_difference_must_be_clearer() {
        // Differences 0.2, 1.0, 0.4, 1.6, 0.1, 1.2, −0.2, 1.3: mean 0.7, t = 3.0 of 7 degrees of freedom, p = 0.02.
        let noisy = strategy(&[0.2, 1.0, 0.4, 1.6, 0.1, 1.2, -0.2, 1.3]);
        let still = strategy(&[0.0; 8]);
        let wild = strategy(&[9.0, -9.0, 8.0, -8.0, 9.5, -9.5, 8.5, -8.5]);
        assert_eq!(
            ranks(&[noisy.clone(), still.clone()], true, 0.95),
            [Some(2), Some(1)]
        );
        assert_eq!(ranks(&[noisy, still, wild], true, 0.95), [Some(1); 3]);
    }
}
