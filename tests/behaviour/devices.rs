//! Chillers, sun, pump hours, kinds of heater, and rooms that answer.

use crate::support::{run_with, scenario, worst};
use tepid_sim::ids::{ContactId, PumpId, TankId};
use tepid_sim::scenario::{
    Chiller, Contact, ContactKind, DailyHours, Effect, Happening, HeaterKind, Lasts, LumpedRoom, Origin,
    Role, RoomDevice, RoomThermostat, Scenario, Sun, SunShine, When,
};
use tepid_sim::time::{HOUR, MINUTE};

fn warm_reef() -> Scenario {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.room.temperature = tepid_sim::scenario::RoomTemperature::constant(28.0);
    scenario
}

fn with_chiller(mut scenario: Scenario) -> Scenario {
    scenario.contacts.push(Contact {
        name: "chiller relay".to_owned(),
        kind: ContactKind::Relay,
        box_name: None,
        role: Some(Role::Cool),
        life_closings: Some(100_000.0),
        own_sensing: None,
    });
    let relay = ContactId(scenario.contacts.len() - 1);
    scenario.chillers.push(Chiller {
        name: "chiller".to_owned(),
        tank: TankId(1),
        capacity_w: 400.0,
        performance_frac: 3.0,
        shortest_off_ms: 10 * MINUTE,
        pump: Some(PumpId(0)),
        rejects_outdoors: false,
        chain: vec![relay],
    });
    scenario
}

#[test]
fn a_chiller_holds_a_tank_that_its_room_would_warm() {
    let warm = run_with(&warm_reef(), "on-off", &[]);
    assert!(worst(&warm).highest_c > 27.5);
    let held = run_with(&with_chiller(warm_reef()), "heat-and-fan", &[]);
    assert!(worst(&held).end_c < 26.3, "{}", worst(&held).end_c);
    assert!(
        held.heat_balance.error_frac < 1e-9,
        "{:e}",
        held.heat_balance.error_frac
    );
    assert!(
        held.energy_kwh > warm.energy_kwh - warm.heaters.iter().map(|heater| heater.energy_kwh).sum::<f64>()
    );
}

#[test]
fn a_chiller_rests_as_long_as_it_must() {
    let chilled = with_chiller(warm_reef());
    let scores = run_with(&chilled, "heat-and-fan", &[]);
    assert!(
        scores.chillers[0]
            .shortest_off_ms
            .is_some_and(|off_ms| off_ms >= 10 * MINUTE)
    );
}

#[test]
fn a_chiller_without_flow_cools_nothing() {
    let stop = Happening {
        name: "return stopped".to_owned(),
        when: When::At(HOUR),
        lasts: Lasts::ToTheEnd,
        effect: Effect::PumpStopped(PumpId(0)),
        origin: Origin::Fault,
    };
    let scores = run_with(&with_chiller(warm_reef()), "heat-and-fan", &[stop]);
    assert!(worst(&scores).highest_c > 27.0);
}

#[test]
fn sun_on_a_tank_warms_it_by_day() {
    let mut scenario = warm_reef();
    let without = run_with(&scenario, "on-off", &[]);
    scenario.suns.push(Sun {
        name: "south window".to_owned(),
        tank: TankId(0),
        shine: SunShine::Daily {
            peak_w: 200.0,
            hours: DailyHours {
                on_ms: 10 * HOUR,
                off_ms: 16 * HOUR,
            },
        },
    });
    let with = run_with(&scenario, "on-off", &[]);
    assert!(worst(&with).highest_c > worst(&without).highest_c + 0.5);
    // Half sine of 6 h and 200 W: 2/π × 6 h × 200 W = 764 Wh a day.
    let sun_j = with
        .heat_balance
        .paths
        .iter()
        .find(|path| path.name.starts_with("sun "))
        .expect("sun")
        .heat_j;
    let days = 8.0;
    assert!((sun_j / (764.0 * 3600.0 * days) - 1.0).abs() < 0.01, "{sun_j}");
}

#[test]
fn a_self_limiting_heater_stuck_on_ends_cooler_than_a_plain_one() {
    let weld = Happening {
        name: "weld".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: Effect::ContactWelded(ContactId(1)),
        origin: Origin::Fault,
    };
    let mut plain = warm_reef();
    plain.heaters[0].chain.truncate(2);
    let mut limiting = plain.clone();
    limiting.heaters[0].kind = HeaterKind::SelfLimiting {
        full_to_c: 35.0,
        none_from_c: 45.0,
    };
    let hot = run_with(&plain, "on-off", std::slice::from_ref(&weld));
    let mild = run_with(&limiting, "on-off", &[weld]);
    assert!(worst(&mild).highest_c < worst(&hot).highest_c - 0.5);
    assert!(mild.heaters[0].energy_kwh < hot.heaters[0].energy_kwh);
    assert!(
        mild.heat_balance.error_frac < 1e-9,
        "{:e}",
        mild.heat_balance.error_frac
    );
}

#[test]
fn a_mat_warms_the_water_with_its_share_only() {
    let mut scenario = scenario("spare-room-winter", &[]);
    let plain = run_with(&scenario, "on-off", &[]);
    for heater in &mut scenario.heaters {
        heater.kind = HeaterKind::Mat {
            share_to_water_frac: 0.8,
        };
    }
    let mat = run_with(&scenario, "on-off", &[]);
    let of = |scores: &tepid_sim::scores::Scores| -> f64 {
        scores.heaters.iter().map(|heater| heater.energy_kwh).sum()
    };
    assert!(
        (of(&mat) / (of(&plain) / 0.8) - 1.0).abs() < 0.02,
        "{} {}",
        of(&mat),
        of(&plain)
    );
}

#[test]
fn a_flow_through_heater_without_flow_runs_hot_and_heats_no_water() {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.heaters[0].kind = HeaterKind::FlowThrough { pump: PumpId(0) };
    scenario.heaters[0].chain.truncate(2);
    let happens = |effect| Happening {
        name: "fault".to_owned(),
        when: When::At(24 * HOUR),
        lasts: Lasts::For(6 * HOUR),
        effect,
        origin: Origin::Fault,
    };
    let faults = [
        happens(Effect::PumpStopped(PumpId(0))),
        happens(Effect::ContactWelded(ContactId(1))),
    ];
    let scores = run_with(&scenario, "on-off", &faults);
    assert!(
        scores.heaters[0].hottest_body_c > 150.0,
        "{}",
        scores.heaters[0].hottest_body_c
    );
}

#[test]
fn a_pump_with_hours_heats_only_then() {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.pumps[1].hours = Some(DailyHours {
        on_ms: 8 * HOUR,
        off_ms: 20 * HOUR,
    });
    let half = run_with(&scenario, "on-off", &[]);
    let pump_j = half
        .heat_balance
        .paths
        .iter()
        .find(|path| path.name == "pump stream")
        .expect("pump")
        .heat_j;
    // 15 W for 12 h of each of 8 days.
    assert!(
        (pump_j / (15.0 * 12.0 * 3600.0 * 8.0) - 1.0).abs() < 1e-9,
        "{pump_j}"
    );
}

fn small_room() -> LumpedRoom {
    LumpedRoom {
        volume_m3: 30.0,
        heat_capacity_j_per_k: 400_000.0,
        envelope_w_per_k: 40.0,
        air_changes_per_s: 0.5 / 3600.0,
        internal_gain_w: 0.0,
        moisture_kg_per_s: 0.0,
        sun: None,
        heating: Some(RoomThermostat {
            setpoint_c: 20.0,
            power_w: 1500.0,
            deadband_k: 1.0,
        }),
        cooling: None,
    }
}

#[test]
fn a_small_room_warms_with_a_stuck_heater_and_makes_it_worse() {
    let mut open = scenario("spare-room-winter", &[]);
    open.room.temperature = tepid_sim::scenario::RoomTemperature::constant(20.0);
    open.heaters[0].power_w = 400.0;
    open.heaters[0].chain.truncate(2);
    let mut closed = open.clone();
    closed.room.temperature = tepid_sim::scenario::RoomTemperature::constant(12.0);
    closed.room.lumped = Some(small_room());
    let weld = Happening {
        name: "weld".to_owned(),
        when: When::At(HOUR),
        lasts: Lasts::ToTheEnd,
        effect: Effect::ContactWelded(ContactId(1)),
        origin: Origin::Fault,
    };
    let prescribed = run_with(&open, "on-off", std::slice::from_ref(&weld));
    let answering = run_with(&closed, "on-off", std::slice::from_ref(&weld));
    assert!(answering.room.highest_c > 20.5, "{}", answering.room.highest_c);
    assert!(worst(&answering).end_c > worst(&prescribed).end_c + 0.3);
    assert!(
        answering.heat_balance.error_frac < 1e-9,
        "{:e}",
        answering.heat_balance.error_frac
    );
}

#[test]
fn a_room_whose_heating_fails_takes_the_tank_with_it() {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.room.temperature = tepid_sim::scenario::RoomTemperature::constant(0.0);
    scenario.room.lumped = Some(small_room());
    let off = Happening {
        name: "room heating off".to_owned(),
        when: When::At(24 * HOUR),
        lasts: Lasts::ToTheEnd,
        effect: Effect::RoomDeviceOff(RoomDevice::Heating),
        origin: Origin::Fault,
    };
    let with = run_with(&scenario, "on-off", &[off]);
    let without = run_with(&scenario, "on-off", &[]);
    assert!(without.room.lowest_c > 19.0, "{}", without.room.lowest_c);
    assert!(with.room.lowest_c < 12.0, "{}", with.room.lowest_c);
    assert!(worst(&with).end_c < worst(&without).end_c - 1.0);
}

#[test]
fn an_open_reef_makes_a_small_room_damp() {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.room.temperature = tepid_sim::scenario::RoomTemperature::constant(5.0);
    scenario.room.humidity = tepid_sim::scenario::Humidity::ConstantRatio { relative_frac: 0.8 };
    scenario.room.lumped = Some(LumpedRoom {
        volume_m3: 40.0,
        ..small_room()
    });
    let with = run_with(&scenario, "on-off", &[]);
    assert!(
        with.room.highest_humidity_frac > 0.45,
        "{}",
        with.room.highest_humidity_frac
    );
}
