//! Where the heat goes.

use super::{Column, WIDTH, assumed, cautions, facts, grid, one_decimal, range};
use crate::cautions::gathered;
use crate::records::{Budget, BudgetPath, Budgets, RoomDeviceKind, StuckOn};
use crate::wording::{MISSING, Units, duration, enumerated, hours, or_missing, power, share, wrapped};

/// The budget of a scenario: losses, gains, what heaters must do, and what happens with everything stuck on.
#[must_use]
pub fn budget(record: &Budget, units: Units) -> String {
    wrapped("", &format!("{}: {}", record.scenario, record.title), WIDTH)
        + &body(record, units)
        + &assumed(&record.assumptions, units)
        + &cautions(&record.cautions)
}

/// The budgets of several water systems: beside each other, then each, then the assumptions and cautions of all.
#[must_use]
pub fn budgets(record: &Budgets, units: Units) -> String {
    let Some(first) = record.systems.first() else {
        return String::new();
    };
    let mut text = wrapped("", &format!("{}: {}", first.scenario, first.title), WIDTH);
    text += &wrapped(
        "",
        &format!(
            "{} water systems in one room, each by itself.",
            record.systems.len()
        ),
        WIDTH,
    );
    text.push('\n');
    text += &grid(
        &[
            Column::words("System", 30),
            Column::figures("Loss", 12),
            Column::figures("Heaters\nneeded", 12),
            Column::figures("Heaters\nrated", 12),
            Column::figures("Coldest\nroom held", 14),
            Column::figures("Evaporation\na day", 16),
        ],
        record.systems.iter().map(|one| beside(one, units)).collect(),
    );
    for one in &record.systems {
        text += &format!(
            "\n{}",
            wrapped("", one.system.as_deref().unwrap_or_default(), WIDTH)
        );
        text += &body(one, units);
    }
    let all = record.systems.iter().flat_map(|one| one.cautions.iter().cloned());
    text + &assumed(&first.assumptions, units) + &cautions(&gathered(all))
}

/// One system beside the others.
fn beside(one: &Budget, units: Units) -> Vec<String> {
    vec![
        one.system.clone().unwrap_or_default(),
        power(one.total_loss_w),
        power(one.heater_needed_w),
        power(one.heaters_rated_w),
        or_missing(one.coldest_room_held_c, |room_c| units.temperature(room_c)),
        units.volume(one.evaporation_l_per_day),
    ]
}

/// All but title, assumptions and cautions.
fn body(record: &Budget, units: Units) -> String {
    let mut text = String::new();
    text += &wrapped(
        "",
        &format!(
            "All water at {}, {}.",
            units.line(record.target_c),
            room(record, units)
        ),
        WIDTH,
    );
    if let Some(uncertainty) = &record.uncertainty {
        text.push('\n');
        text += &range::in_words(uncertainty, record.total_loss_w, units);
    }
    text.push('\n');
    text += &paths(
        "Heat goes out by",
        &record.losses,
        record.total_loss_w,
        record.total_loss_w,
    );
    if record.losses.iter().any(|path| path.power_w < 0.0) {
        text += "Below zero: heat comes in that way.\n";
    }
    let mut gains = record.gains.clone();
    let gains_w: f64 = gains.iter().map(|gain| gain.power_w).sum();
    if record.heat_needed_w > 0.0 {
        gains.push(BudgetPath {
            name: "heaters, to hold the target".to_owned(),
            tank: String::new(),
            power_w: record.heat_needed_w,
            percent: record.heat_needed_w / record.total_loss_w * 100.0,
        });
    }
    text.push('\n');
    text += &paths(
        "Heat comes in by",
        &gains,
        gains_w + record.heat_needed_w,
        record.total_loss_w,
    );
    if gains_w > record.total_loss_w {
        let surplus = "More comes in than goes out: without cooling the water gets warmer than the target.";
        text += &wrapped("", surplus, WIDTH);
    }
    text.push('\n');
    text += &facts(figures(record, units));
    if !record.stuck_on.is_empty() {
        let heading = format!(
            "Every heater on for good, starting at the target, no contact of its chain opening, for {}",
            hours(record.stuck_on_followed_h)
        );
        text += &format!("\n{}", wrapped("", &heading, WIDTH));
        text += &grid(
            &[
                Column::words("Room: temperature, humidity", 46),
                Column::figures("Settles at", 14),
                Column::words("Passes the danger lines", 20),
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
        text += &range::intervals(uncertainty, record.stuck_on_followed_h, units);
    }
    text + &range::warnings(&record.warnings, units)
}

/// The room in words: what it is held at, and by what.
fn room(record: &Budget, units: Units) -> String {
    let (room_c, humidity) = (units.line(record.room_c), share(record.relative_humidity_frac));
    let Some(building) = &record.building else {
        return format!("the room at its mean of {room_c} and {humidity} humidity");
    };
    let outdoors = units.line(building.outdoors_c);
    let makes = match building.device {
        None => "its building makes it without heating or cooling".to_owned(),
        Some(device) => {
            let name = match device {
                RoomDeviceKind::Heating => "heating",
                RoomDeviceKind::Cooling => "cooling",
            };
            if building.device_w < building.device_rated_w {
                let (used, most) = (power(building.device_w), power(building.device_rated_w));
                format!("its {name} holds it with {used} of {most}")
            } else {
                format!(
                    "its {name} leaves it with all its {}",
                    power(building.device_rated_w)
                )
            }
        }
    };
    format!("the room at {room_c} and {humidity} humidity, as {makes} at the mean outdoors of {outdoors}")
}

/// Whether the heaters do, and how much of their power reaches the water.
fn reach(record: &Budget) -> String {
    let lost = record.heaters_to_water_w < record.heaters_rated_w;
    let reaches = if lost {
        format!(
            ", of which the water gets {} at the target",
            power(record.heaters_to_water_w)
        )
    } else {
        String::new()
    };
    let short = if record.heat_needed_w > record.heaters_to_water_w {
        ", too little to hold the target in this room"
    } else {
        ""
    };
    format!("{reaches}{short}")
}

/// Paths with their total; `loss_w` is what the shares are of.
fn paths(head: &'static str, paths: &[BudgetPath], total_w: f64, loss_w: f64) -> String {
    let percent_of_loss: f64 = paths.iter().map(|path| path.percent).sum();
    let watts = adding_up(paths.iter().map(|path| path.power_w), total_w);
    // Shares of a loss that is a gain say nothing.
    let shares = loss_w > 0.0;
    let percents: Vec<String> = if shares {
        adding_up(paths.iter().map(|path| path.percent), percent_of_loss)
    } else {
        vec![MISSING.to_owned(); paths.len()]
    };
    let total = [
        "total".to_owned(),
        String::new(),
        one_decimal(total_w),
        if shares {
            one_decimal(percent_of_loss)
        } else {
            MISSING.to_owned()
        },
    ];
    let rows = paths
        .iter()
        .zip(watts.into_iter().zip(percents))
        .map(|(path, (watts, percent))| [way(path).to_owned(), path.tank.clone(), watts, percent]);
    grid(
        &[
            Column::words(head, 30),
            Column::words("Tank", 24),
            Column::figures("Watts", 10),
            Column::figures("% of loss", 12),
            Column::words("", 1),
        ],
        rows.chain([total])
            .map(|cells| cells.into_iter().chain([String::new()]).collect())
            .collect(),
    )
}

/// The name of a way of the heat: what evaporates less than nothing condenses.
fn way(path: &BudgetPath) -> &str {
    if path.name == "evaporation" && path.power_w < 0.0 {
        "condensation"
    } else {
        &path.name
    }
}

/// The values with one decimal each, so rounded that the texts add up to the text of their total: the tenths that rounding
/// down leaves over go to the values with the largest remainders.
fn adding_up(values: impl Iterator<Item = f64>, total: f64) -> Vec<String> {
    let values: Vec<f64> = values.collect();
    let mut tenths: Vec<f64> = values.iter().map(|value| (value * 10.0).floor()).collect();
    let left_over = (total * 10.0).round() - tenths.iter().sum::<f64>();
    let shared_out = (0..=values.len()).find(|count| *count as f64 == left_over);
    let Some(left_over) = shared_out else {
        return values.into_iter().map(one_decimal).collect();
    };
    let mut by_remainder: Vec<usize> = (0..values.len()).collect();
    let remainder = |index: usize| values[index] * 10.0 - (values[index] * 10.0).floor();
    by_remainder.sort_by(|a, b| remainder(*b).total_cmp(&remainder(*a)));
    for index in by_remainder.into_iter().take(left_over) {
        tenths[index] += 1.0;
    }
    tenths
        .into_iter()
        .map(|tenths| one_decimal(tenths / 10.0))
        .collect()
}

fn figures(record: &Budget, units: Units) -> Vec<(String, String)> {
    let rated = power(record.heaters_rated_w);
    [
        (
            "More loss per degree of warmer water",
            units.conductance(record.slope_w_per_k),
        ),
        (
            "Loss with water and room equally warm",
            power(record.loss_at_equal_temperatures_w),
        ),
        (
            "Heat capacity of water, rock and glass",
            units.heat_capacity(record.heat_capacity_j_per_k),
        ),
        ("Time constant", duration(record.time_constant_h)),
        ("Heaters needed, in the mean", power(record.heater_needed_w)),
        ("Heaters rated", format!("{rated}{}", reach(record))),
        (
            "Coldest room the heaters hold",
            or_missing(record.coldest_room_held_c, |room_c| units.temperature(room_c)),
        ),
        (
            "Without heaters the water settles at",
            or_missing(record.unheated_c, |c| units.temperature(c)),
        ),
        (
            if record.evaporation_l_per_day < 0.0 {
                "Condensation"
            } else {
                "Evaporation"
            },
            format!("{} a day", units.volume(record.evaporation_l_per_day.abs())),
        ),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .collect()
}

fn stuck_cells(stuck: &StuckOn, units: Units) -> Vec<String> {
    let mut told = Vec::new();
    let mut not_reached = Vec::new();
    for line in &stuck.hours_to_lines {
        match line.after_h {
            Some(after_h) if after_h <= 0.0 => told.push(format!("{} at once", units.line(line.temp_c))),
            Some(after_h) => told.push(format!("{} after {}", units.line(line.temp_c), duration(after_h))),
            None => not_reached.push(units.line(line.temp_c)),
        }
    }
    if !not_reached.is_empty() {
        let not = if told.is_empty() { "none of" } else { "not" };
        told.push(format!("{not} {}", enumerated(&not_reached)));
    }
    vec![
        format!(
            "{}: {}, {}",
            stuck.room,
            units.line(stuck.room_c),
            share(stuck.relative_humidity_frac)
        ),
        or_missing(stuck.end_c, |end_c| units.temperature(end_c)),
        if told.is_empty() {
            MISSING.to_owned()
        } else {
            told.join(", ")
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounded_parts_add_up_to_the_rounded_total() {
        let thirds = adding_up([33.333, 33.333, 33.334].into_iter(), 100.0);
        assert_eq!(thirds, ["33.3", "33.3", "33.4"]);
        // Each rounds up by itself, to 0.3 in all.
        assert_eq!(
            adding_up([0.06, 0.06, 0.06].into_iter(), 0.18),
            ["0.1", "0.1", "0.0"]
        );
    }

    #[test]
    fn a_gain_among_losses_keeps_its_sign() {
        assert_eq!(adding_up([10.06, -2.06].into_iter(), 8.0), ["10.1", "-2.1"]);
    }

    #[test]
    fn parts_that_do_not_add_up_are_not_made_to() {
        assert_eq!(adding_up([1.0, 2.0].into_iter(), 4.0), ["1.0", "2.0"]);
        assert_eq!(adding_up([f64::NAN, 2.0].into_iter(), 4.0), [MISSING, "2.0"]);
    }
}
