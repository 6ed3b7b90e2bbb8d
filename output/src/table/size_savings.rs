//! What less would save.

use super::{Column, WIDTH, grid};
use crate::records::{SizeSaving, SizeSavings, Tariff};
use crate::wording::{Units, energy, money, or_missing, restated, wrapped};

/// Thirty days as they are and with one thing changed, then what cheap hours can do.
pub(super) fn savings(record: &SizeSavings, tariff: Option<&Tariff>, units: Units) -> String {
    let head = format!(
        "What would save in 30 days; room {}: {}",
        record.room,
        units.line(record.room_c)
    );
    let Some(as_it_is) = record.rows.first() else {
        return String::new();
    };
    wrapped("", &head, WIDTH)
        + &grid(
            &[
                Column::words("If it were", 42),
                Column::figures("Electricity", 14),
                Column::figures("Cost", 16),
                Column::figures("Change", 16),
            ],
            record
                .rows
                .iter()
                .map(|row| cells(row, as_it_is, tariff, units))
                .collect(),
        )
        + &wrapped("", &cheap_hours(record, tariff, units), WIDTH)
}

fn cells(row: &SizeSaving, as_it_is: &SizeSaving, tariff: Option<&Tariff>, units: Units) -> Vec<String> {
    let change_frac = row.kwh_per_30_days / as_it_is.kwh_per_30_days - 1.0;
    vec![
        restated(&row.what, units),
        energy(row.kwh_per_30_days),
        or_missing(row.cost_per_30_days, |cost| money(cost, tariff)),
        if row == as_it_is {
            String::new()
        } else {
            format!("{:+.0} %", 100.0 * change_frac).replace('-', "−")
        },
    ]
}

fn cheap_hours(record: &SizeSavings, tariff: Option<&Tariff>, units: Units) -> String {
    let [from_c, to_c] = record.band_c;
    let stored = format!(
        "Warming the water through its whole band, {} to {}, takes {}",
        units.temperature(from_c),
        units.temperature(to_c),
        energy(record.band_stores_kwh)
    );
    match record.cheap_hours_per_30_days {
        Some(saved) => format!(
            "{stored}: heating ahead in the cheap hours, once a day, saves at most {} in 30 days.",
            money(saved, tariff)
        ),
        None => format!("{stored}: no more can be heated ahead, once a day, where some hours are cheaper."),
    }
}
