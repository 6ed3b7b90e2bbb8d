//! Where the heat goes.

use super::{Column, WIDTH, cautions, facts, grid, list, one_decimal, range};
use crate::records::{Budget, BudgetPath, StuckOn};
use crate::wording::{MISSING, Units, duration, or_missing, power, share, trimmed, wrapped};

/// The budget of a scenario: losses, gains, what heaters must do, and what happens with everything stuck on.
#[must_use]
pub fn budget(record: &Budget, units: Units) -> String {
    let mut text = wrapped("", &format!("{}: {}", record.scenario, record.title), WIDTH);
    text += &wrapped(
        "",
        &format!(
            "All water at {}, room at {} and {} humidity.",
            units.line(record.target_c),
            units.line(record.room_c),
            share(record.relative_humidity_frac)
        ),
        WIDTH,
    );
    if let Some(uncertainty) = &record.uncertainty {
        text.push('\n');
        text += &range::in_words(uncertainty, record.total_loss_w, units);
    }
    text.push('\n');
    text += &paths("Heat goes out by", &record.losses);
    text += &format!("Total {}.\n", power(record.total_loss_w));
    if !record.gains.is_empty() {
        text.push('\n');
        text += &paths("Heat comes in by", &record.gains);
    }
    text.push('\n');
    text += &facts(figures(record, units));
    if !record.stuck_on.is_empty() {
        text += "\nEvery heater on for good, from the target\n";
        text += &grid(
            &[
                Column::words("Room", 42),
                Column::figures("Settles at", 14),
                Column::words("Hours to the lines", 20),
            ],
            record
                .stuck_on
                .iter()
                .map(|stuck| stuck_cells(stuck, units))
                .collect(),
        );
    }
    text += &range::by_correlation(&record.by_correlation, units);
    if let Some(uncertainty) = &record.uncertainty {
        text += &range::intervals(uncertainty, units);
    }
    text += &range::warnings(&record.warnings);
    text += &list("Assumed", record.assumptions.iter().map(String::as_str));
    text += &cautions(&record.cautions);
    text
}

fn paths(head: &'static str, paths: &[BudgetPath]) -> String {
    grid(
        &[
            Column::words(head, 30),
            Column::words("Tank", 24),
            Column::figures("Watts", 10),
            Column::figures("% of loss", 12),
            Column::words("", 1),
        ],
        paths
            .iter()
            .map(|path| {
                vec![
                    path.name.clone(),
                    path.tank.clone(),
                    one_decimal(path.power_w),
                    one_decimal(path.percent),
                    String::new(),
                ]
            })
            .collect(),
    )
}

fn figures(record: &Budget, units: Units) -> Vec<(String, String)> {
    let equal = "Loss with water and room equally warm";
    [
        (
            "Slope, per degree of warmer water",
            units.conductance(record.slope_w_per_k),
        ),
        (equal, power(record.loss_at_equal_temperatures_w)),
        (
            "Heat capacity",
            if record.heat_capacity_j_per_k.is_finite() {
                format!("{} MJ/K", trimmed(record.heat_capacity_j_per_k / 1e6, 2))
            } else {
                MISSING.to_owned()
            },
        ),
        ("Time constant", duration(record.time_constant_h)),
        ("Heaters needed, in the mean", power(record.heater_needed_w)),
        ("Heaters rated", power(record.heaters_rated_w)),
        (
            "Coldest room the heaters hold",
            or_missing(record.coldest_room_held_c, |room_c| units.temperature(room_c)),
        ),
        (
            "Without heaters the water settles at",
            or_missing(record.unheated_c, |c| units.temperature(c)),
        ),
        (
            "Evaporation",
            format!("{} a day", units.volume(record.evaporation_l_per_day)),
        ),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .collect()
}

fn stuck_cells(stuck: &StuckOn, units: Units) -> Vec<String> {
    let lines: Vec<String> = stuck
        .hours_to_lines
        .iter()
        .map(|line| match line.after_h {
            Some(after_h) => format!("{} after {}", units.line(line.temp_c), duration(after_h)),
            None => format!("{} not reached", units.line(line.temp_c)),
        })
        .collect();
    vec![
        format!(
            "{}, {} and {}",
            stuck.room,
            units.line(stuck.room_c),
            share(stuck.relative_humidity_frac)
        ),
        or_missing(stuck.end_c, |end_c| units.temperature(end_c)),
        if lines.is_empty() {
            MISSING.to_owned()
        } else {
            lines.join(", ")
        },
    ]
}
