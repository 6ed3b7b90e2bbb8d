//! How many of several tanks are past the dose, in words.

use super::Units;
use crate::records::{FaultOutcome, PastDose};

/// "2 of 8 tanks past the dose, 95.0 L of 389.0 L at risk".
pub(crate) fn past_dose(past: PastDose, units: Units) -> String {
    match past.tanks {
        0 => format!("none of {} tanks", past.of_tanks),
        tanks => format!(
            "{tanks} of {} tanks, {} of {} at risk",
            past.of_tanks,
            units.volume(past.water_l),
            units.volume(past.of_water_l)
        ),
    }
}

/// What several outcomes that are told together say of the number of tanks, with what stands before it; nothing where none is past.
pub(crate) fn tanks_past_dose(outcomes: &[&FaultOutcome], units: Units) -> String {
    let most = outcomes
        .iter()
        .filter_map(|outcome| outcome.past_dose)
        .max_by_key(|past| past.tanks)
        .filter(|past| past.tanks > 0);
    most.map_or_else(String::new, |most| {
        format!("; past the dose: {}", past_dose(most, units))
    })
}
