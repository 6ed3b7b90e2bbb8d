//! Chillers, sun, pump hours, kinds of heater, and rooms that answer.

use crate::support::{run_with, scenario, worst};
use tepid_sim::ids::{ContactId, PumpId, TankId};
use tepid_sim::physics::heater_body::loss_in_air_w;
use tepid_sim::physics::moist_air::Air;
use tepid_sim::scenario::{
    Chiller, Contact, ContactKind, DailyHours, Effect, Fan, Happening, HeaterKind, Lasts, LumpedRoom, Origin,
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
        in_box: None,
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
        stops_below_c: 4.0,
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
fn a_flow_through_heater_without_flow_is_as_hot_as_a_dry_one_at_once() {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.room.temperature = tepid_sim::scenario::RoomTemperature::constant(20.0);
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
    let hottest_c = run_with(&scenario, "on-off", &faults).heaters[0].hottest_body_c;
    // Where its power leaves through air and radiation alone. The model leaves out the water that stands in a pipe and boils at 100 °C first.
    let heater = &scenario.heaters[0];
    let room = Air::from_relative_humidity(20.0, 0.5, scenario.water.pressure_pa);
    let lost_w = loss_in_air_w(&heater.body, hottest_c, room);
    assert!(
        (lost_w / heater.power_w - 1.0).abs() < 0.01,
        "{hottest_c} °C loses {lost_w} W"
    );
    let cautioned = tepid_output::cautions::for_equipment(&scenario);
    assert!(cautioned.iter().any(|one| {
        one.because
            .iter()
            .any(|reason| reason.contains("as if dry as soon as its flow stops"))
    }));
}

#[test]
fn a_chiller_stuck_on_stops_short_of_ice_and_starts_again() {
    let mut scenario = with_chiller(warm_reef());
    scenario.chillers[0].capacity_w = 1500.0;
    let weld = Happening {
        name: "weld".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: Effect::ContactWelded(ContactId(scenario.contacts.len() - 1)),
        origin: Origin::Fault,
    };
    let with = run_with(&scenario, "heat-and-fan", std::slice::from_ref(&weld));
    // Its own tank may fall below 4 °C for a minute, the time between two looks, by less than 0.1 K a minute.
    assert!(
        (3.5..4.5).contains(&worst(&with).lowest_c),
        "{}",
        worst(&with).lowest_c
    );
    assert!(with.chillers[0].starts > 5, "{}", with.chillers[0].starts);
    assert!(
        with.heat_balance.error_frac < 1e-9,
        "{:e}",
        with.heat_balance.error_frac
    );
    scenario.chillers[0].stops_below_c = 15.0;
    let milder = run_with(&scenario, "heat-and-fan", &[weld]);
    assert!(
        (14.5..15.5).contains(&worst(&milder).lowest_c),
        "{}",
        worst(&milder).lowest_c
    );
}

/// A tank without heater in a warm dry room under fans that nothing switches, each with its speed and the share it reaches.
fn under_fans_c(fans: &[(f64, f64)]) -> f64 {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.room.temperature = tepid_sim::scenario::RoomTemperature::constant(30.0);
    for (index, (speed_m_per_s, share_frac)) in fans.iter().enumerate() {
        scenario.fans.push(Fan {
            name: format!("fan {index}"),
            tank: TankId(0),
            power_w: 5.0,
            speed_m_per_s: *speed_m_per_s,
            length_m: 0.5,
            share_frac: *share_frac,
            chain: Vec::new(),
        });
    }
    worst(&run_with(&scenario, "on-off", &[])).end_c
}

#[test]
fn a_second_fan_cools_what_the_first_leaves_and_a_weak_one_takes_nothing_from_a_strong_one() {
    let strong_c = under_fans_c(&[(3.0, 1.0)]);
    assert!((under_fans_c(&[(0.3, 1.0), (3.0, 1.0)]) - strong_c).abs() < 1e-9);
    let half_c = under_fans_c(&[(3.0, 0.5)]);
    assert!(strong_c < half_c - 0.3, "{strong_c} {half_c}");
    assert!((under_fans_c(&[(3.0, 0.5), (3.0, 0.5)]) - strong_c).abs() < 1e-9);
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
            runs_without_power: false,
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
