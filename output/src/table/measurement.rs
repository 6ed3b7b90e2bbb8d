//! What a home test says of a tank.

use super::{Column, WIDTH, assumed, cautions, grid};
use crate::records::{HomeTest, Measured, MeasuredKind, Measurement};
use crate::wording::{MISSING, Units, duration, power, restated, share, wrapped};

/// What was found, what would change it, what to do with it.
#[must_use]
pub fn measurement(record: &Measurement, units: Units) -> String {
    let heading = match record.test {
        HomeTest::Cooling => "Cooling with the heaters off",
        HomeTest::Heating => "Heating without a break",
        HomeTest::Duty => "Share of the time that the heater is on",
        HomeTest::Lift => "Lift by pumps alone",
    };
    let mut text = format!("{heading}\n");
    text += &wrapped("", &record.formula, WIDTH);
    text.push('\n');
    text += &grid(
        &[
            Column::words("Found", 34),
            Column::figures("", 12),
            Column::words("Between", 18),
            Column::words("How sure", 36),
        ],
        record.found.iter().map(|found| cells(found, units)).collect(),
    );
    if let Some(main) = record.found.first() {
        let rows = record.changes.iter().map(|change| {
            vec![
                restated(&change.what, units),
                figure(main.what, change.value, units),
            ]
        });
        let rows: Vec<Vec<String>> = rows.collect();
        if !rows.is_empty() {
            text.push('\n');
            text += &wrapped(
                "",
                &format!(
                    "What would change it most: {} {} if",
                    name(main.what),
                    figure(main.what, main.value, units)
                ),
                WIDTH,
            );
            text += &grid(
                &[
                    Column::words("", 50),
                    Column::figures("would be", 14),
                    Column::words("", 1),
                ],
                rows.into_iter()
                    .map(|mut row| {
                        row.push(String::new());
                        row
                    })
                    .collect(),
            );
        }
    }
    for advice in &record.advice {
        text.push('\n');
        text += &wrapped("", &restated(advice, units), WIDTH);
    }
    text + &assumed(&record.assumptions, units) + &cautions(&record.cautions)
}

fn cells(found: &Measured, units: Units) -> Vec<String> {
    let between = found.interval.map(|[low, high]| {
        format!(
            "{} to {}",
            figure(found.what, low, units),
            figure(found.what, high, units)
        )
    });
    vec![
        name(found.what).to_owned(),
        figure(found.what, found.value, units),
        between.unwrap_or_else(|| MISSING.to_owned()),
        found.how_sure.clone(),
    ]
}

fn name(what: MeasuredKind) -> &'static str {
    match what {
        MeasuredKind::LossWPerK => "loss per degree above the room",
        MeasuredKind::HeaterW => "power of the heaters",
        MeasuredKind::HeatCapacityJPerK => "heat capacity",
        MeasuredKind::TimeConstantH => "time constant",
        MeasuredKind::ShareFrac => "share of the time on",
        MeasuredKind::MeanW => "power in the mean",
        MeasuredKind::Looks => "random looks needed",
        MeasuredKind::WatchedH => "watching needed",
        MeasuredKind::RoomWithinK => "room known within",
    }
}

fn figure(what: MeasuredKind, value: f64, units: Units) -> String {
    match what {
        MeasuredKind::LossWPerK => units.conductance(value),
        MeasuredKind::HeaterW | MeasuredKind::MeanW => power(value),
        // As `--heat-capacity` takes it.
        MeasuredKind::HeatCapacityJPerK => format!("{:.0} kJ/K", value / 1000.0),
        MeasuredKind::TimeConstantH | MeasuredKind::WatchedH => duration(value),
        MeasuredKind::ShareFrac => share(value),
        MeasuredKind::Looks => format!("{value:.0}"),
        MeasuredKind::RoomWithinK => units.difference(value),
    }
}
