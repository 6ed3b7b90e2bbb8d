//! What is fitted: what it does to a scenario, how surely it is known without a log, which gives way where two cannot be told apart.

use tepid_output::records::FitParameterKind as Kind;
use tepid_sim::scenario::Scenario;

/// All of them, the most important first: where two cannot be told apart, the later is held.
pub const ALL: [Kind; 6] = [
    Kind::LossesFrac,
    Kind::HeaterPowerFrac,
    Kind::CapacityFrac,
    Kind::RoomOffsetK,
    Kind::PumpHeatFrac,
    Kind::ProbeLagS,
];

/// Its name on the command line.
#[must_use]
pub fn name(kind: Kind) -> &'static str {
    match kind {
        Kind::LossesFrac => "losses",
        Kind::CapacityFrac => "capacity",
        Kind::HeaterPowerFrac => "heater-power",
        Kind::RoomOffsetK => "room-offset",
        Kind::PumpHeatFrac => "pump-heat",
        Kind::ProbeLagS => "probe-lag",
    }
}

/// Its value in a scenario as it is; lag by the first probe to control by.
pub(super) fn stated(kind: Kind, scenario: &Scenario) -> f64 {
    match kind {
        Kind::LossesFrac => scenario.fitted.losses_frac,
        Kind::CapacityFrac => scenario.fitted.capacity_frac,
        Kind::HeaterPowerFrac | Kind::PumpHeatFrac => 1.0,
        Kind::RoomOffsetK => scenario.fitted.room_offset_k,
        Kind::ProbeLagS => scenario
            .probes
            .iter()
            .find(|probe| probe.tank.is_some())
            .map_or(0.0, |probe| tepid_sim::time::seconds(probe.lag_ms)),
    }
}

/// How far it may be off where it is not fitted, either way. Choices: a volume is seldom known better; a heater may draw 10 % less than its rating
/// (IEC 60335-1, power input), and 5 % in the mains' voltage are 10 % more or less; plain thermometers agree within 1 K.
pub(super) fn unsure(kind: Kind) -> f64 {
    match kind {
        Kind::LossesFrac => 0.3,
        Kind::CapacityFrac => 0.05,
        Kind::HeaterPowerFrac => 0.15,
        Kind::RoomOffsetK => 0.5,
        Kind::PumpHeatFrac => 0.3,
        Kind::ProbeLagS => 60.0,
    }
}

/// That, in words.
pub(super) fn unsure_words(kind: Kind) -> &'static str {
    match kind {
        Kind::LossesFrac => "the losses are 30 % more",
        Kind::CapacityFrac => "the water holds 5 % more heat",
        Kind::HeaterPowerFrac => "the heaters give 15 % more",
        Kind::RoomOffsetK => "the air around the tank is 0.50 K warmer",
        Kind::PumpHeatFrac => "the pumps give 30 % more heat",
        Kind::ProbeLagS => "the probe lags by a minute more",
    }
}

/// An interval half as wide as this says nothing: the value is held then, unless it was asked for.
pub(super) fn useless(kind: Kind) -> f64 {
    match kind {
        Kind::LossesFrac => f64::INFINITY,
        Kind::CapacityFrac | Kind::HeaterPowerFrac => 0.5,
        Kind::RoomOffsetK => 2.0,
        Kind::PumpHeatFrac => 1.0,
        Kind::ProbeLagS => 300.0,
    }
}

/// A step for derivatives: small beside what matters, large beside rounding.
pub(super) fn step(kind: Kind) -> f64 {
    match kind {
        Kind::RoomOffsetK => 0.01,
        Kind::ProbeLagS => 5.0,
        _ => 0.002,
    }
}

/// No value goes below this.
fn least(kind: Kind) -> f64 {
    match kind {
        Kind::RoomOffsetK => -20.0,
        Kind::ProbeLagS => 0.0,
        _ => 0.02,
    }
}

/// The value within what is possible.
pub(super) fn possible(kind: Kind, value: f64) -> f64 {
    value.max(least(kind))
}

/// The scenario with a value; the lag is the reader's and no part of it.
pub(super) fn apply(scenario: &mut Scenario, kind: Kind, value: f64) {
    let value = possible(kind, value);
    match kind {
        Kind::LossesFrac => scenario.fitted.losses_frac = value,
        Kind::CapacityFrac => scenario.fitted.capacity_frac = value,
        Kind::HeaterPowerFrac => scenario
            .heaters
            .iter_mut()
            .for_each(|heater| heater.power_w *= value),
        Kind::RoomOffsetK => {
            let by_k = value - scenario.fitted.room_offset_k;
            let room = &mut scenario.room;
            for (_, temp_c) in &mut room.temperature.course {
                *temp_c += by_k;
            }
            room.coldest.temp_c += by_k;
            room.warmest.temp_c += by_k;
            scenario.fitted.room_offset_k = value;
        }
        Kind::PumpHeatFrac => scenario.pumps.iter_mut().for_each(|pump| pump.power_w *= value),
        Kind::ProbeLagS => {}
    }
}
