//! What an alert is worth.

use super::run::heading;
use super::{Column, WIDTH, cautions, grid};
use crate::records::{ResponseCurve, ResponseWorth};
use crate::wording::{Units, at, dose, duration, or_missing, wrapped};

/// One row per response time.
#[must_use]
pub fn response_curve(record: &ResponseCurve, units: Units) -> String {
    let mut text = heading(
        [
            &record.scenario,
            &record.title,
            &record.strategy,
            &record.settings,
        ],
        record.fault.as_ref(),
        (record.seed, record.replicate),
        units,
    );
    text.push('\n');
    text += &grid(
        &[
            Column::words("People take", 13),
            Column::words("Somebody hears", 18),
            Column::words("Somebody acts", 18),
            Column::figures("Highest", 9),
            Column::figures("Lowest", 9),
            Column::figures("Dose", 13),
            Column::figures("Lead", 8),
        ],
        record.rows.iter().map(|row| cells(row, units)).collect(),
    );
    text.push('\n');
    text += &wrapped(
        "",
        "The same run for each response time, alike for everybody and at any hour; quiet hours, days away and the way of the \
         alert are as the scenario has them. Dose: of 1, of the worst tank, of warmth where nothing else is said: what people do lasts to the end of the run unless the act \
         says how long. Lead: from hearing to the dose being used up.",
        WIDTH,
    );
    text += &cautions(&record.cautions);
    text
}

fn cells(row: &ResponseWorth, units: Units) -> Vec<String> {
    let time = |at_h: Option<f64>| at_h.map_or_else(|| "nobody".to_owned(), at);
    vec![
        row.response_h.map_or_else(|| "no answer".to_owned(), duration),
        time(row.heard_h),
        time(row.acted_h),
        units.temperature(row.highest_c),
        units.temperature(row.lowest_c),
        if row.by_cold {
            format!("{}, cold", dose(row.dose_used))
        } else {
            dose(row.dose_used)
        },
        or_missing(row.lead_h, |lead_h| {
            if lead_h < 0.0 {
                "too late".to_owned()
            } else {
                duration(lead_h)
            }
        }),
    ]
}
