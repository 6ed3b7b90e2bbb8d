//! Stuck and dead exposure: heaters and coolers, room by room, with people acting and without.

use super::fault_matrix::line_passed;
use super::{Column, WIDTH, grid};
use crate::records::{Exposure, ExposureHow, FaultMatrix, FaultRow, Livestock, RoomKind, StrategyFaults};
use crate::wording::{MISSING, Units, duration, enumerated, extreme, outcomes, wrapped};

/// Nothing without heaters and coolers.
pub(super) fn exposure(one: &StrategyFaults, record: &FaultMatrix, units: Units) -> String {
    if one.exposure.is_empty() {
        return String::new();
    }
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut told: Vec<&Exposure> = Vec::new();
    let same = |a: &Exposure, b: &Exposure| {
        a.how == b.how && a.people_act == b.people_act && a.row.outcome.case == b.row.outcome.case
    };
    for first in &one.exposure {
        if told.iter().any(|known| same(known, first)) {
            continue;
        }
        told.push(first);
        let in_room = |room: RoomKind| {
            let found = one
                .exposure
                .iter()
                .find(|other| same(other, first) && other.row.outcome.room == room);
            found.map_or_else(
                || MISSING.to_owned(),
                |found| short(&found.row, &record.livestock, units),
            )
        };
        let mut cells = vec![name(first, record.somebody_acts)];
        cells.extend(RoomKind::ALL.map(in_room));
        rows.push(cells);
    }
    let people = if record.somebody_acts {
        "with people acting on alerts, and with nobody acting"
    } else {
        "nobody acts on an alert in this scenario"
    };
    let heading =
        format!("Stuck on and dead: what each heater and cooler does to the water when it fails; {people}");
    format!("\n{}", wrapped("", &heading, WIDTH))
        + &grid(
            &[
                Column::words("Fails", 25),
                Column::words("Scenario's own room", 25),
                Column::words("Year's coldest", 25),
                Column::words("Year's warmest", 25),
            ],
            rows,
        )
}

fn name(exposure: &Exposure, somebody_acts: bool) -> String {
    let devices = enumerated(&exposure.devices);
    let how = match exposure.how {
        ExposureHow::Stuck => "stuck on",
        ExposureHow::Dead => "dead",
    };
    let people = match (somebody_acts, exposure.people_act) {
        (false, _) => "",
        (true, true) => ", people act",
        (true, false) => ", nobody acts",
    };
    format!("{devices} {how}{people}")
}

/// "past 30 °C after 3.1 h, dose used up after 7.4 h, peak 33.1 °C".
fn short(row: &FaultRow, livestock: &Livestock, units: Units) -> String {
    let outcome = &row.outcome;
    if outcome.failure.is_some() {
        return "run failed".to_owned();
    }
    let farthest = extreme(&[outcome], units);
    if let Some(exceeds) = row.exceeds {
        format!(
            "{} after {}, dose used up after {}, {farthest}",
            line_passed(exceeds, units),
            duration(exceeds.line_after_h),
            duration(exceeds.used_up_h)
        )
    } else if outcome.hours_to_first_line().is_some() {
        outcomes(&[outcome], livestock, units)
    } else {
        farthest
    }
}
