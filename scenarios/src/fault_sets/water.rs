//! Built-in faults that move water.

use tepid_sim::ids::TankId;
use tepid_sim::physics::water::density_kg_per_m3;
use tepid_sim::scenario::{Effect, FaultCase, Happening, Lasts, Scenario};
use tepid_sim::time::{HOUR, Millis, seconds};

use super::{alone, fault};

/// How long a stuck top-off runs on before somebody sees it. An assumption, no source.
const STUCK_TOP_OFF_MS: Millis = HOUR;
/// What the built-in leak loses in an hour, as a share of the tank's water. An assumption, no source.
const LEAK_FRAC_PER_HOUR: f64 = 0.05;
/// Height of its hole as a share of the water's height: pumps starve and heaters are exposed, some water stays.
/// An assumption, no source.
const LEAK_HEIGHT_FRAC: f64 = 0.25;
/// Share of a tank's water that the built-in cold water change replaces. Common practice, no source.
const CHANGE_FRAC: f64 = 0.25;
/// How much colder than the target its new water is: out of the tap in winter. An assumption, no source.
const CHANGE_COLDER_K: f64 = 10.0;
/// How long it takes. Common practice, no source.
const CHANGE_MS: Millis = HOUR;

pub(super) fn top_off_stopped(scenario: &Scenario) -> Vec<FaultCase> {
    let stopped = || fault("top-off stopped", "", Effect::TopOffStopped);
    alone(scenario.top_off.is_some().then(stopped))
}

pub(super) fn top_off_stuck_on(scenario: &Scenario) -> Vec<FaultCase> {
    alone(scenario.top_off.map(|top_off| {
        let effect = Effect::TopOffStuckOn {
            rate_kg_per_s: top_off.rate_kg_per_s,
        };
        Happening {
            lasts: Lasts::For(STUCK_TOP_OFF_MS),
            ..fault("top-off stuck on", "", effect)
        }
    }))
}

pub(super) fn leak(scenario: &Scenario) -> Vec<FaultCase> {
    let density_kg_per_m3 = density_kg_per_m3(scenario.water.salinity_g_per_kg, scenario.water.target_c);
    let tanks = scenario.tanks.iter().enumerate();
    alone(tanks.map(|(at, tank)| {
        let effect = Effect::Leak {
            tank: TankId(at),
            rate_kg_per_s: LEAK_FRAC_PER_HOUR * tank.water_volume_m3() * density_kg_per_m3 / seconds(HOUR),
            height_m: LEAK_HEIGHT_FRAC * tank.water_height_m,
        };
        fault("leak", &tank.name, effect)
    }))
}

pub(super) fn cold_change(scenario: &Scenario) -> Vec<FaultCase> {
    let tanks = scenario.tanks.iter().enumerate();
    alone(tanks.filter(|(_, tank)| tank.livestock).map(|(at, tank)| {
        let effect = Effect::WaterChange {
            tank: TankId(at),
            share_frac: CHANGE_FRAC,
            temp_c: scenario.water.target_c - CHANGE_COLDER_K,
            salinity_g_per_kg: scenario.water.salinity_g_per_kg,
        };
        let change = fault("water change", &tank.name, effect);
        Happening {
            name: format!("cold {}", change.name),
            lasts: Lasts::For(CHANGE_MS),
            ..change
        }
    }))
}
