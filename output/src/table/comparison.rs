//! Strategies side by side.

use super::every_fault::every_fault;
use super::{Column, WIDTH, breakage, cautions, facts, grid, list};
use crate::cautions::gathered;
use crate::records::{
    Comparison, DangerLine, HealthySummary, Merit, RoomKind, ScenarioBlock, Standing, StrategyRow,
};
use crate::verdict::verdict;
use crate::wording::{MISSING, Units, duration, enumerated, or_missing, share, wrapped, years};

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
    text += &facts(set_up(block, record, units));
    text.push('\n');
    text += &grid(
        &[
            Column::words("Strategy", 16),
            Column::figures("Inside\nband", 12),
            Column::figures("Over-\nshoot", 11),
            Column::figures("Under-\nshoot", 9),
            Column::figures("Closings\na day", 10),
            Column::figures("Contact\nlife, years", 13),
            Column::figures("kWh\na day", 8),
            Column::words("Standing", 20),
        ],
        block.rows.iter().map(|row| cells(row, block, units)).collect(),
    );
    if let Some(legend) = legend(block) {
        text += &wrapped(&format!("{BEST} "), legend, WIDTH);
    }
    text += &not_applying(block);
    text += &breakage::breakage(block, units);
    text += "\nVerdict\n";
    text += &wrapped("", &verdict(block, units).join(" "), WIDTH);
    let settings: Vec<String> = block
        .rows
        .iter()
        .filter(|row| row.does_not_apply.is_none())
        .map(|row| format!("{}: {}", row.strategy, row.settings))
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
    text += &list("Assumed", block.assumptions.iter().map(String::as_str));
    text
}

fn legend(block: &ScenarioBlock) -> Option<&'static str> {
    let untried = |row: &&StrategyRow| row.standing == Standing::NoFaultTried;
    let mut marked = block.rows.iter().filter(|row| !row.best_in.is_empty()).peekable();
    marked.peek()?;
    Some(if marked.any(|row| untried(&row)) {
        "best with nothing broken; no fault was tried"
    } else {
        "best of those that no single fault in this table takes past the dose"
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
fn set_up(block: &ScenarioBlock, record: &Comparison, units: Units) -> Vec<(String, String)> {
    let room = block
        .rooms
        .iter()
        .find(|room| room.room == RoomKind::Scenario)
        .map_or_else(
            || MISSING.to_owned(),
            |room| {
                format!(
                    "{} at {} humidity",
                    units.range(room.lowest_c, room.highest_c),
                    share(room.relative_humidity_frac)
                )
            },
        );
    let runs = if record.replicates == 1 {
        "one of each strategy".to_owned()
    } else {
        format!(
            "{} of each strategy, the worst of them shown (energy: the mean)",
            record.replicates
        )
    };
    let livestock = &block.livestock;
    [
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
        (
            "Dose",
            format!(
                "used up after these times at these temperatures ({}; {}):",
                livestock.kind, livestock.source
            ),
        ),
        ("", format!("hot {}", borne(&livestock.danger_hot, units))),
        ("", format!("cold {}", borne(&livestock.danger_cold, units))),
        ("Runs", format!("{runs}, seed {}", record.seed)),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .collect()
}

/// How long each line of the danger table is borne.
fn borne(lines: &[DangerLine], units: Units) -> String {
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
    let undershoot = healthy
        .and_then(|healthy| healthy.undershoot_k)
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
        or_missing(undershoot, |k| units.difference(k)),
        marked(
            Merit::ClosingsPerDay,
            or_missing(closings, |closings| format!("{closings:.1}")),
        ),
        marked(
            Merit::ContactLife,
            or_missing(life, |life| years(life).replace(" years", "")),
        ),
        marked(Merit::Energy, or_missing(energy, |energy| format!("{energy:.2}"))),
        standing(row, block),
    ]
}

/// The standing in words.
fn standing(row: &StrategyRow, block: &ScenarioBlock) -> String {
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
        Standing::NotJudged => MISSING.to_owned(),
        Standing::Best => format!("first choice{}", apart(row, block)),
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
