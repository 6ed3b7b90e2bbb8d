//! Which line was passed when a fault used up a dose.

use tepid_output::records::{Exceeded, FaultOutcome};
use tepid_sim::scenario::{DangerLine, Livestock};

/// The side on which the fault used up a dose first that would not have been; `None` if it used up none.
pub(super) fn exceeded(outcome: &FaultOutcome, livestock: &Livestock) -> Option<Exceeded> {
    let hot = outcome
        .hot_used_up_h
        .filter(|_| outcome.hot_used_up_without_fault_h.is_none());
    let cold = outcome
        .cold_used_up_h
        .filter(|_| outcome.cold_used_up_without_fault_h.is_none());
    let hot = hot.and_then(|h| on_side(true, h, &outcome.hot_reached_h, &livestock.danger_hot));
    let cold = cold.and_then(|h| on_side(false, h, &outcome.cold_reached_h, &livestock.danger_cold));
    hot.into_iter()
        .chain(cold)
        .reduce(|a, b| if b.used_up_h < a.used_up_h { b } else { a })
}

/// The severest line passed by then.
fn on_side(
    is_hot: bool,
    used_up_h: f64,
    reached_h: &[Option<f64>],
    lines: &[DangerLine],
) -> Option<Exceeded> {
    let mut passed = lines.iter().zip(reached_h).filter_map(|(line, after_h)| {
        let line_after_h = after_h.filter(|after_h| *after_h <= used_up_h)?;
        Some(Exceeded {
            is_hot,
            line_c: line.temp_c,
            line_after_h,
            used_up_h,
        })
    });
    passed.next_back()
}
