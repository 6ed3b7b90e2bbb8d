//! What the worst single fault does, room by room; strategies that fare alike are named together.

use super::WIDTH;
use super::fate::fates;
use crate::cautions::{DRY_BODY_C, RUN_DRY};
use crate::records::{RoomBlock, RoomKind, ScenarioBlock, Standing, StrategyRow};
use crate::wording::{Units, enumerated, hours, wrapped};

/// "If one thing breaks": the worst outcome of each strategy in each room tried; nothing if no fault was tried.
pub(super) fn breakage(block: &ScenarioBlock, units: Units) -> String {
    let mut text = String::new();
    for room in RoomKind::ALL {
        let fates = fates(block, room);
        if !fates.is_empty() {
            let heading = room_heading(&block.rooms, room, units) + &tried_at(block, room);
            text += &wrapped("", &heading, WIDTH);
        }
        for fate in fates {
            text += &wrapped("- ", &fate.told(block, units), WIDTH);
        }
    }
    if text.is_empty() {
        return run_dry(block, units);
    }
    let followed = block.rows.iter().flat_map(|row| &row.faults);
    let horizon = followed.map(|outcome| outcome.horizon_h).reduce(f64::max);
    let within = horizon.map_or_else(String::new, |horizon_h| {
        format!(", followed for {}", hours(horizon_h))
    });
    format!(
        "\nIf one thing breaks: the worst single fault, from the worst instant tried{within}\n{text}{}",
        run_dry(block, units)
    )
}

/// The heading of a room: "Constant at the year's warmest, 29 °C".
pub(super) fn room_heading(rooms: &[RoomBlock], kind: RoomKind, units: Units) -> String {
    let name = room_name(kind);
    match rooms.iter().find(|room| room.room == kind) {
        Some(room) => {
            let origin = if room.stated {
                ""
            } else {
                " (not stated: taken from the scenario's own room)"
            };
            format!("{name}, {}{origin}", units.range(room.lowest_c, room.highest_c))
        }
        None => name.to_owned(),
    }
}

/// A room's name at the beginning of a line.
pub(super) fn room_name(kind: RoomKind) -> &'static str {
    match kind {
        RoomKind::Scenario => "The scenario's own room",
        RoomKind::Coldest => "Constant at the year's coldest",
        RoomKind::Warmest => "Constant at the year's warmest",
    }
}

/// On which days the instants lie at which a fault was tried, where there is more than one day.
fn tried_at(block: &ScenarioBlock, room: RoomKind) -> String {
    let mut days: Vec<f64> = block
        .trial_instants_h
        .iter()
        .map(|at_h| (at_h / 24.0).floor() + 1.0)
        .collect();
    days.dedup();
    let tries = block.rows.iter().flat_map(|row| row.outcomes_in(room));
    let most = tries.map(|outcome| outcome.tries).max().unwrap_or(0);
    if room != RoomKind::Scenario || days.len() < 2 || most < 2 {
        return String::new();
    }
    let later: Vec<String> = days.iter().skip(1).map(|day| format!("{day:.0}")).collect();
    let later = if let [one] = later.as_slice() {
        format!(" and day {one}, the warmest and the coldest of all among them")
    } else {
        format!(", the warmest and the coldest (days {})", enumerated(&later))
    };
    format!("; tried at {most} instants of {} days: day 1{later}", days.len())
}

/// Heaters that ran dry, with the reason first.
fn run_dry(block: &ScenarioBlock, units: Units) -> String {
    let mut cases: Vec<(&str, Vec<&str>, f64)> = Vec::new();
    let mut add = |case, strategy, body_c: f64| {
        if body_c <= DRY_BODY_C {
            return;
        }
        match cases.iter_mut().find(|(known, _, _)| *known == case) {
            Some((_, strategies, hottest_c)) => {
                if !strategies.contains(&strategy) {
                    strategies.push(strategy);
                }
                *hottest_c = hottest_c.max(body_c);
            }
            None => cases.push((case, vec![strategy], body_c)),
        }
    };
    for row in &block.rows {
        let unbroken = row.healthy.as_ref().and_then(|healthy| healthy.hottest_body_c);
        if let Some(hottest) = unbroken {
            add("with nothing broken", &row.strategy, hottest.worst);
        }
        for outcome in &row.faults {
            if let Some(body_c) = outcome.hottest_body_c {
                add(&outcome.case, &row.strategy, body_c);
            }
        }
    }
    let told = cases.iter().map(|(case, strategies, body_c)| {
        let told = format!(
            "{case} (under {}), heater body up to {}, {RUN_DRY}",
            enumerated(strategies),
            units.temperature(*body_c)
        );
        wrapped("- ", &told, WIDTH)
    });
    let told: String = told.collect();
    if told.is_empty() {
        told
    } else {
        format!("Heaters run dry\n{told}")
    }
}

/// "every strategy" where the names are all that were tried in a room and more than one, and none failed; else the names.
pub(super) fn named(names: &[&str], block: &ScenarioBlock, room: RoomKind) -> String {
    let tried = |row: &&StrategyRow| row.outcomes_in(room).next().is_some();
    let tried = block.rows.iter().filter(tried).count();
    let none_failed = block.rows.iter().all(|row| row.standing != Standing::Failed);
    if names.len() > 1 && names.len() == tried && none_failed {
        "every strategy".to_owned()
    } else {
        enumerated(names)
    }
}
