//! The fault matrix: every fault in the room in which it does most harm, single points of failure, exposure, pairs.

use super::breakage::{room_heading, room_name};
use super::{
    Column, WIDTH, assumed, cautions, facts, grid, list, livestock, range, salinity, single_points, stuck,
};
use crate::records::{Exceeded, FaultMatrix, FaultRow, RoomKind, StoppedBy, StrategyFaults};
use crate::wording::{
    ADDS_K, Harm, MISSING, Units, beyond_lines, dose, duration, enumerated, hours, or_missing, restated,
    wrapped,
};

/// Pairs that stay below the dose are counted, not listed.
const PAIRS_BELOW: &str = "stay below the dose";

/// All of it.
#[must_use]
pub fn fault_matrix(record: &FaultMatrix, units: Units) -> String {
    let mut text = wrapped("", &format!("{}: {}", record.scenario, record.title), WIDTH);
    text += &facts(set_up(record, units));
    for strategy in &record.strategies {
        text += &of_strategy(strategy, record, units);
    }
    text += &single_points::offered(record, units);
    text += &range::warnings(&record.warnings, units);
    text += &assumed(&record.assumptions, units);
    text += &cautions(&record.cautions);
    text
}

fn set_up(record: &FaultMatrix, units: Units) -> Vec<(String, String)> {
    let [low_c, high_c] = record.band_c;
    let mut facts = vec![(
        "Target".to_owned(),
        format!(
            "{}, band {}",
            units.line(record.target_c),
            units.range(low_c, high_c)
        ),
    )];
    for (index, room) in RoomKind::ALL.into_iter().enumerate() {
        let name = if index == 0 { "Rooms" } else { "" };
        facts.push((name.to_owned(), room_heading(&record.rooms, room, units)));
    }
    let dose = livestock::dose(&record.livestock, units);
    facts.extend(dose.into_iter().map(|(name, value)| (name.to_owned(), value)));
    facts.push((
        "Runs".to_owned(),
        format!(
            "every fault in each of these rooms, in the scenario's own at up to {} instants, seed {}",
            record.trial_instants_h.len(),
            record.seed
        ),
    ));
    facts
}

fn of_strategy(one: &StrategyFaults, record: &FaultMatrix, units: Units) -> String {
    let mut text = String::from("\n");
    text += &wrapped(
        "",
        &format!("{} ({})", one.strategy, restated(&one.settings, units)),
        WIDTH,
    );
    let rows = worst_rooms(&one.faults);
    if let Some(first) = rows.first() {
        let heading = format!(
            "Every fault from the worst instant tried, in the room in which it does most harm, worst first; followed for {}",
            hours(first.outcome.horizon_h)
        );
        text += &wrapped("", &heading, WIDTH);
        text += &sections(&rows, record, units);
        let outcomes = rows.iter().map(|row| &row.outcome);
        if let Some(beyond) = beyond_lines(outcomes, &record.livestock, units) {
            text += &wrapped("", &beyond, WIDTH);
        }
        text += &legend(&rows, units);
        text += &salinity::salinity(one.faults.iter().map(|row| &row.outcome));
    }
    text += &single_points::single_points(one, record, units);
    text += &stuck::exposure(one, record, units);
    text += &pairs(one, units);
    text + &list("Failed runs", one.failures.iter().map(String::as_str))
}

/// Faults past the dose, those in rooms where it is used up anyway, and all others.
fn sections(rows: &[&FaultRow], record: &FaultMatrix, units: Units) -> String {
    let (past, others): (Vec<&FaultRow>, Vec<&FaultRow>) = rows.iter().partition(|row| row.takes_past());
    let lost = |row: &&FaultRow| row.outcome.stays_below_dose == Some(false);
    let (anyway, below): (Vec<&FaultRow>, Vec<&FaultRow>) = others.into_iter().partition(lost);
    let (idle, below): (Vec<&FaultRow>, Vec<&FaultRow>) = below.into_iter().partition(|row| is_idle(row));
    let below_heading = if record.livestock.states_lines() {
        "Stays below the dose"
    } else {
        "No dose is counted"
    };
    past_section("Past the dose", &past, units)
        + &below_section("Past the dose with nothing broken too", &anyway, units)
        + &below_section(below_heading, &below, units)
        + &idle_faults(&idle, units)
}

/// Whether it does nothing that a thermometer would show, in any room (rows are those of the worst), and nothing to the salt of the water.
fn is_idle(row: &FaultRow) -> bool {
    let salinity = row.outcome.salinity.as_ref();
    let takes_out = salinity
        .and_then(crate::records::FaultSalinity::taken_out_h)
        .is_some();
    row.outcome.peak_c.is_some() && Harm::of(&row.outcome) == Harm::Nothing && !takes_out
}

/// Faults that do nothing, by name.
fn idle_faults(rows: &[&FaultRow], units: Units) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let names: Vec<&str> = rows.iter().map(|row| row.outcome.case.as_str()).collect();
    let told = format!(
        "Moves the water by less than {}: {}.",
        units.difference(ADDS_K),
        names.join("; ")
    );
    format!("\n{}", wrapped("", &told, WIDTH))
}

/// Every fault once, in the room in which it does most harm: rows come worst first.
fn worst_rooms(rows: &[FaultRow]) -> Vec<&FaultRow> {
    let mut worst: Vec<&FaultRow> = Vec::new();
    for row in rows {
        let same = |known: &&FaultRow| {
            known.outcome.set == row.outcome.set && known.outcome.case == row.outcome.case
        };
        if !worst.iter().any(same) {
            worst.push(row);
        }
    }
    worst
}

fn past_section(heading: &str, rows: &[&FaultRow], units: Units) -> String {
    let [peak, low] = extremes(units);
    // How many of several tanks takes the place of the lead, which is the difference of two other columns.
    let tanks = of_several_tanks(rows);
    let mut columns = vec![
        Column::words("Fault", if tanks { 16 } else { 19 }),
        Column::words("Room", 9),
        Column::figures(peak, 6),
        Column::figures(low, 7),
        Column::figures("Danger\nafter", 8),
        Column::figures("Dose used\nup after", if tanks { 12 } else { 13 }),
    ];
    columns.extend(tanks.then_some(TANKS));
    columns.extend([
        Column::figures("Alert\nafter", 8),
        Column::figures("Somebody\nreached", 10),
    ]);
    columns.extend((!tanks).then_some(Column::figures("Lead", 8)));
    columns.push(Column::words("Stopped by", 12));
    let cells = |row: &&FaultRow| {
        let mut cells = first_cells(row, units);
        cells.push(row.exceeds.map_or_else(
            || MISSING.to_owned(),
            |exceeds| format!("{}, {}", duration(exceeds.used_up_h), line_passed(exceeds, units)),
        ));
        cells.extend(tanks.then(|| tanks_lost(row, units)));
        cells.extend(warned(row));
        cells.extend((!tanks).then(|| lead(row)));
        cells.push(stopped_by(row));
        cells
    };
    section(heading, &columns, rows.iter().map(cells).collect())
}

fn below_section(heading: &str, rows: &[&FaultRow], units: Units) -> String {
    let [peak, low] = extremes(units);
    let tanks = of_several_tanks(rows);
    let mut columns = vec![
        Column::words("Fault", if tanks { 21 } else { 25 }),
        Column::words("Room", 9),
        Column::figures(peak, 6),
        Column::figures(low, 7),
        Column::figures("Danger\nafter", 8),
        Column::figures("Dose\nused", 8),
    ];
    columns.extend(tanks.then_some(TANKS));
    columns.extend([
        Column::figures("Alert\nafter", 8),
        Column::figures("Somebody\nreached", 10),
        Column::words("Stopped by", if tanks { 11 } else { 19 }),
    ]);
    let cells = |row: &&FaultRow| {
        let mut cells = first_cells(row, units);
        cells.push(or_missing(row.outcome.larger_dose(), dose));
        cells.extend(tanks.then(|| tanks_lost(row, units)));
        cells.extend(warned(row));
        cells.push(stopped_by(row));
        cells
    };
    section(heading, &columns, rows.iter().map(cells).collect())
}

/// How many tanks are past the dose, where several have livestock.
const TANKS: Column = Column::figures("Tanks past\nthe dose", 12);

/// Whether any of several tanks is past the dose in one of these rows.
fn of_several_tanks(rows: &[&FaultRow]) -> bool {
    let past = rows.iter().filter_map(|row| row.outcome.past_dose);
    past.map(|past| past.tanks).any(|tanks| tanks > 0)
}

/// "4 of 8, 389 L".
fn tanks_lost(row: &FaultRow, units: Units) -> String {
    row.outcome.past_dose.map_or_else(
        || MISSING.to_owned(),
        |past| match past.tanks {
            0 => format!("0 of {}", past.of_tanks),
            tanks => format!("{tanks} of {}, {}", past.of_tanks, units.volume(past.water_l)),
        },
    )
}

/// Nothing without rows.
fn section(heading: &str, columns: &[Column], rows: Vec<Vec<String>>) -> String {
    if rows.is_empty() {
        return String::new();
    }
    format!("\n{heading}\n") + &grid(columns, rows)
}

/// Heads of the columns of extreme temperatures.
fn extremes(units: Units) -> [&'static str; 2] {
    match units {
        Units::Metric => ["Peak\n°C", "Low\n°C"],
        Units::Us => ["Peak\n°F", "Low\n°F"],
    }
}

/// Fault, room, extremes, time to the first line.
fn first_cells(row: &FaultRow, units: Units) -> Vec<String> {
    let outcome = &row.outcome;
    let degrees = |temp_c: Option<f64>| or_missing(temp_c, |temp_c| format!("{:.1}", units.degrees(temp_c)));
    vec![
        outcome.case.clone(),
        room_word(outcome.room).to_owned(),
        degrees(outcome.peak_c),
        degrees(outcome.lowest_c),
        or_missing(outcome.hours_to_first_line(), duration),
    ]
}

/// First alert, somebody reached.
fn warned(row: &FaultRow) -> [String; 2] {
    [row.outcome.first_alert_h, row.outcome.heard_h].map(|after_h| or_missing(after_h, duration))
}

/// How long before the dose was used up the first alert came.
fn lead(row: &FaultRow) -> String {
    match row.outcome.warning_lead_h {
        Some(late_h) if late_h < 0.0 => format!("{} late", duration(-late_h)),
        lead_h => or_missing(lead_h, duration),
    }
}

/// "past 30 °C".
pub(super) fn line_passed(exceeds: Exceeded, units: Units) -> String {
    let beyond = if exceeds.is_hot { "past" } else { "below" };
    format!("{beyond} {}", units.line(exceeds.line_c))
}

fn stopped_by(row: &FaultRow) -> String {
    if matches!(Harm::of(&row.outcome), Harm::Nothing | Harm::LineAnyway) {
        return MISSING.to_owned();
    }
    match &row.stopped_by {
        Some(StoppedBy::Person { what }) => what.clone(),
        Some(StoppedBy::Contacts { names }) => format!("{} opened", enumerated(names)),
        Some(StoppedBy::FaultEnded) => "its own end".to_owned(),
        Some(StoppedBy::Cooling { names }) => format!("{} cooling", enumerated(names)),
        Some(StoppedBy::Heating { names }) => format!("{} still heating", enumerated(names)),
        Some(StoppedBy::LevelledOff) => "the room".to_owned(),
        Some(StoppedBy::Nothing) => "nothing".to_owned(),
        None => MISSING.to_owned(),
    }
}

/// What the words of the last columns mean, those that occur.
fn legend(rows: &[&FaultRow], units: Units) -> String {
    let has = |wanted: &StoppedBy| {
        rows.iter().any(|row| {
            row.stopped_by.as_ref() == Some(wanted)
                && !matches!(Harm::of(&row.outcome), Harm::Nothing | Harm::LineAnyway)
        })
    };
    let mut told: Vec<String> = Vec::new();
    if has(&StoppedBy::LevelledOff) {
        told.push(
            "the room: nothing switched, the water levelled off where it loses as much heat as it gets"
                .to_owned(),
        );
    }
    if has(&StoppedBy::Nothing) {
        told.push("nothing: the water was still going on when the look ended".to_owned());
    }
    if has(&StoppedBy::FaultEnded) {
        told.push("its own end: the fault was over and the rest worked".to_owned());
    }
    if rows.iter().any(|row| row.outcome.first_alert_h.is_none()) {
        told.push("–: it did not happen, or there was nothing to stop".to_owned());
    }
    let most = rows
        .iter()
        .filter_map(|row| row.outcome.past_dose)
        .find(|past| past.tanks > 0);
    if rows.iter().any(|row| row.takes_past()) {
        told.push("danger: the first line of the danger table".to_owned());
        if most.is_none() {
            told.push("lead: from somebody reached to the dose used up".to_owned());
        }
    }
    told.extend(most.map(|past| {
        format!(
            "tanks past the dose: with their water, which is at risk, of {}",
            units.volume(past.of_water_l)
        )
    }));
    if told.is_empty() {
        return String::new();
    }
    wrapped("", &format!("({}.)", told.join("; ")), WIDTH)
}

/// Pairs of faults, where they were asked for.
fn pairs(one: &StrategyFaults, units: Units) -> String {
    let Some(rows) = &one.pairs else {
        return String::new();
    };
    let worst = worst_rooms(rows);
    let past: Vec<&FaultRow> = worst.iter().copied().filter(|row| row.takes_past()).collect();
    let told = format!(
        "Two faults at once, each of which stays below the dose alone: of {} pairs {} take the water past it, {} {PAIRS_BELOW}",
        worst.len(),
        past.len(),
        worst.len() - past.len()
    );
    format!("\n{}", wrapped("", &told, WIDTH)) + &past_section("Past the dose only together", &past, units)
}

/// "own", "coldest", "warmest".
fn room_word(room: RoomKind) -> &'static str {
    match room {
        RoomKind::Scenario => "its own",
        RoomKind::Coldest => "coldest",
        RoomKind::Warmest => "warmest",
    }
}

/// "in the scenario's own room".
pub(super) fn in_room(room: RoomKind) -> String {
    match room {
        RoomKind::Scenario => "in the scenario's own room".to_owned(),
        other => format!("in the room {}", lower(room_name(other))),
    }
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().collect::<String>() + letters.as_str()
    })
}
