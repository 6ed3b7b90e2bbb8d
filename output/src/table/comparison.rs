//! Strategies side by side.

use super::{Column, WIDTH, cautions, grid, list};
use crate::judgement::worst_of;
use crate::records::{
    Comparison, DangerLine, HealthySummary, Merit, RoomKind, ScenarioBlock, Standing, StrategyRow,
};
use crate::verdict::{in_room, verdict};
use crate::wording::{MISSING, Units, duration, hours, or_missing, outcome, share, wrapped, years};

/// What marks a value as best.
const BEST: &str = "*";

/// All scenarios of a comparison, each with its table, verdict, assumptions and cautions.
#[must_use]
pub fn comparison(record: &Comparison, units: Units) -> String {
    let blocks: Vec<String> = record
        .scenarios
        .iter()
        .map(|block| scenario(block, record, units))
        .collect();
    blocks.join("\n\n")
}

fn scenario(block: &ScenarioBlock, record: &Comparison, units: Units) -> String {
    let mut text = wrapped("", &format!("{}: {}", block.name, block.title), WIDTH);
    text += &wrapped("", &set_up(block, record, units), WIDTH);
    text += &wrapped("", &bears(block, units), WIDTH);
    text.push('\n');
    text += &grid(
        &[
            Column::words("Strategy", 19),
            Column::figures("Inside\nband", 10),
            Column::figures("Over-\nshoot", 11),
            Column::figures("Closings\na day", 11),
            Column::figures("Contact\nlife, years", 14),
            Column::figures("kWh\na day", 8),
            Column::words("If one thing breaks", 20),
        ],
        block.rows.iter().map(|row| cells(row, block, units)).collect(),
    );
    if block.rows.iter().any(|row| !row.best_in.is_empty()) {
        let legend = "best of those that no single fault in this table takes past the dose";
        text += &wrapped(&format!("{BEST} "), legend, WIDTH);
    }
    text += &other_rooms(block, units);
    let settings: Vec<String> = block
        .rows
        .iter()
        .map(|row| format!("{}: {}", row.strategy, row.settings))
        .collect();
    text += &list("Settings", settings.iter().map(String::as_str));
    text += "\nVerdict\n";
    text += &wrapped("", &verdict(block, units).join(" "), WIDTH);
    text += &list(
        "Failed runs",
        block
            .rows
            .iter()
            .flat_map(|row| &row.failures)
            .map(String::as_str),
    );
    text += &list("Assumed", block.assumptions.iter().map(String::as_str));
    text += &cautions(&block.cautions);
    text
}

fn set_up(block: &ScenarioBlock, record: &Comparison, units: Units) -> String {
    let room = block
        .rooms
        .iter()
        .find(|room| room.room == RoomKind::Scenario)
        .map_or_else(String::new, |room| {
            format!(
                ", room {} at {} humidity",
                units.range(room.lowest_c, room.highest_c),
                share(room.relative_humidity_frac)
            )
        });
    let runs = if record.replicates == 1 {
        "one run".to_owned()
    } else {
        format!("{} runs", record.replicates)
    };
    format!(
        "Target {}, band {}, {}{room}; {runs} of each, seed {}.",
        units.line(block.target_c),
        units.range(block.band_c[0], block.band_c[1]),
        duration(block.duration_h),
        record.seed
    )
}

/// What the livestock bears: the dose is used up after these times at these temperatures.
fn bears(block: &ScenarioBlock, units: Units) -> String {
    let lines = |lines: &[DangerLine]| {
        let told: Vec<String> = lines
            .iter()
            .map(|line| match line.allowed_h {
                Some(allowed_h) => format!("{} for {}", units.line(line.temp_c), duration(allowed_h)),
                None => format!("{} not at all", units.line(line.temp_c)),
            })
            .collect();
        if told.is_empty() {
            "not stated".to_owned()
        } else {
            told.join(", ")
        }
    };
    let livestock = &block.livestock;
    format!(
        "Dose ({}, {}): hot {}; cold {}.",
        livestock.kind,
        livestock.source,
        lines(&livestock.danger_hot),
        lines(&livestock.danger_cold)
    )
}

fn cells(row: &StrategyRow, block: &ScenarioBlock, units: Units) -> Vec<String> {
    let healthy = row.healthy.as_ref();
    let marked = |merit: Merit, text: String| {
        if row.best_in.contains(&merit) {
            format!("{text} {BEST}")
        } else {
            text
        }
    };
    let inside = healthy
        .and_then(HealthySummary::outside_band_h)
        .map(|outside_h| 1.0 - outside_h / block.duration_h);
    let overshoot = healthy
        .and_then(|healthy| healthy.overshoot_k)
        .map(|spread| spread.worst);
    let closings = healthy
        .and_then(HealthySummary::busiest_contact)
        .map(|contact| contact.closings_per_day.worst);
    let life = healthy.and_then(HealthySummary::shortest_life_years);
    let energy = healthy
        .and_then(|healthy| healthy.energy_kwh)
        .map(|spread| spread.mean * 24.0 / block.duration_h);
    vec![
        row.strategy.clone(),
        marked(Merit::InsideBand, or_missing(inside, share)),
        marked(Merit::Overshoot, or_missing(overshoot, |k| units.difference(k))),
        marked(
            Merit::ClosingsPerDay,
            or_missing(closings, |closings| format!("{closings:.1}")),
        ),
        marked(
            Merit::ContactLife,
            or_missing(life, |life| years(life).replace(" years", "")),
        ),
        marked(Merit::Energy, or_missing(energy, |energy| format!("{energy:.2}"))),
        standing(row, block, units),
    ]
}

/// The standing, then what the worst fault does: in the scenario's own room if it was tried there.
fn standing(row: &StrategyRow, block: &ScenarioBlock, units: Units) -> String {
    let own_room = worst_of(
        row.faults
            .iter()
            .filter(|outcome| outcome.room == RoomKind::Scenario),
    );
    let worst = own_room.or_else(|| row.worst_fault());
    let what = worst.map_or_else(
        || MISSING.to_owned(),
        |worst| {
            format!(
                "{}{}: {}",
                worst.case,
                in_room(worst),
                outcome(worst, &block.livestock, units)
            )
        },
    );
    match &row.standing {
        Standing::DoesNotApply => {
            format!(
                "does not apply: {}",
                row.does_not_apply.as_deref().unwrap_or("it lacks a device")
            )
        }
        Standing::Failed => "failed".to_owned(),
        Standing::NoFaultTried => "no fault tried".to_owned(),
        Standing::PastTheDose => "past the dose with nothing broken".to_owned(),
        Standing::NotJudged => what,
        Standing::Best => format!("first choice\n{what}"),
        Standing::FitToUse => format!("stays below the dose\n{what}"),
        Standing::OneFaultAway { fault, room } => match worst {
            Some(worst) if worst.case == *fault && worst.room == *room => format!("one fault away: {what}"),
            _ => match row.worst_fault() {
                Some(decisive) => format!("one fault away: {fault}{}\n{what}", in_room(decisive)),
                None => format!("one fault away: {fault}"),
            },
        },
    }
}

/// The worst fault of each strategy in the year's coldest and warmest room, if those were tried.
fn other_rooms(block: &ScenarioBlock, units: Units) -> String {
    let tried: Vec<RoomKind> = [RoomKind::Coldest, RoomKind::Warmest]
        .into_iter()
        .filter(|kind| {
            block
                .rows
                .iter()
                .flat_map(|row| &row.faults)
                .any(|outcome| outcome.room == *kind)
        })
        .collect();
    let mut text = String::new();
    for kind in tried {
        let Some(room) = block.rooms.iter().find(|room| room.room == kind) else {
            continue;
        };
        let name = if kind == RoomKind::Coldest {
            "coldest"
        } else {
            "warmest"
        };
        let origin = if room.stated {
            ""
        } else {
            ", not stated: taken from the scenario's own room"
        };
        text += &format!(
            "\n{}",
            wrapped(
                "",
                &format!(
                    "In the year's {name} room ({}{origin})",
                    units.line(room.highest_c)
                ),
                WIDTH
            )
        );
        let rows = block
            .rows
            .iter()
            .filter_map(|row| {
                let worst = worst_of(row.faults.iter().filter(|outcome| outcome.room == kind))?;
                let past = match worst.stays_below_dose {
                    Some(true) => "stays below the dose",
                    Some(false) => "past the dose",
                    None => "failed",
                };
                Some(vec![
                    row.strategy.clone(),
                    past.to_owned(),
                    format!("{}: {}", worst.case, outcome(worst, &block.livestock, units)),
                ])
            })
            .collect();
        text += &grid(
            &[
                Column::words("Strategy", 19),
                Column::words("Worst fault", 22),
                Column::words("What it does", 20),
            ],
            rows,
        );
    }
    text
}

/// Every fault case of every strategy, for those who want all of them.
#[must_use]
pub fn every_fault(record: &Comparison, units: Units) -> String {
    let mut text = String::new();
    for block in &record.scenarios {
        text += &wrapped("", &format!("{}: every fault", block.name), WIDTH);
        let rows = block
            .rows
            .iter()
            .flat_map(|row| row.faults.iter().map(move |fault| (row, fault)))
            .map(|(row, fault)| {
                vec![
                    row.strategy.clone(),
                    format!("{}{}", fault.case, in_room(fault)),
                    hours(fault.horizon_h),
                    outcome(fault, &block.livestock, units),
                ]
            })
            .collect();
        text += &grid(
            &[
                Column::words("Strategy", 19),
                Column::words("Fault", 30),
                Column::figures("Followed", 10),
                Column::words("What it does", 20),
            ],
            rows,
        );
    }
    text
}
