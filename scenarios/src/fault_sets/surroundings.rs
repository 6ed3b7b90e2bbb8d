//! Built-in faults of the room, of lights and of covers.

use tepid_sim::ids::{LightId, TankId};
use tepid_sim::scenario::{Cover, Effect, FaultCase, Happening, Lasts, RoomDevice, Scenario};
use tepid_sim::time::{DAY, Millis};

use super::{alone, fault};

/// How much warmer a heat wave is, and how much colder a cold snap, K. An assumption, no source.
const SPELL_K: f64 = 6.0;
/// How long either lasts. An assumption, no source.
const SPELL_MS: Millis = 3 * DAY;

fn has(scenario: &Scenario, device: RoomDevice) -> bool {
    scenario.room.lumped.as_ref().is_some_and(|room| match device {
        RoomDevice::Heating => room.heating.is_some(),
        RoomDevice::Cooling => room.cooling.is_some(),
    })
}

pub(super) fn heating_off(scenario: &Scenario) -> Vec<FaultCase> {
    let device = RoomDevice::Heating;
    alone(has(scenario, device).then(|| fault("room heating off", "", Effect::RoomDeviceOff(device))))
}

pub(super) fn cooling_off(scenario: &Scenario) -> Vec<FaultCase> {
    let device = RoomDevice::Cooling;
    alone(has(scenario, device).then(|| fault("room cooling off", "", Effect::RoomDeviceOff(device))))
}

pub(super) fn stuck_on(scenario: &Scenario) -> Vec<FaultCase> {
    let devices = [
        ("room heating stuck on", RoomDevice::Heating),
        ("room cooling stuck on", RoomDevice::Cooling),
    ];
    let there = devices.into_iter().filter(|(_, device)| has(scenario, *device));
    alone(there.map(|(what, device)| fault(what, "", Effect::RoomDeviceStuckOn(device))))
}

pub(super) fn lid_left_off(scenario: &Scenario) -> Vec<FaultCase> {
    let tanks = scenario.tanks.iter().enumerate();
    let lidded = tanks.filter(|(_, tank)| matches!(tank.cover, Cover::Lid { .. }));
    alone(lidded.map(|(at, tank)| {
        let effect = Effect::Covered {
            tank: TankId(at),
            cover: Cover::Open,
        };
        Happening {
            name: format!("lid of {} left off", tank.name),
            ..fault("cover", "", effect)
        }
    }))
}

pub(super) fn light_failed(scenario: &Scenario) -> Vec<FaultCase> {
    let lights = scenario.lights.iter().enumerate();
    alone(lights.flat_map(|(at, light)| {
        let out = fault("light out", &light.name, Effect::LightOut(LightId(at)));
        let always_on = light.on_ms == light.off_ms;
        let left_on =
            (!always_on).then(|| fault("light left on", &light.name, Effect::LightLeftOn(LightId(at))));
        std::iter::once(out).chain(left_on)
    }))
}

fn spell(name: &str, by_k: f64) -> Vec<FaultCase> {
    alone([Happening {
        name: name.to_owned(),
        lasts: Lasts::For(SPELL_MS),
        ..fault("room shift", "", Effect::RoomShift { by_k })
    }])
}

pub(super) fn heat_wave(_: &Scenario) -> Vec<FaultCase> {
    spell("heat wave", SPELL_K)
}

pub(super) fn cold_snap(_: &Scenario) -> Vec<FaultCase> {
    spell("cold snap", -SPELL_K)
}
