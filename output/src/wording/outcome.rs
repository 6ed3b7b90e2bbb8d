//! What a fault does, in words; the figures of several strategies that fare alike as ranges.

use super::side::{ADDS_K, Side};
use super::{MISSING, Units, dose, duration, hours, lines_end, spanned, spanned_both};
use crate::cautions::{DRY_BODY_C, RUN_DRY};
use crate::records::{FaultOutcome, Livestock};

/// Temperatures this near count as alike, K.
const ALIKE_K: f64 = 0.5;

/// Times this near count as alike, as a share of the longer one.
const ALIKE_TIME_FRAC: f64 = 0.15;

/// Times this near count as alike however short they are, h.
const ALIKE_TIME_H: f64 = 0.5;

/// What became of the water, in one phrase: "passes 30 °C after 3.1 h, dose used up after 9 h, peak 33.1 °C", or "reaches
/// no line within 72 h in a room of up to 21 °C (peak 27.9 instead of 25.6 °C)".
#[must_use]
pub fn outcome(outcome: &FaultOutcome, livestock: &Livestock, units: Units) -> String {
    if reaches_no_line(outcome) && livestock.states_lines() {
        let room = match Side::pushed_by(outcome) {
            Side::Cold => format!("down to {}", units.line(outcome.room_lowest_c)),
            Side::Hot => format!("of up to {}", units.line(outcome.room_highest_c)),
        };
        return format!(
            "reaches no line within {} in a room {room} ({})",
            hours(outcome.horizon_h),
            extreme(&[outcome], units)
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
        .filter_map(|side| {
            let (passed, ends) = passing(side, outcomes, livestock, units)?;
            let beside = beside_unbroken(side, outcomes, &ends, units);
            let beyond = beyond_lines(side, outcomes, livestock, units);
            Some(format!("{passed}{ends}{beside}{beyond}"))
        })
        .collect();
    if !told.is_empty() {
        told.join("; ")
    } else if livestock.states_lines() {
        format!(
            "reaches no line within {}, {}",
            hours(first.horizon_h),
            extreme(outcomes, units)
        )
    } else {
        format!("{} within {}", extreme(outcomes, units), hours(first.horizon_h))
    }
}

/// That the lines of a side do not reach as far as the water goes there, where they do not.
fn beyond_lines(side: Side, outcomes: &[&FaultOutcome], livestock: &Livestock, units: Units) -> String {
    let farthest = outcomes.iter().filter_map(|one| one.beyond_lines(livestock));
    farthest
        .filter(|beyond| beyond.hot == (side == Side::Hot))
        .max_by(|a, b| a.by_k().total_cmp(&b.by_k()))
        .map_or_else(String::new, |beyond| format!("; {}", lines_end(beyond, units)))
}

/// What the same time with nothing broken brings on a side on which it passes a line; `ends` is what it comes to with the fault.
fn beside_unbroken(side: Side, outcomes: &[&FaultOutcome], ends: &str, units: Units) -> String {
    if !outcomes.iter().any(|one| side.is_passed_without(one)) {
        return String::new();
    }
    let unbroken = unbroken_side(side, outcomes, units);
    if unbroken == ends {
        ", as with nothing broken".to_owned()
    } else if outcomes.iter().any(|one| side.is_worsened_by(one)) {
        format!(" (with nothing broken {unbroken})")
    } else {
        ", no worse than with nothing broken".to_owned()
    }
}

/// "dose 0.29 in 72 h, lowest 19.4 °C" of the same time with nothing broken.
fn unbroken_side(side: Side, outcomes: &[&FaultOutcome], units: Units) -> String {
    let used_up_h: Vec<f64> = outcomes
        .iter()
        .filter_map(|one| side.used_up_without_fault_h(one))
        .collect();
    let doses = outcomes.iter().filter_map(|one| side.dose_without_fault(one));
    let horizon_h = outcomes.first().map_or(f64::NAN, |one| one.horizon_h);
    let extremes = outcomes
        .iter()
        .filter_map(|one| side.extreme_without_fault_c(one));
    format!(
        "{}, {} {}",
        dose_told(used_up_h, doses, horizon_h),
        extreme_name(side),
        spanned(extremes, |temp_c| units.temperature(temp_c))
    )
}

/// What the water does with nothing broken, where it passes lines that faults do not make worse: "falls below 20 °C, dose 0.29 in
/// 72 h, lowest 19.4 °C", or "stays at 22.2 to 22.6 °C".
pub(crate) fn unbroken(outcomes: &[&FaultOutcome], livestock: &Livestock, units: Units) -> String {
    let told: Vec<String> = Side::BOTH
        .into_iter()
        .filter(|side| outcomes.iter().any(|one| side.is_passed_without(one)))
        .filter_map(|side| {
            let mildest = side.lines(livestock).first()?;
            let passes = if side == Side::Hot {
                "passes"
            } else {
                "falls below"
            };
            let line = units.line(mildest.temp_c);
            Some(format!(
                "{passes} {line}, {}",
                unbroken_side(side, outcomes, units)
            ))
        })
        .collect();
    if !told.is_empty() {
        return told.join("; ");
    }
    let extremes = Side::BOTH.into_iter().flat_map(|side| {
        outcomes
            .iter()
            .filter_map(move |one| side.extreme_without_fault_c(one))
    });
    let stays = spanned(extremes, |temp_c| units.temperature(temp_c));
    format!("stays at {stays}")
}

/// What a fault adds beyond a line to what happens with nothing broken: "adds 0.20 to the dose and takes the peak 0.30 K higher"; `None`: nothing to be
/// seen.
pub(crate) fn added(outcome: &FaultOutcome, units: Units) -> Option<String> {
    let side = Side::BOTH
        .into_iter()
        .filter(|side| side.is_passed_by(outcome) && side.is_worsened_by(outcome))
        .max_by(|a, b| a.added_dose(outcome).total_cmp(&b.added_dose(outcome)))?;
    let to_dose = side.added_dose(outcome);
    let by_k = side.added_k(outcome);
    let mut parts = Vec::new();
    if dose(to_dose.max(0.0)) != dose(0.0) {
        parts.push(format!("adds {} to the dose", dose(to_dose)));
    }
    if by_k > ADDS_K {
        let by = units.difference(by_k);
        parts.push(match side {
            Side::Hot => format!("takes the peak {by} higher"),
            Side::Cold => format!("takes the lowest {by} lower"),
        });
    }
    (!parts.is_empty()).then(|| parts.join(" and "))
}

/// The extreme temperature of the side to which the fault pushes, beside that of the same time with nothing broken: "peak 26.4 to
/// 26.6 °C instead of 25.5 °C".
pub(crate) fn extreme(outcomes: &[&FaultOutcome], units: Units) -> String {
    let side = outcomes
        .first()
        .map_or(Side::Hot, |outcome| Side::pushed_by(outcome));
    let with = extreme_of(side, outcomes, units);
    let without = outcomes
        .iter()
        .filter_map(|one| side.extreme_without_fault_c(one));
    let without = spanned(without, |temp_c| units.temperature(temp_c));
    let told = spanned(outcomes.iter().filter_map(|one| side.extreme_c(one)), |temp_c| {
        units.temperature(temp_c)
    });
    if without == MISSING || without == told {
        return with;
    }
    format!("{} {}", extreme_name(side), spanned_both(&told, &without))
}

/// Whether no line of the danger table was reached.
pub(crate) fn reaches_no_line(outcome: &FaultOutcome) -> bool {
    outcome.failure.is_none()
        && (outcome.peak_c.is_some() || outcome.lowest_c.is_some())
        && outcome.hours_to_first_line().is_none()
}

/// Whether one phrase may tell both: the same lines passed, nearly the same times and temperatures, with the fault and without.
pub(crate) fn alike(a: &FaultOutcome, b: &FaultOutcome, livestock: &Livestock) -> bool {
    let both = |a: Option<f64>, b: Option<f64>, near: fn(f64, f64) -> bool| match (a, b) {
        (Some(a), Some(b)) => near(a, b),
        (a, b) => a.is_none() && b.is_none(),
    };
    let near_c = |a_c: f64, b_c: f64| (a_c - b_c).abs() <= ALIKE_K;
    a.failure == b.failure
        && reaches_no_line(a) == reaches_no_line(b)
        && (!reaches_no_line(a) || Side::pushed_by(a) == Side::pushed_by(b))
        && Side::BOTH.into_iter().all(|side| {
            let (of_a, of_b) = (Course::of(side, a, livestock), Course::of(side, b, livestock));
            of_a.already == of_b.already
                && of_a.next.map(|(line, _)| line) == of_b.next.map(|(line, _)| line)
                && both(of_a.next.map(|(_, h)| h), of_b.next.map(|(_, h)| h), near_h)
                && (of_a.is_untouched() || both(side.extreme_c(a), side.extreme_c(b), near_c))
                && both(side.used_up_h(a), side.used_up_h(b), near_h)
                && side.is_passed_without(a) == side.is_passed_without(b)
                && both(
                    side.used_up_without_fault_h(a),
                    side.used_up_without_fault_h(b),
                    near_h,
                )
        })
}

/// Whether one phrase may tell what both have with nothing broken.
pub(crate) fn alike_unbroken(a: &FaultOutcome, b: &FaultOutcome) -> bool {
    let near = |a: Option<f64>, b: Option<f64>, least: f64| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= least,
        (a, b) => a.is_none() && b.is_none(),
    };
    Side::BOTH.into_iter().all(|side| {
        side.is_passed_without(a) == side.is_passed_without(b)
            && near(
                side.extreme_without_fault_c(a),
                side.extreme_without_fault_c(b),
                ALIKE_K,
            )
            && side.used_up_without_fault_h(a).is_some() == side.used_up_without_fault_h(b).is_some()
    })
}

/// Whether extreme temperatures are near enough for one phrase, with the fault and without.
pub(crate) fn extremes_alike(outcomes: &[&FaultOutcome]) -> bool {
    let Some(first) = outcomes.first() else {
        return true;
    };
    let side = Side::pushed_by(first);
    let narrow = |values: Vec<f64>| {
        let highest = values.iter().copied().reduce(f64::max);
        let lowest = values.iter().copied().reduce(f64::min);
        highest
            .zip(lowest)
            .is_none_or(|(highest, lowest)| highest - lowest <= ALIKE_K)
    };
    outcomes.iter().all(|one| Side::pushed_by(one) == side)
        && narrow(outcomes.iter().filter_map(|one| side.extreme_c(one)).collect())
        && narrow(
            outcomes
                .iter()
                .filter_map(|one| side.extreme_without_fault_c(one))
                .collect(),
        )
}

/// Whether two times, h, are nearly the same.
pub(crate) fn near_h(a_h: f64, b_h: f64) -> bool {
    (a_h - b_h).abs() <= (a_h.abs().max(b_h.abs()) * ALIKE_TIME_FRAC).max(ALIKE_TIME_H)
}

/// The mark of results in which a heater's body got hotter than water allows: "heater body 231.0 °C, run dry: …"; empty if none did.
pub(crate) fn run_dry(outcomes: &[&FaultOutcome], units: Units) -> String {
    let hottest_c = outcomes
        .iter()
        .filter_map(|one| one.hottest_body_c)
        .reduce(f64::max);
    hottest_c
        .filter(|body_c| *body_c > DRY_BODY_C)
        .map_or_else(String::new, |body_c| {
            format!("; heater {RUN_DRY} (body {})", units.temperature(body_c))
        })
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

/// Which lines were passed on one side ("passes 30 °C after 3.1 h, ") and what it came to; `None` if no line of it was reached.
fn passing(
    side: Side,
    outcomes: &[&FaultOutcome],
    livestock: &Livestock,
    units: Units,
) -> Option<(String, String)> {
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
    let doses = outcomes.iter().filter_map(|one| side.dose(one));
    let ends = format!(
        "{}, {}",
        dose_told(used_up_h, doses, first.horizon_h),
        extreme_of(side, outcomes, units)
    );
    Some((parts.join(", ") + ", ", ends))
}

fn dose_told(used_up_h: Vec<f64>, doses: impl Iterator<Item = f64>, horizon_h: f64) -> String {
    if used_up_h.is_empty() {
        format!("dose {} in {}", spanned(doses, dose), hours(horizon_h))
    } else if used_up_h.iter().all(|after_h| *after_h <= 0.0) {
        "dose used up before the fault".to_owned()
    } else {
        format!("dose used up after {}", spanned(used_up_h, duration))
    }
}

fn extreme_name(side: Side) -> &'static str {
    match side {
        Side::Hot => "peak",
        Side::Cold => "lowest",
    }
}

fn extreme_of(side: Side, outcomes: &[&FaultOutcome], units: Units) -> String {
    let extremes = outcomes.iter().filter_map(|one| side.extreme_c(one));
    format!(
        "{} {}",
        extreme_name(side),
        spanned(extremes, |temp_c| units.temperature(temp_c))
    )
}
