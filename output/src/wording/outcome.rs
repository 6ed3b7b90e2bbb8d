//! One fault's outcome in words.

use super::{MISSING, Units, dose, duration, hours, or_missing};
use crate::records::{DangerLine, FaultOutcome, Livestock};

/// What became of the water, in one phrase: "passes 30 °C after 3.1 h, dose used up after 9 h, peak 33.1 °C", or "passes
/// 28.5 °C not within 72 h at a room of up to 21 °C (peak 27.9 °C)".
#[must_use]
pub fn outcome(outcome: &FaultOutcome, livestock: &Livestock, units: Units) -> String {
    if let Some(failure) = &outcome.failure {
        return format!("run failed: {failure}");
    }
    let hot = Side {
        passes: "passes",
        extreme: "peak",
        lines: &livestock.danger_hot,
        reached_h: &outcome.hot_reached_h,
        used: outcome.hot_dose,
        used_up_h: outcome.hot_used_up_h,
        extreme_c: outcome.peak_c,
    };
    let cold = Side {
        passes: "falls below",
        extreme: "lowest",
        lines: &livestock.danger_cold,
        reached_h: &outcome.cold_reached_h,
        used: outcome.cold_dose,
        used_up_h: outcome.cold_used_up_h,
        extreme_c: outcome.lowest_c,
    };
    let reached: Vec<String> = [&hot, &cold]
        .into_iter()
        .filter_map(|side| side.text(outcome, units))
        .collect();
    if !reached.is_empty() {
        return reached.join("; ");
    }
    if hot.extreme_c.is_none() && cold.extreme_c.is_none() {
        return MISSING.to_owned();
    }
    let (side, room) = if leans_cold(outcome, livestock) {
        (
            &cold,
            format!("at a room down to {}", units.line(outcome.room_lowest_c)),
        )
    } else {
        (
            &hot,
            format!("at a room of up to {}", units.line(outcome.room_highest_c)),
        )
    };
    let line = side.lines.first().map_or_else(
        || "no line stated".to_owned(),
        |line| {
            format!(
                "{} {} not within {}",
                side.passes,
                units.line(line.temp_c),
                hours(outcome.horizon_h)
            )
        },
    );
    format!("{line} {room} ({})", side.extreme_text(units))
}

/// The temperatures of the room over which an outcome holds.
#[must_use]
pub fn room_range(outcome: &FaultOutcome, units: Units) -> String {
    units.range(outcome.room_lowest_c, outcome.room_highest_c)
}

/// Whether the water came closer to the mildest cold line than to the mildest hot one.
fn leans_cold(outcome: &FaultOutcome, livestock: &Livestock) -> bool {
    let (Some(peak_c), Some(lowest_c)) = (outcome.peak_c, outcome.lowest_c) else {
        return outcome.peak_c.is_none();
    };
    match (livestock.danger_hot.first(), livestock.danger_cold.first()) {
        (Some(hot), Some(cold)) => lowest_c - cold.temp_c < hot.temp_c - peak_c,
        (hot, cold) => hot.is_none() && cold.is_some(),
    }
}

struct Side<'a> {
    passes: &'static str,
    extreme: &'static str,
    lines: &'a [DangerLine],
    reached_h: &'a [Option<f64>],
    used: Option<f64>,
    used_up_h: Option<f64>,
    extreme_c: Option<f64>,
}

impl Side<'_> {
    fn extreme_text(&self, units: Units) -> String {
        format!(
            "{} {}",
            self.extreme,
            or_missing(self.extreme_c, |temp_c| units.temperature(temp_c))
        )
    }

    /// `None` if no line of this side was reached.
    fn text(&self, outcome: &FaultOutcome, units: Units) -> Option<String> {
        let (line, after_h) = self
            .lines
            .iter()
            .zip(self.reached_h)
            .find_map(|(line, after_h)| Some((line, (*after_h)?)))?;
        let passed = format!(
            "{} {} after {}",
            self.passes,
            units.line(line.temp_c),
            duration(after_h)
        );
        let used = match (self.used_up_h, self.used) {
            (Some(used_up_h), _) => format!("dose used up after {}", duration(used_up_h)),
            (None, Some(used)) => format!("dose {} in {}", dose(used), hours(outcome.horizon_h)),
            (None, None) => format!("dose {MISSING}"),
        };
        Some(format!("{passed}, {used}, {}", self.extreme_text(units)))
    }
}
