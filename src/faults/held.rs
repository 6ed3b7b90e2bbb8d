//! What a set-up holds with nothing broken: the measure for the price of a change.

use tepid_output::records::Held;
use tepid_sim::ids::TankId;
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, When};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{DAY, HOUR, Millis, hours};

use super::set_up::SetUp;
use crate::budget::budgets;

/// The cold water change after which recovery is measured: share of the tank's water, how much colder than the target, how long it takes. As in the
/// fault set "cold water change".
const CHANGE_FRAC: f64 = 0.25;
const CHANGE_COLDER_K: f64 = 10.0;
const CHANGE_MS: Millis = HOUR;
/// When it begins: the room is constant, so any time does.
const CHANGE_AT_MS: Millis = DAY;
/// How long its recovery is followed.
const FOLLOWED_MS: Millis = 2 * DAY;

/// Measured.
pub(super) fn held(set_up: &SetUp, recipe: &dyn StrategyRecipe, seed: u64) -> Result<Held, RunError> {
    let own = set_up.own();
    let commanded = |contact: &usize| set_up.scenario.contacts[*contact].role.is_some();
    let closings = own.and_then(|scores| {
        let contacts = (0..scores.contacts.len()).filter(commanded);
        contacts
            .map(|contact| scores.contacts[contact].closings_per_day)
            .reduce(f64::max)
    });
    // The system that needs the warmest room; none where one is beyond the range searched.
    let rooms_c: Option<Vec<f64>> = budgets(&set_up.scenario)?
        .iter()
        .map(|budget| budget.coldest_room_held_c)
        .collect();
    let coldest_room_held_c = rooms_c.and_then(|rooms_c| rooms_c.into_iter().reduce(f64::max));
    Ok(Held {
        inside_band_frac: set_up.inside_band_frac().unwrap_or(f64::NAN),
        closings_per_day: closings,
        coldest_room_held_c,
        recovery_h: recovery_h(set_up, recipe, seed)?,
        recovery_followed_h: hours(FOLLOWED_MS),
    })
}

/// Hours from the end of a cold water change in the coldest room until all livestock tanks are back inside the band.
fn recovery_h(set_up: &SetUp, recipe: &dyn StrategyRecipe, seed: u64) -> Result<Option<f64>, RunError> {
    let Some(scenario) = set_up.coldest() else {
        return Ok(None);
    };
    let Some(tank) = scenario.tanks.iter().position(|tank| tank.livestock) else {
        return Ok(None);
    };
    let change = Happening {
        name: "cold water change".to_owned(),
        when: When::At(CHANGE_AT_MS),
        lasts: Lasts::For(CHANGE_MS),
        effect: Effect::WaterChange {
            tank: TankId(tank),
            share_frac: CHANGE_FRAC,
            temp_c: scenario.water.target_c - CHANGE_COLDER_K,
            salinity_g_per_kg: scenario.water.salinity_g_per_kg,
        },
        origin: Origin::Event,
    };
    let request = RunRequest {
        faults: &[change],
        judged_from_ms: CHANGE_AT_MS,
        end_ms: CHANGE_AT_MS + CHANGE_MS + FOLLOWED_MS,
        ..RunRequest::new(scenario, recipe, seed)
    };
    let scores = run(&request, None)?;
    let recoveries = || scores.tanks.iter().filter_map(|tank| tank.recovery.as_ref());
    if recoveries().any(|recovery| !recovery.complete) {
        return Ok(None);
    }
    Ok(Some(
        recoveries().map(|recovery| recovery.length_h).fold(0.0, f64::max),
    ))
}
