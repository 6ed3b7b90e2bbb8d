//! Roots by halving: no start value, no slope, and the same bits everywhere.

/// Where a rising function passes zero between two ends, halved so many times; the nearer end if it lies outside.
pub(crate) fn rising_root(
    (mut low, mut high): (f64, f64),
    halvings: u32,
    rising: impl Fn(f64) -> f64,
) -> f64 {
    for _ in 0..halvings {
        let middle = 0.5 * (low + high);
        if rising(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
