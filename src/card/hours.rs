//! How long there is: what sticks, what dies, what an outage does, each by a run.

use tepid_output::records::{CardHours, FaultOutcome, HoursToLine, Livestock, RoomKind, Severity};
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
use crate::size::{Outage, outage};

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
        let outcomes = outcomes(scenario, recipe, seed, set, room)?;
        let worst = outcomes.iter().reduce(|worst, one| {
            if Severity::of(one) > Severity::of(worst) {
                one
            } else {
                worst
            }
        });
        all.extend(worst.map(|worst| told(scenario, worst, room, lines, hot)));
        if livestock.oxygen.is_some() {
            // Warm water holds less oxygen, and what lives in it needs more: where heat does most is not where breath runs out first.
            let other = match room {
                RoomKind::Warmest => RoomKind::Coldest,
                RoomKind::Coldest | RoomKind::Scenario => RoomKind::Warmest,
            };
            let elsewhere = self::outcomes(scenario, recipe, seed, set, other)?;
            all.extend(
                soonest_breathless(outcomes.iter().chain(&elsewhere)).map(|(outcome, after_h)| CardHours {
                    what: format!("{}, {}", outcome.case, in_room(scenario, outcome.room)),
                    ..oxygen_hours(after_h)
                }),
            );
        }
    }
    all.extend(breathless_anyway(scenario, recipe, seed)?);
    // Systems that share a room have no outage of one tank.
    if systems_alone(scenario)?.is_empty() {
        all.extend(of_outage(scenario)?);
    }
    let soonest = |hours: &CardHours| hours.dose_used_up_h.unwrap_or(f64::INFINITY);
    all.sort_by(|a, b| soonest(a).total_cmp(&soonest(b)));
    Ok(all)
}

/// What each case of a set does in a room; empty: there is no such set here.
fn outcomes(
    scenario: &Scenario,
    recipe: &dyn StrategyRecipe,
    seed: u64,
    set: &str,
    room: RoomKind,
) -> Result<Vec<FaultOutcome>, CardError> {
    let Ok(set) = fault_set(scenario, set) else {
        return Ok(Vec::new());
    };
    let placed = rooms::in_room(scenario, room);
    let request = RunRequest::new(&placed, recipe, seed);
    let scores = run(&request, None)?;
    let healthy = Healthy::new(&request, room, &scores);
    let cases = set.cases.iter().map(|case| {
        let found = outcome(&healthy, &set.name, case);
        match &found.failure {
            Some(reason) => Err(CardError::Failed(reason.clone())),
            None => Ok(found),
        }
    });
    cases.collect()
}

/// The outcome that takes oxygen below half of saturation soonest, and after how many hours; what is so without the failure is not put down to it.
fn soonest_breathless<'o>(
    outcomes: impl Iterator<Item = &'o FaultOutcome>,
) -> Option<(&'o FaultOutcome, f64)> {
    let told = outcomes.filter_map(|outcome| {
        let oxygen = outcome.oxygen.as_ref()?;
        let after_h = by_the_failure(oxygen.below_half_after_h, oxygen.below_half_after_without_fault_h)?;
        Some((outcome, after_h))
    });
    told.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// That oxygen is below half of saturation with everything working, and nothing of what the scenario lets happen, in the room where it is lower.
fn breathless_anyway(
    scenario: &Scenario,
    recipe: &dyn StrategyRecipe,
    seed: u64,
) -> Result<Option<CardHours>, CardError> {
    let mut lowest: Option<(f64, RoomKind)> = None;
    for room in [RoomKind::Coldest, RoomKind::Warmest] {
        let mut placed = rooms::in_room(scenario, room);
        placed.happenings.clear();
        let scores = run(&RunRequest::new(&placed, recipe, seed), None)?;
        for oxygen in scores.tanks.iter().filter_map(|tank| tank.oxygen.as_ref()) {
            let frac = oxygen.lowest_saturation_frac;
            if oxygen.below_half_from_ms.is_some() && lowest.is_none_or(|(lowest, _)| frac < lowest) {
                lowest = Some((frac, room));
            }
        }
    }
    Ok(lowest.map(|(_, room)| CardHours {
        what: format!("nothing broken, {}", in_room(scenario, room)),
        already: true,
        ..oxygen_hours(0.0)
    }))
}

fn oxygen_hours(after_h: f64) -> CardHours {
    CardHours {
        what: String::new(),
        lines: Vec::new(),
        dose_used_up_h: Some(after_h),
        oxygen: true,
        already: false,
        beyond_lines: None,
    }
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
        already: false,
        beyond_lines: outcome
            .beyond_lines(&Livestock::from(&scenario.livestock))
            .filter(|beyond| beyond.hot == hot),
    }
}

/// What comes about with nothing broken, by an outage of the scenario's own, is a failure's only where it comes clearly sooner.
fn by_the_failure(after_h: Option<f64>, without_h: Option<f64>) -> Option<f64> {
    after_h.filter(|after_h| without_h.is_none_or(|without_h| *after_h < without_h - SOONER_H))
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
    let outage = outage(scenario, Outage::of(OUTAGE_MS))?;
    let mut all: Vec<CardHours> = outage
        .oxygen
        .iter()
        .map(|oxygen| CardHours {
            what: format!("mains out, {}", in_room_of(oxygen.room_c)),
            dose_used_up_h: oxygen.below_half_after_h,
            already: oxygen.below_half_already,
            ..oxygen_hours(0.0)
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
        already: false,
        beyond_lines: None,
    }));
    Ok(all)
}
