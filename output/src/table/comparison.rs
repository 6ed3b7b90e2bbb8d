//! Strategies side by side.

use super::every_fault::every_fault;
use super::{
    Column, WIDTH, assumed, breakage, cautions, facts, grid, list, livestock, oxygen, range, salinity,
};
use crate::cautions::gathered;
use crate::difference::differs;
use crate::records::{
    ClosingsByBody, Comparison, HealthySummary, Merit, RoomKind, ScenarioBlock, Standing, StrategyRow,
};
use crate::verdict::verdict;
use crate::wording::{
    MISSING, Units, duration, enumerated, or_missing, restated, share, spanned, trimmed, wrapped, years,
};

/// What marks a value as best.
const BEST: &str = "*";

/// All scenarios of a comparison, each with its table, what one fault does, and the verdict; then the cautions of all.
#[must_use]
pub fn comparison(record: &Comparison, units: Units) -> String {
    let blocks: Vec<String> = record
        .scenarios
        .iter()
        .map(|block| scenario(block, record, units))
        .collect();
    blocks.join("\n\n") + &all_cautions(record)
}

/// The same, with every fault case that was tried.
#[must_use]
pub fn comparison_with_every_fault(record: &Comparison, units: Units) -> String {
    let blocks: Vec<String> = record
        .scenarios
        .iter()
        .map(|block| scenario(block, record, units) + &every_fault(block, units))
        .collect();
    blocks.join("\n\n") + &all_cautions(record)
}

fn all_cautions(record: &Comparison) -> String {
    let all = record
        .scenarios
        .iter()
        .flat_map(|block| block.cautions.iter().cloned());
    cautions(&gathered(all))
}

fn scenario(block: &ScenarioBlock, record: &Comparison, units: Units) -> String {
    let mut text = wrapped("", &format!("{}: {}", block.name, block.title), WIDTH);
    text += &facts(set_up(block, record.replicates, record.seed, units));
    text.push('\n');
    text += &grid(
        &[
            Column::words("Strategy", name_width(block)),
            Column::figures("Inside\nband", 12),
            Column::figures("Over-\nshoot", 12),
            Column::figures("Under-\nshoot", 10),
            Column::figures("Closings\na day", 10),
            Column::figures("Its life\nin years", 12),
            Column::figures("kWh\na day", 8),
            Column::words("Standing", 10),
        ],
        shown_rows(block)
            .map(|row| row_cells(row, block, units))
            .collect(),
    );
    if let Some(legend) = legend(block) {
        text += &wrapped(&format!("{BEST} "), legend, WIDTH);
    }
    // What somebody came for stands on the first screen; what it rests on follows.
    text += "\nVerdict\n";
    text += &wrapped("", &verdict(block, units).join(" "), WIDTH);
    let mut beside = String::new();
    if block.rows.iter().any(|row| {
        row.healthy
            .as_ref()
            .is_some_and(|healthy| healthy.contacts.len() > 1)
    }) {
        beside += &wrapped("", &worn(block), WIDTH);
    }
    beside += &not_applying(block);
    beside += &fights(block);
    beside += &room_heat(block);
    beside += &by_body(block);
    if !beside.is_empty() {
        text += "\nBeside the table\n";
        text += &beside;
    }
    text += &breakage::breakage(block, units);
    text += &oxygen::oxygen(block);
    text += &salinity::salinity(block.rows.iter().flat_map(|row| &row.faults));
    let settings: Vec<String> = block
        .rows
        .iter()
        .filter(|row| row.does_not_apply.is_none())
        .map(|row| format!("{}: {}", row.strategy, restated(&row.settings, units)))
        .collect();
    text += &list("Settings", settings.iter().map(String::as_str));
    text += &list(
        "Failed runs",
        block
            .rows
            .iter()
            .flat_map(|row| &row.failures)
            .map(String::as_str),
    );
    text += &range::warnings(&block.warnings, units);
    text += &assumed(&block.assumptions, units);
    text
}

/// What has figures: a strategy that does not apply is told below the table, unless none applies.
fn shown_rows(block: &ScenarioBlock) -> impl Iterator<Item = &StrategyRow> {
    let none_applies = block.rows.iter().all(|row| row.does_not_apply.is_some());
    block
        .rows
        .iter()
        .filter(move |row| none_applies || row.does_not_apply.is_none())
}

/// Characters of the column of names: room for the longest, but for what the other columns need.
fn name_width(block: &ScenarioBlock) -> u16 {
    let longest = shown_rows(block).map(|row| row.strategy.chars().count()).max();
    u16::try_from(longest.unwrap_or(0) + 2)
        .unwrap_or(u16::MAX)
        .clamp(16, 24)
}

/// Which contact the columns of closings and life tell of.
fn worn(block: &ScenarioBlock) -> String {
    let mut of_contact: Vec<(&str, Vec<&str>)> = Vec::new();
    for row in &block.rows {
        let Some(worn) = row.healthy.as_ref().and_then(HealthySummary::most_worn_contact) else {
            continue;
        };
        match of_contact
            .iter_mut()
            .find(|(contact, _)| *contact == worn.contact)
        {
            Some((_, strategies)) => strategies.push(&row.strategy),
            None => of_contact.push((&worn.contact, vec![&row.strategy])),
        }
    }
    let which = match of_contact.as_slice() {
        [] => String::new(),
        [(contact, _)] => format!(", {contact}"),
        several => {
            let told: Vec<String> = several
                .iter()
                .map(|(contact, strategies)| format!("{contact} under {}", enumerated(strategies)))
                .collect();
            format!(": {}", told.join("; "))
        }
    };
    format!("Closings and life are those of the contact that wears out first{which}.")
}

/// Which strategies heat and cool at once, and for how long: the water is held and only the bill shows it.
fn fights(block: &ScenarioBlock) -> String {
    let told = healthy(block).filter_map(|(strategy, healthy)| {
        let per_day = healthy.heating_against_cooling_h_per_day?.mean;
        Some(format!(
            "{strategy}: heaters and cooling work against each other for {} a day",
            duration(per_day)
        ))
    });
    told.map(|line| wrapped("", &line, WIDTH)).collect()
}

/// Heat of the room's own devices, where strategies differ in it: the column of kWh knows nothing of it.
fn room_heat(block: &ScenarioBlock) -> String {
    let mut text = String::new();
    for (does, heats) in [("heating gives", true), ("cooling takes", false)] {
        let moved: Vec<(&str, f64)> = healthy(block)
            .filter_map(|(strategy, healthy)| {
                let moved = if heats {
                    healthy.room_heating_kwh_per_day
                } else {
                    healthy.room_cooling_kwh_per_day
                };
                Some((strategy, moved?.mean))
            })
            .collect();
        let Some((_, first)) = moved.first() else {
            continue;
        };
        if moved.iter().any(|(_, kwh)| differs(*kwh, *first, 0.05)) {
            let each: Vec<String> = moved
                .iter()
                .map(|(strategy, kwh)| format!("{kwh:.1} kWh under {strategy}"))
                .collect();
            let line = format!(
                "Beside the column of kWh, the room's {does} {} of heat a day, whatever that takes of gas or current.",
                enumerated(&each)
            );
            text += &wrapped("", &line, WIDTH);
        }
    }
    text
}

/// Strategies with their healthy summaries.
fn healthy(block: &ScenarioBlock) -> impl Iterator<Item = (&str, &HealthySummary)> {
    let rows = block.rows.iter();
    rows.filter_map(|row| Some((row.strategy.as_str(), row.healthy.as_ref()?)))
}

/// How much the closings hang on what heater bodies hold.
fn by_body(block: &ScenarioBlock) -> String {
    let asked: Vec<(&str, &ClosingsByBody)> = block
        .rows
        .iter()
        .filter_map(|row| Some((row.strategy.as_str(), row.closings_by_body.as_ref()?)))
        .collect();
    let Some((_, first)) = asked.first() else {
        return String::new();
    };
    let times = first.with.iter().map(|with| with.capacity_times_frac);
    let heat = format!(
        "if the heaters' bodies hold {} times the assumed heat",
        spanned(times, |times| trimmed(times, 2))
    );
    let closings = |by_body: &ClosingsByBody| -> Vec<f64> {
        by_body.with.iter().map(|with| with.closings_per_day).collect()
    };
    let (steady, moved): (Vec<_>, Vec<_>) = asked.iter().partition(|(_, by_body)| {
        let differ = |other: f64| differs(other, by_body.closings_per_day, 0.5);
        !closings(by_body).into_iter().any(differ)
    });
    let mut told: Vec<String> = moved
        .iter()
        .map(|(strategy, by_body)| {
            format!(
                "{strategy}: {:.0} closings a day; {} {heat}",
                by_body.closings_per_day,
                spanned(closings(by_body), |closings| format!("{closings:.0}"))
            )
        })
        .collect();
    if !steady.is_empty() {
        let names: Vec<&str> = steady.iter().map(|(strategy, _)| *strategy).collect();
        told.push(format!("{}: closings stay within 5 % {heat}", enumerated(&names)));
    }
    told.iter().map(|one| wrapped("", one, WIDTH)).collect()
}

fn legend(block: &ScenarioBlock) -> Option<&'static str> {
    let untried = |row: &&StrategyRow| row.standing == Standing::NoFaultTried;
    let unjudged = |row: &&StrategyRow| row.standing == Standing::NotJudged;
    let mut marked = block.rows.iter().filter(|row| !row.best_in.is_empty());
    let first = marked.next()?;
    Some(if untried(&first) {
        "best, or as good, with nothing broken; no fault was tried"
    } else if unjudged(&first) {
        "best, or as good, with nothing broken; no danger lines stated"
    } else {
        "best, or as good, of those that no single fault in this table takes past the dose"
    })
}

/// Why strategies do not apply, each reason once.
fn not_applying(block: &ScenarioBlock) -> String {
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    for row in &block.rows {
        let Some(missing) = row.does_not_apply.as_deref() else {
            continue;
        };
        match reasons.iter_mut().find(|(known, _)| *known == missing) {
            Some((_, strategies)) => strategies.push(&row.strategy),
            None => reasons.push((missing, vec![&row.strategy])),
        }
    }
    reasons
        .iter()
        .map(|(missing, strategies)| {
            let verb = if strategies.len() == 1 { "does" } else { "do" };
            let told = format!("{} {verb} not apply: {missing}", enumerated(strategies));
            wrapped("", &told, WIDTH)
        })
        .collect()
}

/// What was compared, in short lines.
pub(crate) fn set_up(
    block: &ScenarioBlock,
    replicates: u32,
    seed: u64,
    units: Units,
) -> Vec<(String, String)> {
    let room = block
        .rooms
        .iter()
        .find(|room| room.room == RoomKind::Scenario)
        .map_or_else(
            || MISSING.to_owned(),
            |room| match room.outdoors_c {
                Some([lowest_c, highest_c]) => format!(
                    "{}, computed from the building; outdoors {} at {} humidity",
                    units.range(room.lowest_c, room.highest_c),
                    units.range(lowest_c, highest_c),
                    share(room.relative_humidity_frac)
                ),
                None => format!(
                    "{} at {} humidity",
                    units.range(room.lowest_c, room.highest_c),
                    share(room.relative_humidity_frac)
                ),
            },
        );
    let runs = if replicates == 1 {
        "one of each strategy".to_owned()
    } else {
        format!(
            "{} of each strategy, the worst of them shown (energy: the mean)",
            replicates
        )
    };
    let mut told = vec![
        (
            "Target",
            format!(
                "{}, band {}, for {}",
                units.line(block.target_c),
                units.range(block.band_c[0], block.band_c[1]),
                duration(block.duration_h)
            ),
        ),
        ("Room", room),
    ];
    told.extend(livestock::dose(&block.livestock, units));
    told.push(("Runs", format!("{runs}, seed {seed}")));
    told.into_iter()
        .map(|(name, value)| (name.to_owned(), value))
        .collect()
}

/// The figures of a row, in the order of the columns.
pub(crate) fn row_cells(row: &StrategyRow, block: &ScenarioBlock, units: Units) -> Vec<String> {
    let healthy = row.healthy.as_ref();
    let marked = |merit: Merit, text: String| {
        if row.best_in.contains(&merit) {
            format!("{text} {BEST}")
        } else {
            text
        }
    };
    let inside = healthy.and_then(|healthy| healthy.inside_band_frac(block.duration_h));
    let overshoot = healthy
        .and_then(|healthy| healthy.overshoot_k)
        .map(|spread| spread.worst);
    let undershoot = healthy
        .and_then(|healthy| healthy.undershoot_k)
        .map(|spread| spread.worst);
    let worn = healthy.and_then(HealthySummary::most_worn_contact);
    let closings = worn.map(|contact| contact.closings_per_day.worst);
    let life = worn.and_then(|contact| contact.life_years).map(|life| life.worst);
    let energy = healthy
        .and_then(|healthy| healthy.energy_kwh)
        .map(|spread| spread.mean * 24.0 / block.duration_h);
    vec![
        row.strategy.clone(),
        marked(Merit::InsideBand, or_missing(inside, share)),
        marked(Merit::Overshoot, or_missing(overshoot, |k| units.difference(k))),
        or_missing(undershoot, |k| units.difference(k)),
        marked(
            Merit::ClosingsPerDay,
            or_missing(closings, |closings| format!("{closings:.1}")),
        ),
        marked(
            Merit::ContactLife,
            or_missing(life, |life| years(life).replace(" years", "")),
        ),
        marked(Merit::Energy, or_missing(energy, three_digits)),
        standing_in_words(row, block),
    ]
}

/// A figure to three digits where it has no more before the point.
fn three_digits(value: f64) -> String {
    if value.abs() < 9.995 {
        format!("{value:.2}")
    } else if value.abs() < 99.95 {
        format!("{value:.1}")
    } else {
        format!("{value:.0}")
    }
}

/// The standing in words.
pub(crate) fn standing_in_words(row: &StrategyRow, block: &ScenarioBlock) -> String {
    match &row.standing {
        Standing::DoesNotApply => "does not apply".to_owned(),
        Standing::Failed => "failed".to_owned(),
        Standing::NoFaultTried => "no fault tried".to_owned(),
        Standing::PastTheDose => match row.past_without_fault_in() {
            Some(RoomKind::Coldest) => "past the dose in coldest room with nothing broken",
            Some(RoomKind::Warmest) => "past the dose in warmest room with nothing broken",
            _ => "past the dose with nothing broken",
        }
        .to_owned(),
        Standing::NotJudged => "not judged".to_owned(),
        Standing::Best => {
            let firsts = block.rows.iter().filter(|row| row.standing == Standing::Best);
            let alike = if firsts.count() > 1 { ", alike" } else { "" };
            format!("first choice{alike}{}", apart(row, block))
        }
        Standing::FitToUse => format!("stays below the dose{}", apart(row, block)),
        Standing::OneFaultAway { fault, .. } => format!("one fault away:\n{fault}"),
    }
}

/// The rooms in which it passes the dose as all others do, with nothing broken.
fn apart(row: &StrategyRow, block: &ScenarioBlock) -> String {
    let rooms: Vec<&str> = block
        .unfit_rooms()
        .into_iter()
        .filter(|room| row.outcomes_in(*room).next().is_some())
        .map(|room| match room {
            RoomKind::Scenario => "own",
            RoomKind::Coldest => "coldest",
            RoomKind::Warmest => "warmest",
        })
        .collect();
    match rooms.len() {
        0 => String::new(),
        1 => format!(",\n{} room apart", rooms[0]),
        _ => format!(",\n{} rooms apart", enumerated(&rooms)),
    }
}
