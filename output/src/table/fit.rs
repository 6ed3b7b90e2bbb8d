//! A tank identified from a log.

use super::{Column, WIDTH, assumed, cautions, facts, grid, list};
use crate::records::{Fit, FitParameter, FitParameterKind};
use crate::wording::{MISSING, Units, duration, hours, power, restated, wrapped};

/// What was found, how surely, and what the log cannot tell.
#[must_use]
pub fn fit(record: &Fit, units: Units) -> String {
    let mut text = wrapped("", &format!("{}: {}", record.scenario, record.title), WIDTH);
    text += &wrapped("", &held_to(record), WIDTH);
    let reservations: Vec<String> = record
        .reservations
        .iter()
        .map(|one| restated(one, units))
        .collect();
    text += &list("Mind first", reservations.iter().map(String::as_str));
    text.push('\n');
    text += &grid(
        &[
            Column::words("Parameter", 28),
            Column::figures("Found", 10),
            Column::words("Between (95 %)", 22),
            Column::words("Which is", 40),
        ],
        record
            .parameters
            .iter()
            .filter(|parameter| parameter.interval.is_some())
            .map(|parameter| cells(record, parameter, units))
            .collect(),
    );
    let held: Vec<Vec<String>> = record
        .parameters
        .iter()
        .filter(|parameter| parameter.interval.is_none())
        .map(|parameter| {
            vec![
                name(parameter.what).to_owned(),
                figure(parameter.what, parameter.value, units),
                parameter
                    .held
                    .as_deref()
                    .map_or_else(|| MISSING.to_owned(), |why| restated(why, units)),
            ]
        })
        .collect();
    if !held.is_empty() {
        text.push('\n');
        text += &grid(
            &[
                Column::words("Held", 28),
                Column::figures("At", 10),
                Column::words("Why", 62),
            ],
            held,
        );
    }
    let found = &record.tank_found;
    text.push('\n');
    text += &facts(vec![
        (
            "The tank as found".to_owned(),
            format!(
                "loses {} at {} in air of {}: {} in the mean, {} for what is added ({} as computed before); it holds {}",
                power(found.loss_w),
                units.temperature(found.water_c),
                units.temperature(found.room_c),
                units.conductance(found.loss_w / (found.water_c - found.room_c)),
                units.conductance(found.slope_w_per_k),
                units.conductance(found.stated_slope_w_per_k),
                units.heat_capacity(found.heat_capacity_j_per_k),
            ),
        ),
        (
            "Readings around the model".to_owned(),
            format!(
                "standard deviation {}, {} at most, at {} (line {})",
                units.difference(record.residuals.deviation_k),
                units.difference(record.residuals.largest_k),
                record.residuals.largest_in_log,
                record.residuals.largest_line
            ),
        ),
        (
            "They say as much as".to_owned(),
            format!(
                "{:.0} of {} readings: neighbours resemble each other by {:.2}",
                record.residuals.counts_as, record.readings, record.residuals.resemblance
            ),
        ),
    ]);
    if !record.correlations.is_empty() {
        let pairs: Vec<String> = record
            .correlations
            .iter()
            .map(|pair| {
                format!(
                    "{} and {} {:.2}",
                    name(pair.one),
                    name(pair.other),
                    pair.correlation
                )
            })
            .collect();
        text += &facts(vec![("Correlations".to_owned(), pairs.join("; "))]);
    }
    if !record.changes.is_empty() {
        text.push('\n');
        text += &wrapped(
            "",
            "What would change the losses most (their interval holds all of it)",
            WIDTH,
        );
        text += &grid(
            &[
                Column::words("If", 50),
                Column::figures("losses would be", 18),
                Column::words("", 1),
            ],
            record
                .changes
                .iter()
                .map(|change| {
                    vec![
                        restated(&change.what, units),
                        percent(change.losses_frac),
                        String::new(),
                    ]
                })
                .collect(),
        );
    }
    let warnings: Vec<String> = record.warnings.iter().map(|one| restated(one, units)).collect();
    text += &list(
        "What the log cannot tell, and what to mind",
        warnings.iter().map(String::as_str),
    );
    text + &assumed(&record.assumptions, units) + &cautions(&record.cautions)
}

/// What the model was held to.
fn held_to(record: &Fit) -> String {
    let left = &record.left_out;
    let mut out: Vec<String> = Vec::new();
    let mut tell = |count: usize, one: &str, several: &str| match count {
        0 => {}
        1 => out.push(format!("1 {one}")),
        _ => out.push(format!("{count} {several}")),
    };
    tell(left.failed, "failed reading", "failed readings");
    tell(left.blank, "blank cell of the water", "blank cells of the water");
    tell(left.spikes, "spike", "spikes");
    tell(
        left.twice,
        "row of a stamp that was there",
        "rows of stamps that were there",
    );
    let settling = "while the model settles or in stretches too short";
    tell(left.settling, settling, settling);
    let out = if out.is_empty() {
        "none left out".to_owned()
    } else {
        let first = left
            .first_line
            .map_or_else(String::new, |line| format!(" (the first in line {line})"));
        format!("left out {}{first}", out.join(", "))
    };
    let stretches = if record.stretches == 1 {
        "one stretch".to_owned()
    } else {
        format!("{} stretches", record.stretches)
    };
    format!(
        "Held to {}: {} readings of {} over {} in {stretches}, one every {}; {out}.",
        record.log,
        record.readings,
        record.tank,
        hours(record.span_h),
        if record.interval_s < 60.0 {
            format!("{:.0} s", record.interval_s)
        } else {
            duration(record.interval_s / 3600.0)
        }
    )
}

fn cells(record: &Fit, parameter: &FitParameter, units: Units) -> Vec<String> {
    let between = parameter.interval.map_or_else(
        || MISSING.to_owned(),
        |[low, high]| {
            format!(
                "{} to {}",
                figure(parameter.what, low, units),
                figure(parameter.what, high, units)
            )
        },
    );
    let found = &record.tank_found;
    let scaled = |whole: f64, value: f64| whole * value / parameter.value;
    let which = match (parameter.what, parameter.interval) {
        (FitParameterKind::LossesFrac, Some([low, high])) => format!(
            "{}, {} to {}",
            units.conductance(found.slope_w_per_k),
            units.conductance(scaled(found.slope_w_per_k, low)),
            units.conductance(scaled(found.slope_w_per_k, high))
        ),
        (FitParameterKind::HeaterPowerFrac, Some([low, high])) => format!(
            "{} of {} stated, {} to {}",
            power(found.heaters_w),
            power(found.stated_heaters_w),
            power(scaled(found.heaters_w, low)),
            power(scaled(found.heaters_w, high))
        ),
        (FitParameterKind::CapacityFrac, Some(_)) => units.heat_capacity(found.heat_capacity_j_per_k),
        (FitParameterKind::RoomOffsetK, Some(_)) => format!(
            "as {} of constant heat, of pumps for example",
            power(found.slope_w_per_k * parameter.value)
        ),
        _ => String::new(),
    };
    vec![
        name(parameter.what).to_owned(),
        figure(parameter.what, parameter.value, units),
        between,
        which,
    ]
}

fn name(what: FitParameterKind) -> &'static str {
    match what {
        FitParameterKind::LossesFrac => "losses, of computed",
        FitParameterKind::CapacityFrac => "heat capacity, of computed",
        FitParameterKind::HeaterPowerFrac => "heaters' real power",
        FitParameterKind::RoomOffsetK => "room warmer than logged",
        FitParameterKind::PumpHeatFrac => "heat of the pumps",
        FitParameterKind::ProbeLagS => "lag of the probe",
    }
}

fn percent(frac: f64) -> String {
    format!("{:.1} %", 100.0 * frac)
}

fn figure(what: FitParameterKind, value: f64, units: Units) -> String {
    match what {
        FitParameterKind::RoomOffsetK => units.difference(value),
        FitParameterKind::ProbeLagS => format!("{value:.0} s"),
        _ => percent(value),
    }
}
