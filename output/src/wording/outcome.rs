//! What a fault does, in words; the figures of several strategies that fare alike as ranges.

use super::{MISSING, Units, dose, duration, hours, spanned};
use crate::records::{DangerLine, FaultOutcome, Livestock};

/// Temperatures this near count as alike, K.
const ALIKE_K: f64 = 0.5;

/// Times this near count as alike, as a share of the longer one.
const ALIKE_TIME_FRAC: f64 = 0.15;

/// Times this near count as alike however short they are, h.
const ALIKE_TIME_H: f64 = 0.5;

/// What became of the water, in one phrase: "passes 30 °C after 3.1 h, dose used up after 9 h, peak 33.1 °C", or "reaches
/// no line within 72 h in a room of up to 21 °C (peak 27.9 °C)".
#[must_use]
pub fn outcome(outcome: &FaultOutcome, livestock: &Livestock, units: Units) -> String {
    if reaches_no_line(outcome) {
        let room = if leans_cold(outcome, livestock) {
            format!("down to {}", units.line(outcome.room_lowest_c))
        } else {
            format!("of up to {}", units.line(outcome.room_highest_c))
        };
        return format!(
            "reaches no line within {} in a room {room} ({})",
            hours(outcome.horizon_h),
            extreme(&[outcome], livestock, units)
        );
    }
    outcomes(&[outcome], livestock, units)
}

/// What became of the water under the same fault, for several that are alike.
#[must_use]
pub fn outcomes(outcomes: &[&FaultOutcome], livestock: &Livestock, units: Units) -> String {
    let Some(first) = outcomes.first() else {
        return MISSING.to_owned();
    };
    if let Some(failure) = &first.failure {
        return format!("run failed: {failure}");
    }
    if first.peak_c.is_none() && first.lowest_c.is_none() {
        return MISSING.to_owned();
    }
    let told: Vec<String> = Side::BOTH
        .into_iter()
        .filter_map(|side| passing(side, outcomes, livestock, units))
        .collect();
    if told.is_empty() {
        format!(
            "reaches no line within {}, {}",
            hours(first.horizon_h),
            extreme(outcomes, livestock, units)
        )
    } else {
        told.join("; ")
    }
}

/// The temperature nearest to a line: "peak 26.4 to 26.6 °C".
pub(crate) fn extreme(outcomes: &[&FaultOutcome], livestock: &Livestock, units: Units) -> String {
    let cold = outcomes
        .first()
        .is_some_and(|outcome| leans_cold(outcome, livestock));
    let side = if cold { Side::Cold } else { Side::Hot };
    extreme_of(side, outcomes, units)
}

/// Whether no line of the danger table was reached.
pub(crate) fn reaches_no_line(outcome: &FaultOutcome) -> bool {
    outcome.failure.is_none()
        && (outcome.peak_c.is_some() || outcome.lowest_c.is_some())
        && outcome.hours_to_first_line().is_none()
}

/// Whether one phrase may tell both: the same lines passed, nearly the same times and temperatures.
pub(crate) fn alike(a: &FaultOutcome, b: &FaultOutcome, livestock: &Livestock) -> bool {
    let both = |a: Option<f64>, b: Option<f64>, near: fn(f64, f64) -> bool| match (a, b) {
        (Some(a), Some(b)) => near(a, b),
        (a, b) => a.is_none() && b.is_none(),
    };
    let near_c = |a_c: f64, b_c: f64| (a_c - b_c).abs() <= ALIKE_K;
    a.failure == b.failure
        && reaches_no_line(a) == reaches_no_line(b)
        && Side::BOTH.into_iter().all(|side| {
            let (of_a, of_b) = (Course::of(side, a, livestock), Course::of(side, b, livestock));
            of_a.already == of_b.already
                && of_a.next.map(|(line, _)| line) == of_b.next.map(|(line, _)| line)
                && both(of_a.next.map(|(_, h)| h), of_b.next.map(|(_, h)| h), near_h)
                && (of_a.is_untouched() || both(side.extreme_c(a), side.extreme_c(b), near_c))
                && both(side.used_up_h(a), side.used_up_h(b), near_h)
        })
}

/// Whether two times, h, are nearly the same.
pub(crate) fn near_h(a_h: f64, b_h: f64) -> bool {
    (a_h - b_h).abs() <= (a_h.abs().max(b_h.abs()) * ALIKE_TIME_FRAC).max(ALIKE_TIME_H)
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

/// The two ways to go wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Hot,
    Cold,
}

impl Side {
    const BOTH: [Self; 2] = [Self::Hot, Self::Cold];

    fn lines(self, livestock: &Livestock) -> &[DangerLine] {
        match self {
            Self::Hot => &livestock.danger_hot,
            Self::Cold => &livestock.danger_cold,
        }
    }

    fn reached_h(self, outcome: &FaultOutcome) -> &[Option<f64>] {
        match self {
            Self::Hot => &outcome.hot_reached_h,
            Self::Cold => &outcome.cold_reached_h,
        }
    }

    fn used_up_h(self, outcome: &FaultOutcome) -> Option<f64> {
        match self {
            Self::Hot => outcome.hot_used_up_h,
            Self::Cold => outcome.cold_used_up_h,
        }
    }

    fn dose(self, outcome: &FaultOutcome) -> Option<f64> {
        match self {
            Self::Hot => outcome.hot_dose,
            Self::Cold => outcome.cold_dose,
        }
    }

    fn extreme_c(self, outcome: &FaultOutcome) -> Option<f64> {
        match self {
            Self::Hot => outcome.peak_c,
            Self::Cold => outcome.lowest_c,
        }
    }
}

/// Which lines of one side the water passed, by position in the danger table.
struct Course {
    /// The severest that it had passed before the fault.
    already: Option<usize>,
    /// The first that it passed after the fault, and when, h.
    next: Option<(usize, f64)>,
}

impl Course {
    fn of(side: Side, outcome: &FaultOutcome, livestock: &Livestock) -> Self {
        let reached_h = side.reached_h(outcome).iter().take(side.lines(livestock).len());
        let passed = |(line, after_h): (usize, &Option<f64>)| after_h.map(|after_h| (line, after_h));
        let passed: Vec<(usize, f64)> = reached_h.enumerate().filter_map(passed).collect();
        Self {
            already: passed
                .iter()
                .rfind(|(_, after_h)| *after_h <= 0.0)
                .map(|(line, _)| *line),
            next: passed.iter().copied().find(|(_, after_h)| *after_h > 0.0),
        }
    }

    fn is_untouched(&self) -> bool {
        self.already.is_none() && self.next.is_none()
    }
}

/// What happened on one side; `None` if no line of it was reached.
fn passing(side: Side, outcomes: &[&FaultOutcome], livestock: &Livestock, units: Units) -> Option<String> {
    let first = outcomes.first()?;
    let course = Course::of(side, first, livestock);
    if course.is_untouched() {
        return None;
    }
    let lines = side.lines(livestock);
    let mut parts = Vec::new();
    if let Some(line) = course.already {
        let beyond = if side == Side::Hot { "past" } else { "below" };
        parts.push(format!(
            "already {beyond} {} before the fault",
            units.line(lines[line].temp_c)
        ));
    }
    if let Some((line, _)) = course.next {
        let passes = if side == Side::Hot {
            "passes"
        } else {
            "falls below"
        };
        let after_h = outcomes
            .iter()
            .filter_map(|one| Course::of(side, one, livestock).next)
            .map(|(_, after_h)| after_h);
        parts.push(format!(
            "{passes} {} after {}",
            units.line(lines[line].temp_c),
            spanned(after_h, duration)
        ));
    }
    let used_up_h: Vec<f64> = outcomes.iter().filter_map(|one| side.used_up_h(one)).collect();
    parts.push(if used_up_h.is_empty() {
        let doses = outcomes.iter().filter_map(|one| side.dose(one));
        format!("dose {} in {}", spanned(doses, dose), hours(first.horizon_h))
    } else if used_up_h.iter().all(|after_h| *after_h <= 0.0) {
        "dose used up before the fault".to_owned()
    } else {
        format!("dose used up after {}", spanned(used_up_h, duration))
    });
    parts.push(extreme_of(side, outcomes, units));
    Some(parts.join(", "))
}

fn extreme_of(side: Side, outcomes: &[&FaultOutcome], units: Units) -> String {
    let name = if side == Side::Hot { "peak" } else { "lowest" };
    let extremes: Vec<f64> = outcomes.iter().filter_map(|one| side.extreme_c(one)).collect();
    format!("{name} {}", spanned(extremes, |temp_c| units.temperature(temp_c)))
}
