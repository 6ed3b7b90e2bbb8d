//! A heater that hangs in air, and the thermostat in its body.

use crate::support::{run_with, scenario};
use tepid_sim::ids::{ContactId, TankId};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, RoomTemperature, Scenario, SensedAt, When};
use tepid_sim::scores::Scores;
use tepid_sim::time::HOUR;

/// The reef in a room of 20 °C, its big heater welded on while its sump runs dry.
fn run_dry(change: impl Fn(&mut Scenario)) -> Scores {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.room.temperature = RoomTemperature::constant(20.0);
    scenario.heaters[0].exposed_below_m = 0.15;
    change(&mut scenario);
    let fault = |effect| Happening {
        name: "fault".to_owned(),
        when: When::At(12 * HOUR),
        lasts: Lasts::ToTheEnd,
        effect,
        origin: Origin::Fault,
    };
    let leak = fault(Effect::Leak {
        tank: TankId(1),
        rate_kg_per_s: 40.0 / 3600.0,
        height_m: 0.02,
    });
    run_with(
        &scenario,
        "on-off",
        &[leak, fault(Effect::ContactWelded(ContactId(1)))],
    )
}

#[test]
fn the_dial_of_a_dry_heater_feels_the_room_s_air_and_its_own_body() {
    let scores = run_dry(|scenario| {
        for own in scenario
            .contacts
            .iter_mut()
            .filter_map(|contact| contact.own_sensing.as_mut())
        {
            (own.opens_above_c, own.closes_below_c, own.dial_error_k) = (27.0, 26.0, 0.0);
            own.sensed_at = SensedAt::HeaterBody { body_share_frac: 0.1 };
        }
    });
    // It opens where 0.9 × 20 °C + 0.1 T = 27 °C, at 90 °C, whatever the water that is left, and closes at 80 °C.
    let hottest = scores.heaters[0].hottest_body_c;
    assert!((hottest - 90.0).abs() < 0.5, "{hottest}");
    let dial = scores
        .contacts
        .iter()
        .find(|contact| contact.contact.contains("dial"));
    assert!(dial.expect("dial").closings > 20);
}

#[test]
fn a_dial_that_feels_the_air_alone_never_opens_in_a_cold_room() {
    let of_air = |scenario: &mut Scenario| {
        for own in scenario
            .contacts
            .iter_mut()
            .filter_map(|contact| contact.own_sensing.as_mut())
        {
            (own.opens_above_c, own.closes_below_c, own.dial_error_k) = (27.0, 26.0, 0.0);
            own.sensed_at = SensedAt::HeaterBody { body_share_frac: 0.0 };
        }
    };
    let blind = run_dry(of_air).heaters[0].hottest_body_c;
    let without = run_dry(|scenario| scenario.heaters[0].chain.truncate(2)).heaters[0].hottest_body_c;
    assert!((blind - without).abs() < 0.1, "{blind} {without}");
}
