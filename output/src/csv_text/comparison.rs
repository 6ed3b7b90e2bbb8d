//! Strategies side by side, one line per strategy and fault case.

use super::{CsvError, cell, finished};
use crate::cautions::Caution;
use crate::records::{
    Comparison, FaultKind, FaultOutcome, HealthySummary, PastDose, RoomKind, ScenarioBlock, Spread, Standing,
    StrategyRow,
};

/// The columns, in order. `fault` is `none` for the runs without an added fault; their figures are the worst over
/// replicates, energy, cost and mean temperature the mean. Cautions are keys as in JSON, separated by blanks.
const COLUMNS: [&str; 57] = [
    "scenario",
    "strategy",
    "settings",
    "does_not_apply",
    "standing",
    "fault_set",
    "fault",
    "component",
    "room",
    "room_lowest_c",
    "room_highest_c",
    "began_h",
    "followed_h",
    "tank",
    "mean_c",
    "peak_c",
    "lowest_c",
    "peak_without_fault_c",
    "lowest_without_fault_c",
    "overshoot_k",
    "undershoot_k",
    "above_band_h",
    "below_band_h",
    "rms_deviation_k",
    "fastest_per_hour_k",
    "fastest_per_day_k",
    "hot_dose",
    "cold_dose",
    "hot_dose_without_fault",
    "cold_dose_without_fault",
    "first_line_h",
    "hot_used_up_h",
    "cold_used_up_h",
    "hot_used_up_without_fault_h",
    "cold_used_up_without_fault_h",
    "stays_below_dose",
    "closings_per_day",
    "contact_life_years",
    "energy_kwh",
    "cost",
    "failure",
    "cautions",
    "fault_kind",
    "tries",
    "hottest_body_c",
    "contact",
    "heaters_on_frac",
    "lowest_oxygen_mg_per_l",
    "oxygen_below_half_h",
    "oxygen_below_half_after_h",
    "first_alert_h",
    "heard_h",
    "heard_by",
    "acted_h",
    "warning_lead_h",
    "tanks_past_dose",
    "water_past_dose_l",
];

/// All cells of all scenarios, one line per strategy and fault case.
///
/// # Errors
/// [`CsvError`] if the text cannot be built.
pub fn comparison(record: &Comparison) -> Result<String, CsvError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for block in &record.scenarios {
        for row in &block.rows {
            writer.write_record(healthy_line(block, row))?;
            for fault in &row.faults {
                writer.write_record(fault_line(block, row, fault))?;
            }
        }
    }
    finished(writer)
}

fn worst(spread: Option<Spread>) -> String {
    cell(spread.map(|spread| spread.worst))
}

fn mean(spread: Option<Spread>) -> String {
    cell(spread.map(|spread| spread.mean))
}

fn beginning(block: &ScenarioBlock, row: &StrategyRow) -> [String; 5] {
    [
        block.name.clone(),
        row.strategy.clone(),
        row.settings.clone(),
        row.does_not_apply.clone().unwrap_or_default(),
        standing(&row.standing).to_owned(),
    ]
}

fn healthy_line(block: &ScenarioBlock, row: &StrategyRow) -> Vec<String> {
    let room = block.rooms.iter().find(|room| room.room == RoomKind::Scenario);
    let mut line = Vec::from(beginning(block, row));
    line.extend([
        String::new(),
        "none".to_owned(),
        String::new(),
        room_key(RoomKind::Scenario).to_owned(),
        cell(room.map(|room| room.lowest_c)),
        cell(room.map(|room| room.highest_c)),
        String::new(),
        cell(Some(block.duration_h)),
    ]);
    let healthy = row.healthy.as_ref();
    let oxygen = healthy.and_then(|healthy| healthy.oxygen);
    let of = |field: fn(&HealthySummary) -> Option<Spread>| healthy.and_then(field);
    let worn = healthy.and_then(HealthySummary::most_worn_contact);
    let used_up = [of(|h| h.hot_dose), of(|h| h.cold_dose)].map(|dose| dose.map(|dose| dose.worst >= 1.0));
    let stays_below = match used_up {
        [Some(hot), Some(cold)] => Some(!hot && !cold),
        _ => None,
    };
    line.extend([
        healthy.map(|healthy| healthy.tank.clone()).unwrap_or_default(),
        cell(healthy.and_then(|healthy| healthy.mean_c)),
        worst(of(|h| h.highest_c)),
        worst(of(|h| h.lowest_c)),
        String::new(),
        String::new(),
        worst(of(|h| h.overshoot_k)),
        worst(of(|h| h.undershoot_k)),
        worst(of(|h| h.above_band_h)),
        worst(of(|h| h.below_band_h)),
        worst(of(|h| h.rms_deviation_k)),
        worst(of(|h| h.fastest_per_hour_k)),
        worst(of(|h| h.fastest_per_day_k)),
        worst(of(|h| h.hot_dose)),
        worst(of(|h| h.cold_dose)),
        String::new(),
        String::new(),
        String::new(),
        String::new(),
        String::new(),
        String::new(),
        String::new(),
        yes(stays_below),
        cell(worn.map(|contact| contact.closings_per_day.worst)),
        worst(worn.and_then(|contact| contact.life_years)),
        mean(of(|h| h.energy_kwh)),
        mean(of(|h| h.cost)),
        row.failures.join("; "),
        keys(block.cautions.iter().map(|one| one.caution)),
        String::new(),
        String::new(),
        worst(of(|h| h.hottest_body_c)),
        worn.map(|contact| contact.contact.clone()).unwrap_or_default(),
        worst(of(|h| h.heaters_on_frac)),
        cell(oxygen.map(|oxygen| oxygen.lowest_mg_per_l)),
        cell(oxygen.map(|oxygen| oxygen.below_half_h)),
        String::new(),
    ]);
    line.extend(std::iter::repeat_n(String::new(), 5));
    line.extend(past_dose(healthy.and_then(|healthy| healthy.past_dose)));
    line
}

fn fault_line(block: &ScenarioBlock, row: &StrategyRow, fault: &FaultOutcome) -> Vec<String> {
    let mut line = Vec::from(beginning(block, row));
    line.extend([
        fault.set.clone(),
        fault.case.clone(),
        fault.component.clone().unwrap_or_default(),
        room_key(fault.room).to_owned(),
        cell(Some(fault.room_lowest_c)),
        cell(Some(fault.room_highest_c)),
        cell(fault.began_h),
        cell(Some(fault.horizon_h)),
        fault.tank.clone().unwrap_or_default(),
        String::new(),
        cell(fault.peak_c),
        cell(fault.lowest_c),
        cell(fault.peak_without_fault_c),
        cell(fault.lowest_without_fault_c),
    ]);
    line.extend(std::iter::repeat_n(String::new(), 7));
    line.extend([
        cell(fault.hot_dose),
        cell(fault.cold_dose),
        cell(fault.hot_dose_without_fault),
        cell(fault.cold_dose_without_fault),
        cell(fault.hours_to_first_line()),
        cell(fault.hot_used_up_h),
        cell(fault.cold_used_up_h),
        cell(fault.hot_used_up_without_fault_h),
        cell(fault.cold_used_up_without_fault_h),
        yes(fault.stays_below_dose),
    ]);
    line.extend(std::iter::repeat_n(String::new(), 4));
    line.extend([
        fault.failure.clone().unwrap_or_default(),
        keys(fault.cautions.iter().copied()),
        kind(fault.kind),
        fault.tries.to_string(),
        cell(fault.hottest_body_c),
        String::new(),
        String::new(),
        cell(fault.oxygen.map(|oxygen| oxygen.lowest_mg_per_l)),
        cell(fault.oxygen.map(|oxygen| oxygen.below_half_h)),
        cell(fault.oxygen.and_then(|oxygen| oxygen.below_half_after_h)),
    ]);
    line.extend([
        cell(fault.first_alert_h),
        cell(fault.heard_h),
        fault.heard_by.clone().unwrap_or_default(),
        cell(fault.acted_h),
        cell(fault.warning_lead_h),
    ]);
    line.extend(past_dose(fault.past_dose));
    line
}

/// How many of several tanks are past the dose, and their water, L.
pub(super) fn past_dose(past: Option<PastDose>) -> [String; 2] {
    [
        past.map_or_else(String::new, |past| past.tanks.to_string()),
        cell(past.map(|past| past.water_l)),
    ]
}

pub(super) fn yes(value: Option<bool>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

pub(super) fn keys(cautions: impl Iterator<Item = Caution>) -> String {
    cautions.map(Caution::key).collect::<Vec<_>>().join(" ")
}

/// The kind's key, as in JSON.
pub(super) fn kind(kind: FaultKind) -> String {
    serde_json::to_value(kind)
        .ok()
        .and_then(|value| value.as_str().map(str::to_owned))
        .unwrap_or_default()
}

pub(super) fn room_key(room: RoomKind) -> &'static str {
    match room {
        RoomKind::Scenario => "scenario",
        RoomKind::Coldest => "coldest",
        RoomKind::Warmest => "warmest",
    }
}

fn standing(standing: &Standing) -> &'static str {
    match standing {
        Standing::NotJudged => "not-judged",
        Standing::Best => "best",
        Standing::FitToUse => "fit-to-use",
        Standing::OneFaultAway { .. } => "one-fault-away",
        Standing::NoFaultTried => "no-fault-tried",
        Standing::PastTheDose => "past-the-dose",
        Standing::DoesNotApply => "does-not-apply",
        Standing::Failed => "failed",
    }
}
