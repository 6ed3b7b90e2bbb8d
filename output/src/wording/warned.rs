//! Who was warned of a fault, in words.

use super::{duration, spanned};
use crate::records::FaultOutcome;

/// "; first alert after 26 min, keeper hears after 41 min, nobody acts": of outcomes that are told together and went alike, with what stands before it.
pub(crate) fn warned(outcomes: &[&FaultOutcome], somebody_acts: bool) -> String {
    let after = |told: fn(&FaultOutcome) -> Option<f64>| {
        let hours: Vec<f64> = outcomes.iter().filter_map(|one| told(one)).collect();
        (!hours.is_empty()).then(|| spanned(hours, duration))
    };
    let Some(alert) = after(|one| one.first_alert_h) else {
        return "; no alert gets out".to_owned();
    };
    let mut who: Vec<&str> = outcomes
        .iter()
        .filter_map(|one| one.heard_by.as_deref())
        .collect();
    who.sort_unstable();
    who.dedup();
    let heard = after(|one| one.heard_h).map_or_else(
        || "nobody hears".to_owned(),
        |heard| format!("{} hears after {heard}", who.join(" or ")),
    );
    let acted = after(|one| one.acted_h);
    let acted = acted.map_or_else(
        || {
            if somebody_acts {
                ", nobody acts".to_owned()
            } else {
                String::new()
            }
        },
        |acted| format!(", somebody acts after {acted}"),
    );
    format!("; first alert after {alert}, {heard}{acted}")
}

/// Whether one sentence may tell of both: the same happened, be it at another time.
pub(crate) fn warned_alike(a: &FaultOutcome, b: &FaultOutcome) -> bool {
    let happened =
        |one: &FaultOutcome| [one.first_alert_h, one.heard_h, one.acted_h].map(|at_h| at_h.is_some());
    happened(a) == happened(b)
}
