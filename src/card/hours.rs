//! How long there is: what sticks, what dies, what an outage does, each by a run.

use tepid_output::records::{CardHours, FaultOutcome, HoursToLine, RoomKind, Severity};
use tepid_scenarios::fault_set;
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{DangerLine, Scenario};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{HOUR, Millis};

use super::CardError;
use crate::budget::systems_alone;
use crate::exposure::{Healthy, outcome};
use crate::rooms;
use crate::size::outage;

/// The outage that is told of, ms. A choice: a night.
const OUTAGE_MS: Millis = 12 * HOUR;

/// How much sooner than without it something must come about to be put down to a failure, h. A choice.
const SOONER_H: f64 = 1.0;

/// Failures in the rooms in which they do most, the most urgent first.
pub(super) fn hours(
    scenario: &Scenario,
    recipe: &dyn StrategyRecipe,
    seed: u64,
) -> Result<Vec<CardHours>, CardError> {
    let livestock = &scenario.livestock;
    if livestock.danger_hot.is_empty() || livestock.danger_cold.is_empty() {
        return Ok(Vec::new());
    }
    let mut all = Vec::new();
    for (set, room, hot) in [
        ("one contact welded", RoomKind::Warmest, true),
        ("one heater dead", RoomKind::Coldest, false),
        ("pump stopped", RoomKind::Coldest, false),
        ("heaters left unplugged", RoomKind::Coldest, false),
    ] {
        let lines = if hot {
            &livestock.danger_hot
        } else {
            &livestock.danger_cold
        };
        if let Some(worst) = worst(scenario, recipe, seed, set, room)? {
            all.extend(oxygen_told(scenario, &worst, room));
            all.push(told(scenario, &worst, room, lines, hot));
        }
    }
    // Systems that share a room have no outage of one tank.
    if systems_alone(scenario)?.is_empty() {
        all.extend(of_outage(scenario)?);
    }
    let soonest = |hours: &CardHours| hours.dose_used_up_h.unwrap_or(f64::INFINITY);
    all.sort_by(|a, b| soonest(a).total_cmp(&soonest(b)));
    Ok(all)
}

/// The worst case of a set in a room; `None`: it has none there.
fn worst(
    scenario: &Scenario,
    recipe: &dyn StrategyRecipe,
    seed: u64,
    set: &str,
    room: RoomKind,
) -> Result<Option<FaultOutcome>, CardError> {
    let Ok(set) = fault_set(scenario, set) else {
        return Ok(None);
    };
    let placed = rooms::in_room(scenario, room);
    let request = RunRequest::new(&placed, recipe, seed);
    let scores = run(&request, None)?;
    let healthy = Healthy::new(&request, room, &scores);
    let mut worst: Option<FaultOutcome> = None;
    for case in &set.cases {
        let found = outcome(&healthy, &set.name, case);
        if let Some(reason) = &found.failure {
            return Err(CardError::Failed(reason.clone()));
        }
        if worst
            .as_ref()
            .is_none_or(|known| Severity::of(&found) > Severity::of(known))
        {
            worst = Some(found);
        }
    }
    Ok(worst)
}

fn told(
    scenario: &Scenario,
    outcome: &FaultOutcome,
    room: RoomKind,
    lines: &[DangerLine],
    hot: bool,
) -> CardHours {
    let (reached, without, used_up_h, used_up_without_h) = if hot {
        (
            &outcome.hot_reached_h,
            &outcome.hot_reached_without_fault_h,
            outcome.hot_used_up_h,
            outcome.hot_used_up_without_fault_h,
        )
    } else {
        (
            &outcome.cold_reached_h,
            &outcome.cold_reached_without_fault_h,
            outcome.cold_used_up_h,
            outcome.cold_used_up_without_fault_h,
        )
    };
    let reached = lines.iter().zip(reached.iter().zip(without));
    CardHours {
        what: format!("{}, {}", outcome.case, in_room(scenario, room)),
        lines: reached
            .map(|(line, (after_h, without_h))| HoursToLine {
                temp_c: line.temp_c,
                after_h: by_the_failure(*after_h, *without_h),
            })
            .collect(),
        dose_used_up_h: by_the_failure(used_up_h, used_up_without_h),
        oxygen: false,
    }
}

/// What comes about with nothing broken, by an outage of the scenario's own, is a failure's only where it comes clearly sooner.
fn by_the_failure(after_h: Option<f64>, without_h: Option<f64>) -> Option<f64> {
    after_h.filter(|after_h| without_h.is_none_or(|without_h| *after_h < without_h - SOONER_H))
}

/// The oxygen of a failure, where a stock is stated and the failure makes it fall.
fn oxygen_told(scenario: &Scenario, outcome: &FaultOutcome, room: RoomKind) -> Option<CardHours> {
    let oxygen = outcome.oxygen.as_ref()?;
    let below_half_after_h =
        by_the_failure(oxygen.below_half_after_h, oxygen.below_half_after_without_fault_h)?;
    Some(CardHours {
        what: format!("{}, {}", outcome.case, in_room(scenario, room)),
        lines: Vec::new(),
        dose_used_up_h: Some(below_half_after_h),
        oxygen: true,
    })
}

/// The room of a kind, constant for good: "in a room of 14 °C".
fn in_room(scenario: &Scenario, room: RoomKind) -> String {
    rooms::verdict_room(scenario, room).map_or_else(
        || "in its own room".to_owned(),
        |verdict| in_room_of(verdict.temp_c),
    )
}

fn in_room_of(room_c: f64) -> String {
    format!(
        "in a room of {}",
        print(Kind::Temperature, room_c, System::Metric)
    )
}

fn of_outage(scenario: &Scenario) -> Result<Vec<CardHours>, CardError> {
    let outage = outage(scenario, OUTAGE_MS)?;
    let mut all: Vec<CardHours> = outage
        .oxygen
        .iter()
        .map(|oxygen| CardHours {
            what: format!("mains out, {}", in_room_of(oxygen.room_c)),
            lines: Vec::new(),
            dose_used_up_h: oxygen.below_half_after_h,
            oxygen: true,
        })
        .collect();
    all.extend(outage.courses.into_iter().map(|course| CardHours {
        what: format!(
            "mains out, {}, {}",
            if course.wrapped { "sides wrapped" } else { "bare" },
            in_room(scenario, RoomKind::Coldest)
        ),
        lines: course.hours_to_lines,
        dose_used_up_h: course.dose_used_up_h,
        oxygen: false,
    }));
    Ok(all)
}
