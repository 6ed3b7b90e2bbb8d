//! What less would save: a lower target, a lid, heat drawn in the cheap hours while the water rides within its band.

use tepid_output::records::{Budget, RoomKind, SizeSaving, SizeSavings};
use tepid_sim::scenario::Scenario;
use tepid_sim::time::{DAY, MINUTE, Millis};

use super::changes::covered_otherwise;
use super::{COST_DAYS, SizeError, held, kwh_per_day};
use crate::budget::room_words;

/// By how much the target is lowered, K. A choice.
const LOWER_K: f64 = 1.0;

/// Joules in a kWh. Exact.
const J_PER_KWH: f64 = 3.6e6;

/// What would save in a scenario that is one water system: in its own room at its mean, or in the coldest where that one needs no heat; `None` where
/// neither does.
///
/// # Errors
/// [`SizeError`].
pub fn savings(scenario: &Scenario) -> Result<Option<SizeSavings>, SizeError> {
    for room in [RoomKind::Scenario, RoomKind::Coldest] {
        let found = held(scenario, room)?;
        if found.heater_needed_w > 0.0 {
            return in_room(scenario, room, &found).map(Some);
        }
    }
    Ok(None)
}

fn in_room(scenario: &Scenario, room: RoomKind, found: &Budget) -> Result<SizeSavings, SizeError> {
    let saving = |what: &str, changed: &Scenario| {
        let kwh_per_day = kwh_per_day(&held(changed, room)?);
        Ok::<_, SizeError>(SizeSaving {
            what: what.to_owned(),
            kwh_per_30_days: COST_DAYS * kwh_per_day,
            cost_per_30_days: cost_per_30_days(scenario, kwh_per_day),
        })
    };
    let mut lower = scenario.clone();
    lower.water.target_c -= LOWER_K;
    let (covered, words) = covered_otherwise(scenario);
    let (from_c, to_c) = scenario.water.band_c;
    let electricity_per_heat = found.heater_needed_w / found.heat_needed_w;
    let band_stores_kwh = found.heat_capacity_j_per_k * (to_c - from_c) * electricity_per_heat / J_PER_KWH;
    Ok(SizeSavings {
        room: room_words(scenario, room).to_owned(),
        room_c: found.room_c,
        rows: vec![
            saving("as it is", scenario)?,
            saving(&format!("the target {LOWER_K:.0} K lower"), &lower)?,
            saving(words, &covered)?,
        ],
        band_c: [from_c, to_c],
        band_stores_kwh,
        cheap_hours_per_30_days: cheap_hours(scenario, kwh_per_day(found), band_stores_kwh)
            .map(|per_day| COST_DAYS * per_day),
    })
}

/// What so much a day, drawn evenly, costs in thirty days; `None`: no price stated.
pub(super) fn cost_per_30_days(scenario: &Scenario, kwh_per_day: f64) -> Option<f64> {
    let tariff = scenario.tariff.as_ref()?;
    Some(tariff.mean_per_kwh() * kwh_per_day * COST_DAYS)
}

/// The most that a day's heat can save by being drawn at the lowest price: no more than the band stores once a day, nor than is drawn at other prices,
/// each at the highest difference of prices. `None`: one price at all hours.
fn cheap_hours(scenario: &Scenario, kwh_per_day: f64, band_stores_kwh: f64) -> Option<f64> {
    let tariff = scenario.tariff.as_ref()?;
    let (lowest, highest) = tariff.range_per_kwh();
    if lowest == highest {
        return None;
    }
    let minutes = (0..DAY).step_by(usize::try_from(MINUTE).ok()?);
    let dear = minutes
        .filter(|at_ms: &Millis| tariff.per_kwh_at(*at_ms) > lowest)
        .count();
    let dear_kwh = kwh_per_day * dear as f64 / (DAY / MINUTE) as f64;
    Some(band_stores_kwh.min(dear_kwh) * (highest - lowest))
}
