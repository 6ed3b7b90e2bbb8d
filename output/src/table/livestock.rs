//! What the livestock bears, and how a dose counts it.

use crate::records::{DangerLine, Livestock};
use crate::wording::{Units, duration};

/// What a dose is, with the lines it is counted by.
pub(super) fn dose(livestock: &Livestock, units: Units) -> Vec<(&'static str, String)> {
    let whose = format!("({}; {})", livestock.kind, livestock.source);
    if !livestock.states_lines() {
        return vec![("Dose", format!("not counted: no danger lines stated {whose}"))];
    }
    vec![
        (
            "Dose",
            format!("used up after these times at these temperatures {whose}:"),
        ),
        ("", format!("hot {}", borne(&livestock.danger_hot, units))),
        ("", format!("cold {}", borne(&livestock.danger_cold, units))),
    ]
}

/// How long each line of the danger table is borne.
fn borne(lines: &[DangerLine], units: Units) -> String {
    let told: Vec<String> = lines
        .iter()
        .map(|line| match line.allowed_h {
            Some(allowed_h) => format!("{} for {}", units.line(line.temp_c), duration(allowed_h)),
            None => format!("{} not at all", units.line(line.temp_c)),
        })
        .collect();
    if told.is_empty() {
        "not stated, so not judged".to_owned()
    } else {
        told.join(", ")
    }
}
