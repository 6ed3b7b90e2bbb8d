//! Where the heat goes: a scenario's heat budget at its target, in its own mean room.

mod systems;

use tepid_output::cautions;
use tepid_output::records::{
    Budget, BudgetBuilding, BudgetPath, FORMAT_VERSION, HoursToLine, RecordKind, RoomDeviceKind, RoomKind,
    StuckOn,
};
use tepid_sim::network::NetworkError;
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, When};
use tepid_sim::still::{StillBuilding, StillPlant};
use tepid_sim::time::{DAY, HOUR, Millis, hours};

use crate::correlations::by_correlation;
use crate::exposure::HORIZON_MS;
use crate::mixing;
use crate::rooms;
use crate::valid_range;

pub use systems::{SystemAlone, budgets, systems_alone};

/// Coldest room looked at for what the heaters can hold, °C.
const COLDEST_SEARCHED_C: f64 = -30.0;

/// How near the coldest room held is found, K.
const SEARCHED_TO_K: f64 = 0.001;

/// A day in seconds, s.
const SECONDS_PER_DAY_S: f64 = (DAY / 1000) as f64;

/// The budget of a scenario that is one water system; of several they would be added up: [`budgets`] has one of each.
///
/// # Errors
/// [`NetworkError`] if the scenario makes no network.
pub fn budget(scenario: &Scenario) -> Result<Budget, NetworkError> {
    let still = StillPlant::new(scenario)?;
    let target_c = scenario.water.target_c;
    let room = still.room();
    let (room_c, humidity_frac) = (room.temp_c, room.relative_humidity_frac);
    let air = still.air(room_c, humidity_frac);
    let losses = still.losses(target_c, air);
    let total_loss_w = losses.total_w();
    let percent = |power_w: f64| 100.0 * power_w / total_loss_w;
    let tank_name = |tank: tepid_sim::ids::TankId| scenario.tanks[tank.0].name.clone();
    let mut paths: Vec<BudgetPath> = losses
        .paths
        .iter()
        .filter(|path| path.loss_w != 0.0)
        .map(|path| BudgetPath {
            name: path.path.clone(),
            tank: tank_name(path.tank),
            power_w: path.loss_w,
            percent: percent(path.loss_w),
        })
        .collect();
    paths.sort_by(|a, b| b.power_w.total_cmp(&a.power_w));
    let gains: Vec<BudgetPath> = still
        .gains()
        .iter()
        .filter(|gain| gain.power_w > 0.0)
        .map(|gain| BudgetPath {
            name: gain.name.clone(),
            tank: tank_name(gain.tank),
            power_w: gain.power_w,
            percent: percent(gain.power_w),
        })
        .collect();
    let gains_w: f64 = gains.iter().map(|gain| gain.power_w).sum();
    let slope_w_per_k = still.slope_w_per_k(target_c, air);
    let heat_capacity_j_per_k = still.heat_capacity_j_per_k();
    let time_constant_h = heat_capacity_j_per_k / slope_w_per_k * 1000.0 / HOUR as f64;
    let heaters_rated_w: f64 = scenario.heaters.iter().map(|heater| heater.power_w).sum();
    let heaters = still.heaters_on(target_c);
    let heat_needed_w = (total_loss_w - gains_w).max(0.0);
    let all_off = vec![false; scenario.heaters.len()];
    let mut budget = Budget {
        format: RecordKind::Budget,
        version: FORMAT_VERSION,
        scenario: scenario.name.clone(),
        title: scenario.title.clone(),
        system: None,
        target_c,
        room_c,
        building: room.building.map(building),
        relative_humidity_frac: humidity_frac,
        losses: paths,
        gains,
        total_loss_w,
        slope_w_per_k,
        loss_at_equal_temperatures_w: still
            .losses(target_c, still.air(target_c, humidity_frac))
            .total_w(),
        heat_capacity_j_per_k,
        time_constant_h,
        heat_needed_w,
        heater_needed_w: if heaters.to_water_w > 0.0 {
            heat_needed_w * heaters.drawn_w / heaters.to_water_w
        } else {
            heat_needed_w
        },
        heaters_rated_w,
        heaters_to_water_w: heaters.to_water_w,
        coldest_room_held_c: coldest_room_held_c(
            &still,
            target_c,
            humidity_frac,
            gains_w + heaters.to_water_w,
        ),
        evaporation_l_per_day: losses.evaporation_kg_per_s * SECONDS_PER_DAY_S,
        unheated_c: still
            .plateau_c(air, &all_off)
            .map(|waters_c| warmest(scenario, &waters_c)),
        stuck_on_followed_h: hours(HORIZON_MS),
        stuck_on: rooms::ROOMS.map(|room| stuck_on(scenario, &still, room)).to_vec(),
        by_correlation: by_correlation(scenario)?,
        uncertainty: None,
        warnings: mixing::warnings(scenario, time_constant_h),
        assumptions: scenario.assumptions.clone(),
        cautions: budget_cautions(scenario),
    };
    budget.warnings.extend(valid_range::of_budget(&budget));
    Ok(budget)
}

fn building(building: StillBuilding) -> BudgetBuilding {
    let device = building.device;
    BudgetBuilding {
        outdoors_c: building.outdoors_c,
        device: device.map(|device| {
            if device.cools {
                RoomDeviceKind::Cooling
            } else {
                RoomDeviceKind::Heating
            }
        }),
        device_w: device.map_or(0.0, |device| device.power_w),
        device_rated_w: device.map_or(0.0, |device| device.rated_w),
    }
}

/// The coldest room, at the scenario's relative humidity, in which `available_w` still holds the target; `None` if it is colder than the search
/// goes, or if even a room as warm as the water does not do.
pub(crate) fn coldest_room_held_c(
    still: &StillPlant<'_>,
    target_c: f64,
    humidity_frac: f64,
    available_w: f64,
) -> Option<f64> {
    let held =
        |room_c: f64| still.losses(target_c, still.air(room_c, humidity_frac)).total_w() <= available_w;
    let (mut too_cold_c, mut warm_enough_c) = (COLDEST_SEARCHED_C, target_c);
    if held(too_cold_c) || !held(warm_enough_c) {
        return None;
    }
    while warm_enough_c - too_cold_c > SEARCHED_TO_K {
        let middle_c = 0.5 * (too_cold_c + warm_enough_c);
        if held(middle_c) {
            warm_enough_c = middle_c;
        } else {
            too_cold_c = middle_c;
        }
    }
    Some(warm_enough_c)
}

/// The warmest tank with livestock (or of all, if none has any), °C.
pub(crate) fn warmest(scenario: &Scenario, waters_c: &[f64]) -> f64 {
    let with_stock = scenario
        .tanks
        .iter()
        .zip(waters_c)
        .filter(|(tank, _)| tank.livestock);
    with_stock
        .map(|(_, water_c)| *water_c)
        .reduce(f64::max)
        .unwrap_or_else(|| waters_c.iter().copied().fold(f64::NEG_INFINITY, f64::max))
}

/// A room in words: what it is held at.
pub(crate) fn room_words(scenario: &Scenario, room: RoomKind) -> &'static str {
    match room {
        RoomKind::Scenario if scenario.room.lumped.is_some() => {
            "constant as its building is at the mean outdoors"
        }
        RoomKind::Scenario => "constant at its mean",
        // What the year brings is not known: the rooms are those of the run itself.
        RoomKind::Coldest if !scenario.room.coldest.stated => "constant at its coldest, no year stated",
        RoomKind::Warmest if !scenario.room.warmest.stated => "constant at its warmest, no year stated",
        RoomKind::Coldest => "constant at the year's coldest",
        RoomKind::Warmest => "constant at the year's warmest",
    }
}

/// Every heater on for good in one room.
fn stuck_on(scenario: &Scenario, still: &StillPlant<'_>, room: RoomKind) -> StuckOn {
    let (room_c, relative_humidity_frac) = rooms::still_room(scenario, still, room);
    let air = still.air(room_c, relative_humidity_frac);
    let all_on = vec![true; scenario.heaters.len()];
    let lines = &scenario.livestock.danger_hot;
    let mut reached_ms: Vec<Option<Millis>> = vec![None; lines.len()];
    still.follow(air, &all_on, HORIZON_MS, |at_ms, waters_c| {
        let water_c = warmest(scenario, waters_c);
        for (line, reached) in lines.iter().zip(&mut reached_ms) {
            if reached.is_none() && water_c >= line.temp_c {
                *reached = Some(at_ms);
            }
        }
    });
    StuckOn {
        room: room_words(scenario, room).to_owned(),
        room_c,
        relative_humidity_frac,
        end_c: still
            .plateau_c(air, &all_on)
            .map(|waters_c| warmest(scenario, &waters_c)),
        hours_to_lines: lines
            .iter()
            .zip(reached_ms)
            .map(|(line, at_ms)| HoursToLine {
                temp_c: line.temp_c,
                after_h: at_ms.map(hours),
            })
            .collect(),
    }
}

/// Cautions of the equipment and of heaters that stay on.
fn budget_cautions(scenario: &Scenario) -> Vec<cautions::Cautioned> {
    let stuck = (!scenario.contacts.is_empty() && !scenario.heaters.is_empty()).then(|| Happening {
        name: "every heater stuck on".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: Effect::ContactWelded(tepid_sim::ids::ContactId(0)),
        origin: Origin::Fault,
    });
    let mut all = cautions::for_happenings(scenario, stuck.iter());
    all.extend(cautions::for_equipment(scenario));
    cautions::gathered(all)
}
