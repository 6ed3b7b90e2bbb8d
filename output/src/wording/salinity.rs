//! Salinity in words: what it was, and which faults take it out of the range wanted.

use super::{duration, spanned};
use crate::records::{FaultOutcome, FaultSalinity, SalinityResult};

/// "34.0 to 35.0 g/kg".
pub(crate) fn g_per_kg(span: [f64; 2]) -> String {
    spanned(span, |value| format!("{value:.1} g/kg"))
}

/// "2.1 to 35.0 g/kg, lowest in sump and highest in display, 70 h outside the range wanted (33.0 to 37.0 g/kg)"; `None` where it is what was stated
/// all the time and no range is wanted.
pub(crate) fn salinity(result: &SalinityResult) -> Option<String> {
    let had = g_per_kg([result.lowest_g_per_kg, result.highest_g_per_kg]);
    let moved = had != g_per_kg([result.lowest_g_per_kg; 2]);
    let tanks = if !moved {
        String::new()
    } else if result.lowest_tank == result.highest_tank {
        format!(" in {}", result.lowest_tank)
    } else {
        format!(
            ", lowest in {}, highest in {}",
            result.lowest_tank, result.highest_tank
        )
    };
    match result.wanted_g_per_kg {
        Some(wanted) => Some(format!(
            "{had}{tanks}, {} outside the range wanted ({})",
            duration(result.outside_range_h),
            g_per_kg(wanted)
        )),
        None => moved.then(|| format!("{had}{tanks}")),
    }
}

/// The faults that take the water out of the range wanted, each once with the outcome that goes farthest: "leak in sump: down to 2.1 g/kg in
/// display, outside the range after 1.2 h".
pub(crate) fn salinity_lost<'a>(outcomes: impl IntoIterator<Item = &'a FaultOutcome>) -> Vec<String> {
    let mut farthest: Vec<(&FaultOutcome, &FaultSalinity, f64)> = Vec::new();
    for outcome in outcomes {
        let Some((salinity, after_h)) = outcome
            .salinity
            .as_ref()
            .and_then(|salinity| Some((salinity, salinity.taken_out_h()?)))
        else {
            continue;
        };
        match farthest
            .iter_mut()
            .find(|(known, _, _)| known.case == outcome.case)
        {
            Some(known) if beyond(known.1) < beyond(salinity) => *known = (outcome, salinity, after_h),
            Some(_) => {}
            None => farthest.push((outcome, salinity, after_h)),
        }
    }
    let told = farthest.iter().map(|(outcome, salinity, after_h)| {
        format!(
            "{}: {}, outside the range after {}",
            outcome.case,
            reached(salinity),
            duration(*after_h)
        )
    });
    told.collect()
}

/// The range wanted by the first outcome that states one: "33.0 to 37.0 g/kg".
pub(crate) fn salinity_wanted<'a>(outcomes: impl IntoIterator<Item = &'a FaultOutcome>) -> Option<String> {
    let mut stated = outcomes.into_iter().filter_map(|one| one.salinity.as_ref());
    stated.next().map(|salinity| g_per_kg(salinity.wanted_g_per_kg))
}

/// How far outside, on either side, g/kg.
fn beyond(salinity: &FaultSalinity) -> f64 {
    let [low, high] = salinity.wanted_g_per_kg;
    (low - salinity.lowest_g_per_kg).max(salinity.highest_g_per_kg - high)
}

fn reached(salinity: &FaultSalinity) -> String {
    let [low, _] = salinity.wanted_g_per_kg;
    if low - salinity.lowest_g_per_kg >= beyond(salinity) {
        format!(
            "down to {:.1} g/kg in {}",
            salinity.lowest_g_per_kg, salinity.lowest_tank
        )
    } else {
        format!(
            "up to {:.1} g/kg in {}",
            salinity.highest_g_per_kg, salinity.highest_tank
        )
    }
}
