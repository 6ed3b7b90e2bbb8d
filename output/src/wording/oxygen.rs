//! Oxygen in words, where a stock is stated.

use super::{at, duration, hours, in_room_kind, share};
use crate::difference::hours_differ;
use crate::records::{FaultOutcome, OxygenResult, ScenarioBlock};

/// Name and value of each line about the oxygen of a tank.
#[must_use]
pub fn oxygen_facts(oxygen: &OxygenResult) -> Vec<(String, String)> {
    let lowest = format!(
        "{}, {} of saturation, at {}",
        mg_per_l(oxygen.lowest_mg_per_l),
        percent(oxygen.lowest_saturation_frac),
        at(oxygen.lowest_at_h)
    );
    let below = oxygen.below_half_from_h.map_or_else(
        || "at no time".to_owned(),
        |from_h| format!("{}, first at {}", duration(oxygen.below_half_h), at(from_h)),
    );
    vec![
        ("Lowest oxygen".to_owned(), lowest),
        ("Below half saturation".to_owned(), below),
    ]
}

/// What oxygen does in a comparison, one sentence each: with no fault added, and by the fault that takes it below half saturation
/// soonest, if that is sooner than the temperature does harm. Empty where no stock is stated.
#[must_use]
pub fn oxygen_of_block(block: &ScenarioBlock) -> Vec<String> {
    let healthy = block.rows.iter().filter_map(|row| row.healthy.as_ref()?.oxygen);
    let worst = healthy.min_by(|a, b| a.lowest_saturation_frac.total_cmp(&b.lowest_saturation_frac));
    let mut told: Vec<String> = worst
        .map(|oxygen| {
            let below = if oxygen.below_half_h > 0.0 {
                format!("below half saturation for {}", duration(oxygen.below_half_h))
            } else {
                "not below half saturation at any time".to_owned()
            };
            format!(
                "with no fault added oxygen is {below}, at worst {} ({} of saturation)",
                mg_per_l(oxygen.lowest_mg_per_l),
                percent(oxygen.lowest_saturation_frac)
            )
        })
        .into_iter()
        .collect();
    let sooner = block
        .rows
        .iter()
        .flat_map(|row| &row.faults)
        .filter(|outcome| comes_first(outcome));
    told.extend(
        sooner
            .min_by(|a, b| half_after_h(a).total_cmp(&half_after_h(b)))
            .map(before_the_temperature),
    );
    told
}

/// "with power out 12 h oxygen falls below half saturation after 3.1 h, before the cold uses up the dose after 14 h".
fn before_the_temperature(outcome: &FaultOutcome) -> String {
    let room = in_room_kind(outcome.room);
    let oxygen = format!(
        "with {}{room} oxygen falls below half saturation after {}",
        outcome.case,
        duration(half_after_h(outcome))
    );
    match harm(outcome) {
        Some((side, after_h)) => {
            format!(
                "{oxygen}, before the {side} uses up the dose after {}",
                duration(after_h)
            )
        }
        None => format!(
            "{oxygen}; the temperature uses up no dose within {}",
            hours(outcome.horizon_h)
        ),
    }
}

/// Whether a fault takes oxygen below half saturation, where it would not be so soon, before the temperature uses up a dose.
fn comes_first(outcome: &FaultOutcome) -> bool {
    let Some(oxygen) = outcome.oxygen else {
        return false;
    };
    let after_h = half_after_h(outcome);
    after_h.is_finite()
        && oxygen
            .below_half_after_without_fault_h
            .is_none_or(|sound_h| sound_h > after_h && hours_differ(sound_h, after_h))
        && harm(outcome).is_none_or(|(_, harm_h)| after_h < harm_h)
}

/// The side whose dose is used up first, and after how many hours.
fn harm(outcome: &FaultOutcome) -> Option<(&'static str, f64)> {
    [("heat", outcome.hot_used_up_h), ("cold", outcome.cold_used_up_h)]
        .into_iter()
        .filter_map(|(side, after_h)| Some((side, after_h?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

fn half_after_h(outcome: &FaultOutcome) -> f64 {
    outcome
        .oxygen
        .and_then(|oxygen| oxygen.below_half_after_h)
        .unwrap_or(f64::INFINITY)
}

fn mg_per_l(oxygen: f64) -> String {
    format!("{oxygen:.1} mg/L")
}

/// Whole percent: the model knows no more.
fn percent(frac: f64) -> String {
    share((frac * 100.0).round() / 100.0)
}
