//! Rules of thumb, and what they come to on this tank.

use tepid_output::records::{RoomKind, SizeRule};
use tepid_sim::scenario::Scenario;
use tepid_sim::still::StillPlant;

use super::SizeError;
use super::bench::{Failing, Heaters, equipped, fate};
use super::range::{Demand, is_bearable};
use crate::budget::coldest_room_held_c;
use crate::rooms;

/// Litres in a US gallon, L. Exact.
const LITRES_PER_US_GALLON: f64 = 3.785_411_784;

/// The rules in words, and their watts per litre. Common practice, no source.
const RULES: [(&str, f64); 3] = [
    ("1 W per litre", 1.0),
    ("3 W per US gallon", 3.0 / LITRES_PER_US_GALLON),
    ("5 W per US gallon", 5.0 / LITRES_PER_US_GALLON),
];

/// How many rules there are.
pub(super) const COUNT: u64 = RULES.len() as u64;

/// Each rule as a single heater.
pub(super) fn rules(
    scenario: &Scenario,
    demand: Demand,
    needed_w: f64,
    volume_l: f64,
    done: &dyn Fn(),
) -> Result<Vec<SizeRule>, SizeError> {
    let rules = RULES.iter();
    rules
        .map(|(rule, w_per_l)| {
            let power_w = w_per_l * volume_l;
            let heaters = Heaters {
                count: 1,
                each_w: power_w,
            };
            let stuck = fate(scenario, heaters, Failing::StuckOn, demand.response_h)?;
            done();
            Ok(SizeRule {
                rule: (*rule).to_owned(),
                power_w,
                coldest_room_held_c: holds_down_to_c(scenario, heaters)?,
                enough: power_w >= needed_w,
                stuck,
                stuck_bearable: is_bearable(scenario, demand, Failing::StuckOn, &stuck),
            })
        })
        .collect()
}

/// The coldest room, as humid as the year's coldest, in which these heaters hold the target, °C, as a budget finds it.
pub(super) fn holds_down_to_c(scenario: &Scenario, heaters: Heaters) -> Result<Option<f64>, SizeError> {
    let placed = rooms::in_room(&equipped(scenario, heaters), RoomKind::Coldest);
    let still = StillPlant::new(&placed)?;
    let target_c = placed.water.target_c;
    let gains_w: f64 = still.gains().iter().map(|gain| gain.power_w).sum();
    let available_w = gains_w + still.heaters_on(target_c).to_water_w;
    let humidity_frac = still.room().relative_humidity_frac;
    Ok(coldest_room_held_c(&still, target_c, humidity_frac, available_w))
}
