//! Water that goes farther out than the danger lines speak of, in words.

use super::{Units, in_room_kind};
use crate::records::{BeyondLines, FaultOutcome, Livestock};

/// "above 30 °C the danger lines say nothing".
pub(crate) fn lines_end(beyond: BeyondLines, units: Units) -> String {
    let side = if beyond.hot { "above" } else { "below" };
    format!(
        "{side} {} the danger lines say nothing",
        units.line(beyond.line_c)
    )
}

/// The farthest of several outcomes, and why their dose clears nothing, as a sentence of its own; `None`: the lines reach as far as the water goes.
pub(crate) fn beyond_lines<'o>(
    outcomes: impl Iterator<Item = &'o FaultOutcome>,
    livestock: &Livestock,
    units: Units,
) -> Option<String> {
    let (outcome, beyond) = outcomes
        .filter_map(|outcome| Some((outcome, outcome.beyond_lines(livestock)?)))
        .max_by(|a, b| a.1.by_k().total_cmp(&b.1.by_k()))?;
    let which = format!("{}{}", outcome.case, in_room_kind(outcome.room));
    Some(no_acquittal(&which, beyond, units))
}

/// "But a dose says little here: with relay welded the water gets to 56.0 °C, and above 30 °C the danger lines say nothing. …"
pub(crate) fn no_acquittal(which: &str, beyond: BeyondLines, units: Units) -> String {
    said_little(&format!("with {which} the water"), beyond, units)
}

/// The same of a tank's water, whatever took it there.
pub(crate) fn no_acquittal_of(tank: &str, beyond: BeyondLines, units: Units) -> String {
    said_little(&format!("the water of {tank}"), beyond, units)
}

fn said_little(what: &str, beyond: BeyondLines, units: Units) -> String {
    let (severer, field) = if beyond.hot {
        ("hotter", "danger_hot")
    } else {
        ("colder", "danger_cold")
    };
    format!(
        "But a dose says little here: {what} gets to {}, and {}. State a {severer} line under `{field}`.",
        units.temperature(beyond.extreme_c),
        lines_end(beyond, units)
    )
}
