//! Parts of sentences.

use crate::records::{FaultOutcome, RoomBlock, RoomKind, StrategyRow};
use crate::wording::{Units, duration, enumerated, in_room_kind, spanned};

/// The soonest that a fault takes a strategy past the dose, h, and which fault.
pub(super) fn soonest_h(row: &StrategyRow) -> Option<(f64, &FaultOutcome)> {
    row.faults
        .iter()
        .filter_map(|outcome| Some((outcome.taken_past_h()?, outcome)))
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// "relay left welded takes on-off past the dose after 9 h and proportional after 11 h", one part per fault: the decisive one, as in the
/// column of standings.
pub(super) fn away_list(rows: &[&StrategyRow]) -> String {
    let mut faults: Vec<(String, Vec<String>)> = Vec::new();
    for row in rows {
        let Some((decisive, after_h)) = row
            .decisive_fault()
            .and_then(|one| Some((one, one.taken_past_h()?)))
        else {
            continue;
        };
        let fault = format!("{}{}", decisive.case, in_room(decisive));
        let after = format!("after {}", duration(after_h));
        match faults.iter_mut().find(|(known, _)| *known == fault) {
            Some((_, taken)) => taken.push(format!("{} {after}", row.strategy)),
            None => faults.push((fault, vec![format!("{} past the dose {after}", row.strategy)])),
        }
    }
    let parts: Vec<String> = faults
        .iter()
        .map(|(fault, taken)| format!("{fault} takes {}", enumerated(taken)))
        .collect();
    parts.join("; ")
}

/// "fan-cooling passes the dose with nothing broken in the year's coldest room", one part per room.
pub(super) fn past_list(rows: &[&StrategyRow]) -> String {
    let parts: Vec<String> = RoomKind::ALL
        .into_iter()
        .filter_map(|room| {
            let past: Vec<&StrategyRow> = rows
                .iter()
                .copied()
                .filter(|row| row.past_without_fault_in() == Some(room))
                .collect();
            let passes = if past.len() == 1 { "passes" } else { "pass" };
            (!past.is_empty()).then(|| {
                format!(
                    "{} {passes} the dose with nothing broken{}",
                    enumerated(&names(&past)),
                    in_room_kind(room)
                )
            })
        })
        .collect();
    enumerated(&parts)
}

pub(super) fn names<'a>(rows: &[&'a StrategyRow]) -> Vec<&'a str> {
    rows.iter().map(|row| row.strategy.as_str()).collect()
}

/// When the dose is used up with nothing broken, h after time zero.
pub(crate) fn unbroken_h(outcome: &FaultOutcome) -> Option<f64> {
    let since_fault_h = outcome
        .hot_used_up_without_fault_h
        .into_iter()
        .chain(outcome.cold_used_up_without_fault_h)
        .reduce(f64::min)?;
    Some(since_fault_h + outcome.began_h.unwrap_or(0.0))
}

/// When the dose is used up with nothing broken: "after 34.3 to 34.6 h".
pub(super) fn after_unbroken(outcomes: &[&FaultOutcome]) -> String {
    let after_h = outcomes.iter().filter_map(|outcome| unbroken_h(outcome));
    format!("after {}", spanned(after_h, duration))
}

/// What a room needs in which the water passes the dose with nothing broken, on the hot side, the cold side or both.
pub(crate) fn needed_first(hot: bool, cold: bool) -> &'static str {
    match (hot, cold) {
        (true, false) => "needs cooling first",
        (false, _) => "needs heating first",
        (true, true) => "needs cooling and heating first",
    }
}

/// The same for outcomes of one room.
pub(crate) fn needed_by(outcomes: &[&FaultOutcome]) -> &'static str {
    let on =
        |used_up_h: fn(&FaultOutcome) -> Option<f64>| outcomes.iter().any(|one| used_up_h(one).is_some());
    needed_first(
        on(|one| one.hot_used_up_without_fault_h),
        on(|one| one.cold_used_up_without_fault_h),
    )
}

/// "the room constant at the year's warmest (29 °C)".
pub(super) fn named_room(room: &RoomBlock, units: Units) -> String {
    match room.room {
        RoomKind::Scenario => "the scenario's own room".to_owned(),
        RoomKind::Coldest => format!(
            "the room constant at the year's coldest ({})",
            units.line(room.lowest_c)
        ),
        RoomKind::Warmest => format!(
            "the room constant at the year's warmest ({})",
            units.line(room.highest_c)
        ),
    }
}

/// Where it happens, if not in the scenario's own room.
pub(super) fn in_room(outcome: &FaultOutcome) -> &'static str {
    in_room_kind(outcome.room)
}

/// What there is of the parts, as one sentence with its full stop; empty without any.
pub(super) fn joined<const N: usize>(between: &str, parts: [Option<String>; N]) -> String {
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    if parts.is_empty() {
        String::new()
    } else {
        format!("{}.", parts.join(between))
    }
}

pub(super) fn capitalized(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
