//! When a study knows enough.

use super::t_interval;

/// Runs before the first look: with fewer, a spread that happens to look small would end the study.
const FIRST_LOOK: u64 = 8;

/// Counts of replicates at which to look: 8, 16, 32 …, the last one the budget itself. Fixed beforehand, so that the result does not hang on who looks when.
pub fn looks(budget: u64) -> impl Iterator<Item = u64> {
    let next = move |look: &u64| (*look < budget).then(|| look.saturating_mul(2).min(budget));
    std::iter::successors((budget > 0).then(|| FIRST_LOOK.min(budget)), next)
}

/// Whether the mean is known to ± `half_width`, in the unit of the values, by the t interval. Values that are all alike are as narrow as can be: what happens once
/// in a hundred runs is not seen in eight.
#[must_use]
pub fn narrow_enough(values: &[f64], half_width: f64, confidence: f64) -> bool {
    t_interval(values, confidence).is_some_and(|[low, high]| 0.5 * (high - low) <= half_width)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn looks_double_up_to_the_budget() {
        assert_eq!(looks(100).collect::<Vec<_>>(), [8, 16, 32, 64, 100]);
        assert_eq!(looks(64).collect::<Vec<_>>(), [8, 16, 32, 64]);
        assert_eq!(looks(8).collect::<Vec<_>>(), [8]);
        assert_eq!(looks(3).collect::<Vec<_>>(), [3]);
        assert_eq!(looks(0).count(), 0);
        assert_eq!(looks(u64::MAX).last(), Some(u64::MAX));
    }

    #[test]
    fn one_run_is_never_enough_and_many_that_agree_are() {
        assert!(!narrow_enough(&[0.3], 100.0, 0.95));
        assert!(narrow_enough(&[0.3; 8], 0.0, 0.95));
        // By hand: deviation 1, t of 1 degree of freedom 12.706, over √2: ± 8.985.
        let two = [0.0, std::f64::consts::SQRT_2];
        assert!(narrow_enough(&two, 8.99, 0.95) && !narrow_enough(&two, 8.98, 0.95));
    }
}
