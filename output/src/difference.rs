//! Which differences mean something: figures nearer than these are alike, and nobody is named over another for one.

/// Figures this near are alike, as a share of the larger.
const MEANS_FRAC: f64 = 0.05;

/// Times this near are alike however short they are, h.
const MEANS_H: f64 = 0.5;

/// Whether two figures differ by more than a twentieth and by more than `least`.
pub(crate) fn differs(a: f64, b: f64, least: f64) -> bool {
    if !a.is_finite() || !b.is_finite() {
        return a.total_cmp(&b).is_ne();
    }
    (a - b).abs() > (a.abs().max(b.abs()) * MEANS_FRAC).max(least)
}

/// Whether two lengths of time, h, differ by more than a twentieth and by more than half an hour.
pub(crate) fn hours_differ(a_h: f64, b_h: f64) -> bool {
    differs(a_h, b_h, MEANS_H)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn six_minutes_of_seven_hours_are_no_difference() {
        assert!(!hours_differ(7.3, 7.4));
        assert!(hours_differ(7.3, 8.0));
        assert!(!hours_differ(1.0, 1.4), "less than half an hour");
        assert!(!hours_differ(60.0, 62.0), "less than a twentieth");
    }

    #[test]
    fn nothing_known_differs_from_what_is_known_and_not_from_itself() {
        assert!(differs(f64::INFINITY, 3.0, 1.0));
        assert!(!differs(f64::INFINITY, f64::INFINITY, 1.0));
    }
}
