//! The runs of one strategy with nothing broken, in one record.

use tepid_output::records::{ContactWear, HealthySummary, OxygenResult, PastDose, Spread};
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::Scenario;
use tepid_sim::scores::{RoomScores, Scores, TankScores};

use crate::single::sticks;
use tepid_sim::time::{Millis, days, hours};

use crate::exposure::hottest_body_c;

/// The healthy runs in one summary; `None` without any.
#[must_use]
pub fn summary(scenario: &Scenario, runs: &[Scores]) -> Option<HealthySummary> {
    let worst = runs.iter().max_by(|a, b| {
        let key = |scores: &Scores| {
            let tank = scores.tanks.get(scores.worst_tank);
            tank.map_or(0.0, |tank| tank.overshoot_k.max(tank.undershoot_k))
        };
        key(a).total_cmp(&key(b))
    })?;
    let tank_index = worst.worst_tank;
    let tanks: Vec<&TankScores> = runs
        .iter()
        .filter_map(|scores| scores.tanks.get(tank_index))
        .collect();
    let of = |value: fn(&TankScores) -> f64| -> Vec<f64> { tanks.iter().map(|tank| value(tank)).collect() };
    let some_of = |value: fn(&TankScores) -> Option<f64>| -> Vec<f64> {
        tanks.iter().filter_map(|tank| value(tank)).collect()
    };
    let each = |value: &dyn Fn(&Scores) -> f64| -> Vec<f64> { runs.iter().map(value).collect() };
    let largest = |values: Vec<f64>| Spread::largest_is_worst(&values);
    let hottest: Vec<f64> = runs.iter().filter_map(hottest_body_c).collect();
    let on_frac: Vec<f64> = runs
        .iter()
        .filter_map(|scores| heaters_on_frac(scenario, scores))
        .collect();
    let first_h = |used_up_ms: fn(&TankScores) -> Option<Millis>| {
        let used_up = tanks.iter().filter_map(|tank| used_up_ms(tank)).min();
        used_up.map(hours)
    };
    Some(HealthySummary {
        tank: worst.tanks.get(tank_index)?.tank.clone(),
        mean_c: largest(of(|tank| tank.mean_c)).map(|spread| spread.mean),
        highest_c: largest(of(|tank| tank.highest_c)),
        lowest_c: Spread::smallest_is_worst(&of(|tank| tank.lowest_c)),
        overshoot_k: largest(of(|tank| tank.overshoot_k)),
        undershoot_k: largest(of(|tank| tank.undershoot_k)),
        above_band_h: largest(of(|tank| tank.above_band_h)),
        below_band_h: largest(of(|tank| tank.below_band_h)),
        rms_deviation_k: largest(of(|tank| tank.rms_deviation_k)),
        fastest_per_hour_k: largest(some_of(|tank| tank.fastest_per_hour_k)),
        fastest_per_day_k: largest(some_of(|tank| tank.fastest_per_day_k)),
        hot_dose: largest(of(|tank| tank.hot.used)),
        cold_dose: largest(of(|tank| tank.cold.used)),
        hot_used_up_h: first_h(|tank| tank.hot.used_up_ms),
        cold_used_up_h: first_h(|tank| tank.cold.used_up_ms),
        heaters_on_frac: largest(on_frac),
        contacts: contacts(scenario, runs),
        energy_kwh: largest(each(&|scores| scores.energy_kwh)),
        heating_against_cooling_h_per_day: largest(each(&|scores| {
            hours(scores.heating_against_cooling_ms) / days(scores.scored_ms)
        }))
        .filter(|spread| spread.worst > 0.0),
        room_heating_kwh_per_day: largest(of_room(runs, |room| room.heating_kwh)),
        room_cooling_kwh_per_day: largest(of_room(runs, |room| room.cooling_kwh)),
        cost: largest(runs.iter().filter_map(|scores| scores.cost).collect()),
        evaporated_l_per_day: largest(each(&|scores| scores.evaporated_kg / days(scores.scored_ms))),
        hottest_body_c: largest(hottest),
        past_dose: runs.iter().filter_map(PastDose::of).max_by_key(|past| past.tanks),
        oxygen: lowest_oxygen(runs),
    })
}

/// What the room's heating or cooling moved in each run, kWh a day.
fn of_room(runs: &[Scores], moved_kwh: fn(&RoomScores) -> Option<f64>) -> Vec<f64> {
    let moved = runs
        .iter()
        .filter_map(|scores| Some(moved_kwh(&scores.room)? / days(scores.scored_ms)));
    moved.collect()
}

/// Oxygen of the tank and run in which its saturation was lowest.
fn lowest_oxygen(runs: &[Scores]) -> Option<OxygenResult> {
    runs.iter()
        .flat_map(|scores| &scores.tanks)
        .filter_map(|tank| tank.oxygen.as_ref())
        .min_by(|a, b| a.lowest_saturation_frac.total_cmp(&b.lowest_saturation_frac))
        .map(OxygenResult::from)
}

/// Wear of every contact that takes commands or senses for itself, and parts as it switches.
fn contacts(scenario: &Scenario, runs: &[Scores]) -> Vec<ContactWear> {
    let switching = scenario
        .contacts
        .iter()
        .enumerate()
        .filter(|(_, contact)| contact.role.is_some() || contact.own_sensing.is_some())
        .filter(|(_, contact)| contact.kind.parts());
    switching
        .filter_map(|(index, contact)| {
            let of_runs = runs.iter().map(|scores| &scores.contacts[index]);
            let closings: Vec<f64> = of_runs.clone().map(|scores| scores.closings_per_day).collect();
            let stuck = sticks(scenario, &scenario.happenings, ContactId(index));
            let lives: Vec<f64> = of_runs
                .filter_map(|scores| scores.life_years)
                .filter(|_| !stuck)
                .collect();
            Some(ContactWear {
                contact: contact.name.clone(),
                closings_per_day: Spread::largest_is_worst(&closings)?,
                life_years: Spread::smallest_is_worst(&lives),
            })
        })
        .collect()
}

/// Share of the time that heaters draw power, weighted by their rated power; `None` without a heater.
fn heaters_on_frac(scenario: &Scenario, scores: &Scores) -> Option<f64> {
    let rated_w: f64 = scenario.heaters.iter().map(|heater| heater.power_w).sum();
    let on_w: f64 = scenario
        .heaters
        .iter()
        .zip(&scores.heaters)
        .map(|(heater, scores)| heater.power_w * scores.on_frac)
        .sum();
    (rated_w > 0.0).then(|| on_w / rated_w)
}
