//! Chances in words.

use super::{MISSING, trimmed};
use crate::records::Chance;

/// A figure without needless decimals: "100000", "0.05", "8".
#[must_use]
pub fn figure(value: f64) -> String {
    if value.is_finite() {
        trimmed(value, if value.abs() < 1.0 { 4 } else { 2 })
    } else {
        MISSING.to_owned()
    }
}

/// A chance and its interval: "1 in 40 (30 to 55)"; without an event only the bound: "fewer than 1 in 26000".
#[must_use]
pub fn one_in(chance: &Chance) -> String {
    if !(chance.frac.is_finite() && chance.high_frac > 0.0) {
        return MISSING.to_owned();
    }
    if chance.frac == 0.0 {
        return format!("fewer than 1 in {}", rarity(chance.high_frac));
    }
    format!(
        "1 in {} ({} to {})",
        rarity(chance.frac),
        rarity(chance.high_frac),
        rarity(chance.low_frac)
    )
}

/// The N of "1 in N", two digits of it.
fn rarity(frac: f64) -> String {
    let number = 1.0 / frac;
    if number < 9.95 {
        return trimmed(number, 1);
    }
    let mut step = 1.0;
    while number / step >= 99.5 {
        step *= 10.0;
    }
    format!("{:.0}", (number / step).round() * step)
}

/// A difference of chances in years of ten thousand: "12 more in 10000 years (8 to 16)"; "no more" where the interval holds none.
#[must_use]
pub fn more_in_ten_thousand(more: &Chance) -> String {
    const YEARS: f64 = 10_000.0;
    if !more.frac.is_finite() {
        return MISSING.to_owned();
    }
    let told = |frac: f64| trimmed(frac * YEARS, if (frac * YEARS).abs() < 10.0 { 1 } else { 0 });
    let range = format!("({} to {})", told(more.low_frac), told(more.high_frac));
    if more.low_frac > 0.0 {
        format!("{} more in {YEARS:.0} years {range}", told(more.frac))
    } else {
        format!("no surer difference than {range} in {YEARS:.0} years")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chance(frac: f64, low_frac: f64, high_frac: f64) -> Chance {
        Chance {
            frac,
            low_frac,
            high_frac,
        }
    }

    #[test]
    fn a_chance_is_told_as_one_in_so_many() {
        assert_eq!(one_in(&chance(0.025, 0.0182, 0.0333)), "1 in 40 (30 to 55)");
        assert_eq!(one_in(&chance(0.5, 0.4, 0.6)), "1 in 2 (1.7 to 2.5)");
        assert_eq!(
            one_in(&chance(0.000_123, 0.000_1, 0.000_15)),
            "1 in 8100 (6700 to 10000)"
        );
    }

    #[test]
    fn without_an_event_only_the_bound_is_told() {
        assert_eq!(one_in(&chance(0.0, 0.0, 3.84e-5)), "fewer than 1 in 26000");
        assert_eq!(one_in(&chance(f64::NAN, 0.0, 0.0)), MISSING);
    }

    #[test]
    fn a_difference_whose_interval_holds_none_is_none() {
        assert_eq!(
            more_in_ten_thousand(&chance(0.0012, 0.0008, 0.0016)),
            "12 more in 10000 years (8 to 16)"
        );
        assert_eq!(
            more_in_ten_thousand(&chance(0.0002, -0.0001, 0.0005)),
            "no surer difference than (-1 to 5) in 10000 years"
        );
    }
}
