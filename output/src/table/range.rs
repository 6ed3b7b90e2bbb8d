//! How far a budget may be off: other correlations, intervals, warnings.

use super::{Column, WIDTH, grid, list};
use crate::records::{ByCorrelation, Interval, UncertainStuckOn, Uncertainty, Warning};
use crate::wording::{MISSING, Units, duration, hours, or_missing, power, restated, share, wrapped};

/// How many parameters are named as mattering most.
const NAMED: usize = 3;

/// The same tank by other published correlations; nothing where there is nothing to compare.
pub(super) fn by_correlation(rows: &[ByCorrelation], units: Units) -> String {
    if rows.len() < 2 {
        return String::new();
    }
    // "gains" needs room beside its volume.
    let gains = rows.iter().any(|row| row.evaporation_l_per_day < 0.0);
    let (name_width, water_width) = if gains { (36, 18) } else { (40, 14) };
    let table = grid(
        &[
            Column::words("Evaporation by", name_width),
            Column::figures("Loss", 10),
            Column::figures("Slope", 12),
            Column::figures("Water a day", water_width),
            Column::words("Stuck on, year's warmest", 20),
        ],
        rows.iter()
            .map(|row| {
                let own = if row.own { ", as the scenario says" } else { "" };
                vec![
                    format!("{}{own}", row.correlation),
                    power(row.total_loss_w),
                    units.conductance(row.slope_w_per_k),
                    water_a_day(row.evaporation_l_per_day, units),
                    or_missing(row.warmest_end_c, |end_c| units.temperature(end_c)),
                ]
            })
            .collect(),
    );
    format!("\nThe same tank by other published correlations\n{table}")
}

/// What evaporates in a day; where it condenses, what the tank gains.
fn water_a_day(evaporation_l_per_day: f64, units: Units) -> String {
    let volume = units.volume(evaporation_l_per_day.abs());
    if evaporation_l_per_day < 0.0 {
        format!("gains {volume}")
    } else {
        volume
    }
}

/// The loss, how far it may be off, and what matters most, in words.
pub(super) fn in_words(uncertainty: &Uncertainty, total_loss_w: f64, units: Units) -> String {
    let mut text = format!(
        "This tank's loss is {}: {} in nine of ten cases. What matters most, by rank correlation: {}.",
        power(total_loss_w),
        span(
            uncertainty.total_loss_w,
            power,
            "less than can be told",
            "more than can be told"
        ),
        most(uncertainty, |parameter| Some(parameter.rank_correlation_loss)),
    );
    if let Some(warmest) = uncertainty.stuck_on.last() {
        let degrees = |temp_c: f64| units.temperature(temp_c);
        text += &format!(
            " With every heater on for good, in the room {}, it settles at {} in nine of ten cases; what matters most there: {}.",
            warmest.room,
            span(warmest.end_c, degrees, "no end", "no end"),
            most(uncertainty, |parameter| parameter.rank_correlation_warmest_end),
        );
    }
    wrapped("", &text, WIDTH)
}

/// Intervals and parameters as tables.
pub(super) fn intervals(uncertainty: &Uncertainty, followed_h: f64, units: Units) -> String {
    let mut text = format!(
        "\nIn nine of ten of {} samples, seed {}\n",
        uncertainty.samples, uncertainty.seed
    );
    let conductance = |per_k: f64| units.conductance(per_k);
    text += &super::facts(vec![
        ("Loss".to_owned(), with_middle(uncertainty.total_loss_w, power)),
        (
            "Slope, per degree of warmer water".to_owned(),
            with_middle(uncertainty.slope_w_per_k, conductance),
        ),
    ]);
    text.push('\n');
    text += &grid(
        &[
            Column::words("Every heater on for good, room", 40),
            Column::figures("Settles at", 20),
            Column::words("Passes the danger lines", 20),
        ],
        uncertainty
            .stuck_on
            .iter()
            .map(|room| room_cells(room, followed_h, units))
            .collect(),
    );
    text.push('\n');
    text += &grid(
        &[
            Column::words("What is uncertain", 46),
            Column::figures("Loss", 8),
            Column::figures("Settles", 10),
            Column::words("Drawn from", 20),
        ],
        uncertainty
            .parameters
            .iter()
            .map(|parameter| {
                vec![
                    parameter.words.clone(),
                    format!("{:+.2}", parameter.rank_correlation_loss),
                    or_missing(parameter.rank_correlation_warmest_end, |rank| {
                        format!("{rank:+.2}")
                    }),
                    parameter.distribution.clone(),
                ]
            })
            .collect(),
    );
    text + &wrapped(
        "",
        "Loss and Settles (warmest room) are Spearman's rank correlations with the sampled value: 1 or -1 it alone decides, 0 it does not \
         matter. Where the numbers come from is in the file of distributions and in the JSON form.",
        WIDTH,
    )
}

/// Warnings, one paragraph for all that say the same of different things.
pub(super) fn warnings(warnings: &[Warning], units: Units) -> String {
    list(
        "Outside what the model is good for",
        warnings_told(warnings, units).iter().map(String::as_str),
    )
}

/// Warnings in words, those of one reason together.
pub(crate) fn warnings_told(warnings: &[Warning], units: Units) -> Vec<String> {
    let mut told: Vec<(Vec<&str>, &Warning)> = Vec::new();
    for warning in warnings {
        let same = |known: &Warning| known.why == warning.why && known.advice == warning.advice;
        match told.iter_mut().find(|(_, known)| same(known)) {
            Some((whats, _)) => whats.push(&warning.what),
            None => told.push((vec![&warning.what], warning)),
        }
    }
    told.iter()
        .map(|(whats, warning)| {
            restated(
                &format!("{}. {} {}", whats.join(". "), warning.why, warning.advice),
                units,
            )
        })
        .collect()
}

/// "252 W to 371 W"; an unknown end in the given words.
fn span(interval: Interval, shown: impl Fn(f64) -> String, no_low: &str, no_high: &str) -> String {
    let end = |end: Option<f64>, missing: &str| end.map_or_else(|| missing.to_owned(), &shown);
    let (low, high) = (end(interval.p05, no_low), end(interval.p95, no_high));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

/// "252 W to 371 W, half of them below 310 W".
fn with_middle(interval: Interval, shown: impl Fn(f64) -> String) -> String {
    let middle = or_missing(interval.p50, &shown);
    format!(
        "{}, half of them below {middle}",
        span(interval, &shown, MISSING, MISSING)
    )
}

/// The parameters with the largest correlations, largest first.
fn most(
    uncertainty: &Uncertainty,
    of: impl Fn(&crate::records::UncertainParameter) -> Option<f64>,
) -> String {
    let mut ranked: Vec<(f64, &str)> = uncertainty
        .parameters
        .iter()
        .filter_map(|parameter| of(parameter).map(|rank| (rank.abs(), parameter.words.as_str())))
        .collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    match ranked.get(..NAMED.min(ranked.len())) {
        Some([(_, first)]) => (*first).to_owned(),
        Some([(_, first), rest @ ..]) => {
            let rest: Vec<&str> = rest.iter().map(|(_, words)| *words).collect();
            format!("{first}; then {}", rest.join("; then "))
        }
        _ => "nothing that was drawn".to_owned(),
    }
}

fn room_cells(room: &UncertainStuckOn, followed_h: f64, units: Units) -> Vec<String> {
    let degrees = |temp_c: f64| units.temperature(temp_c);
    let lines: Vec<String> = room
        .hours_to_lines
        .iter()
        .map(|line| {
            let when = if line.reached_frac == 0.0 {
                format!("not within {}", hours(followed_h))
            } else if line.reached_frac < 0.95 {
                format!("in {} of cases", share(line.reached_frac))
            } else {
                format!("after {}", span(line.after_h, duration, MISSING, MISSING))
            };
            format!("{} {when}", units.line(line.temp_c))
        })
        .collect();
    vec![
        format!("{}, {}", room.room, units.line(room.room_c)),
        span(room.end_c, degrees, "no end", "no end"),
        if lines.is_empty() {
            MISSING.to_owned()
        } else {
            lines.join(", ")
        },
    ]
}
