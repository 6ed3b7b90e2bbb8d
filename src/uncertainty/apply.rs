//! What a value of an uncertain parameter changes in a scenario.
//!
//! Only quantities that a scenario has are changed, so the plant knows nothing of uncertainty. Two of them stand for more than their name:
//! agitation scales evaporation and convection, so a wider open share of a cover acts through it (radiation past a cover, a tenth of the
//! surface's loss, does not follow); the free share of the panes scales their whole conductance, nine tenths of whose resistance is the
//! outer film, so it may exceed 1 here.

use tepid_scenarios::uncertainty::{Parameter, Uncertain};
use tepid_sim::ids::TankId;
use tepid_sim::scenario::{Cover, Humidity, Scenario, Tank};

/// No room is drier or damper than this.
const HUMIDITY_FRAC: (f64, f64) = (0.05, 0.99);

/// The scenario with every value applied.
pub(super) fn all(scenario: &Scenario, uncertain: &[Uncertain], values: &[f64]) -> Scenario {
    let mut changed = scenario.clone();
    // A share is limited to the whole before a factor stands for more than that.
    let shares_first = [true, false];
    for first in shares_first {
        for (one, value) in uncertain.iter().zip(values) {
            if (one.parameter == Parameter::FreeSides) == first {
                apply(&mut changed, one.parameter, *value);
            }
        }
    }
    changed
}

/// Whether a value changes anything in this scenario.
pub(super) fn changes(scenario: &Scenario, parameter: Parameter, value: f64) -> bool {
    let mut changed = scenario.clone();
    apply(&mut changed, parameter, value);
    changed != *scenario
}

fn apply(scenario: &mut Scenario, parameter: Parameter, value: f64) {
    let tanks = scenario.tanks.iter_mut();
    match parameter {
        Parameter::Evaporation | Parameter::Agitation => tanks.for_each(|tank| tank.agitation *= value),
        Parameter::OpenUnderNet => tanks
            .filter(|tank| tank.cover == Cover::Mesh)
            .for_each(|tank| tank.agitation *= value),
        Parameter::OpenUnderLid => tanks
            .filter(|tank| matches!(tank.cover, Cover::Lid { .. }))
            .for_each(|tank| tank.agitation *= value),
        Parameter::OuterFilm => tanks.for_each(|tank| outer_film(tank, value)),
        Parameter::FreeSides => tanks
            .filter(|tank| tank.pane.free_sides_frac < 1.0)
            .for_each(|tank| {
                tank.pane.free_sides_frac = (tank.pane.free_sides_frac + value).clamp(0.0, 1.0);
            }),
        Parameter::InnerFilm => tanks.for_each(|tank| tank.pane.extra_sides_m2_k_per_w += value),
        Parameter::Surroundings => tanks.for_each(|tank| tank.surroundings_offset_k += value),
        Parameter::Room => {
            scenario
                .room
                .temperature
                .course
                .iter_mut()
                .for_each(|(_, temp_c)| *temp_c += value);
            scenario.room.coldest.temp_c += value;
            scenario.room.warmest.temp_c += value;
        }
        Parameter::Humidity => humidity(scenario, value),
        Parameter::LampShare => scenario.lights.iter_mut().for_each(|light| {
            light.share_to_water_frac = (light.share_to_water_frac * value).min(1.0);
        }),
        Parameter::PumpPower => scenario.pumps.iter_mut().for_each(|pump| pump.power_w *= value),
        Parameter::HeaterRating => scenario
            .heaters
            .iter_mut()
            .for_each(|heater| heater.power_w *= value),
        Parameter::WaterLevel => tanks.for_each(|tank| {
            tank.water_height_m = (tank.water_height_m * value).min(tank.height_m);
        }),
        Parameter::Cabinet => tanks
            .filter_map(|tank| tank.cabinet.as_mut())
            .for_each(|cabinet| {
                cabinet.warmer_k *= value;
                cabinet.more_humid_frac *= value;
            }),
        Parameter::AssumedHeight => assumed_height(scenario, value),
        Parameter::AssumedLength => assumed_length(scenario, value),
        _ => {}
    }
}

/// The same volumes taller and narrower; what stands at a height in such a tank moves with it.
fn assumed_height(scenario: &mut Scenario, factor: f64) {
    for (at, tank) in scenario.tanks.iter_mut().enumerate() {
        if !tank.proportions_assumed {
            continue;
        }
        let across = factor.sqrt();
        tank.height_m *= factor;
        tank.water_height_m *= factor;
        tank.length_m /= across;
        tank.width_m /= across;
        let heaters = scenario.heaters.iter_mut();
        heaters
            .filter(|heater| heater.tank == TankId(at))
            .for_each(|heater| heater.exposed_below_m *= factor);
        let pumps = scenario.pumps.iter_mut();
        pumps
            .filter(|pump| pump.tank == TankId(at))
            .for_each(|pump| pump.starves_below_m *= factor);
    }
}

/// The same volumes and heights longer and narrower.
fn assumed_length(scenario: &mut Scenario, factor: f64) {
    let along = factor.sqrt();
    let tanks = scenario.tanks.iter_mut();
    tanks.filter(|tank| tank.proportions_assumed).for_each(|tank| {
        tank.length_m *= along;
        tank.width_m /= along;
    });
}

/// A bottom that stands on something has no outer film.
fn outer_film(tank: &mut Tank, factor: f64) {
    tank.pane.free_sides_frac *= factor;
    if tank.pane.extra_bottom_m2_k_per_w == 0.0 {
        tank.pane.free_bottom_frac *= factor;
    }
}

fn humidity(scenario: &mut Scenario, points: f64) {
    let shifted = |relative_frac: f64| (relative_frac + points).clamp(HUMIDITY_FRAC.0, HUMIDITY_FRAC.1);
    let room = &mut scenario.room;
    room.humidity = match room.humidity {
        Humidity::ConstantRatio { relative_frac } => Humidity::ConstantRatio {
            relative_frac: shifted(relative_frac),
        },
        Humidity::ConstantRelative { relative_frac } => Humidity::ConstantRelative {
            relative_frac: shifted(relative_frac),
        },
    };
    room.coldest.relative_humidity_frac = shifted(room.coldest.relative_humidity_frac);
    room.warmest.relative_humidity_frac = shifted(room.warmest.relative_humidity_frac);
}
