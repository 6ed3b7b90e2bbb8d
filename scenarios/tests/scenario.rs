//! What a scenario file means, in SI units.

use approx::assert_relative_eq;
use tepid_scenarios::{Loaded, Setting, fault_set, fault_sets, library, load_str, scenario};
use tepid_sim::ids::{ContactId, PumpId, TankId};
use tepid_sim::scenario::{
    CabinetAir, Cover, Effect, Humidity, Lasts, Origin, Reset, Role, Scenario, SensedAt, TopOffTemperature,
    When,
};
use tepid_sim::time::{DAY, HOUR, MINUTE, SECOND};

fn load(text: &str) -> Scenario {
    match load_str("test.toml", text) {
        Ok(Loaded::Scenario(scenario)) => *scenario,
        Ok(other) => panic!("{other:?}"),
        Err(report) => panic!("{}", report.plain()),
    }
}

const SMALL: &str = "
title = \"small\"
duration = \"2 d\"
[water]
target = \"77 °F\"
[room]
temperature = \"21 °C\"
[[tank]]
name = \"tank\"
volume = \"300 L\"
";

#[test]
fn a_tank_by_volume_has_usual_proportions_and_says_so() {
    let scenario = load(SMALL);
    let tank = &scenario.tanks[0];
    // 2.4 : 1 : 1, so 300 L is 120 × 50 × 50 cm.
    assert_relative_eq!(tank.length_m, 1.2, epsilon = 1e-12);
    assert_relative_eq!(tank.width_m, 0.5, epsilon = 1e-12);
    assert_relative_eq!(tank.height_m, 0.5, epsilon = 1e-12);
    assert_relative_eq!(tank.water_height_m, 0.45, epsilon = 1e-12);
    assert!(tank.proportions_assumed);
    assert!(
        scenario
            .assumptions
            .iter()
            .any(|line| line.contains("usual proportions assumed for 300 L"))
    );
    assert!(tank.livestock, "the only tank is judged");
    assert_eq!(scenario.water.band_c, (24.5, 25.5));
    assert!(
        scenario
            .assumptions
            .iter()
            .any(|line| line.contains("band assumed"))
    );
}

#[test]
fn gallons_mean_what_people_with_gallons_expect() {
    let us = load(&SMALL.replace("300 L", "75 gal"));
    let litres = load(&SMALL.replace("300 L", "283.9058838 L"));
    assert_relative_eq!(us.tanks[0].length_m, litres.tanks[0].length_m, epsilon = 1e-9);
    let imperial = load(&SMALL.replace("300 L", "75 imp gal"));
    assert!(imperial.tanks[0].length_m > us.tanks[0].length_m);
}

#[test]
fn the_default_scenario_is_read_as_written() {
    let scenario = library::load("spare-room-winter").unwrap().unwrap();
    assert_eq!((scenario.duration_ms, scenario.warm_up_ms), (7 * DAY, DAY));
    assert_eq!(scenario.water.salinity_g_per_kg, 35.0);
    assert_eq!(
        (scenario.water.target_c, scenario.water.band_c),
        (25.5, (25.0, 26.0))
    );
    let [display, sump] = &scenario.tanks[..] else {
        panic!("two tanks")
    };
    assert_eq!(
        (display.length_m, display.width_m, display.water_height_m),
        (1.2, 0.5, 0.45)
    );
    assert_eq!(
        (display.cover, display.rock_kg, display.pane.thickness_m),
        (Cover::Mesh, 30.0, 0.012)
    );
    assert_eq!(
        sump.cabinet,
        Some(CabinetAir {
            warmer_k: 2.0,
            more_humid_frac: 0.2
        })
    );
    assert!(display.livestock && !sump.livestock);
    assert_relative_eq!(
        scenario.flows[0].rate_m3_per_s,
        1.5 / 3600.0,
        max_relative = 1e-15
    );
    assert_eq!(
        (scenario.flows[0].from, scenario.flows[0].to),
        (TankId(0), TankId(1))
    );
    assert_eq!(scenario.flows[0].pump, Some(PumpId(0)));
    let left = &scenario.heaters[0];
    assert_eq!(left.chain, [ContactId(0), ContactId(1), ContactId(3)]);
    assert_eq!(left.body.heat_capacity_j_per_k, 200.0);
    // 0.027 m² at 300 W, so 0.018 m² at 200 W.
    assert_relative_eq!(
        left.body.length_m * left.body.diameter_m * std::f64::consts::PI,
        0.018,
        max_relative = 1e-12
    );
    let dial = scenario.contacts[3].own_sensing.unwrap();
    assert_eq!(
        (dial.opens_above_c, dial.closes_below_c, dial.reset),
        (27.5, 26.5, Reset::Automatic)
    );
    assert_eq!(
        dial.sensed_at,
        SensedAt::HeaterBody {
            body_share_frac: 0.05
        }
    );
    assert_eq!(scenario.contacts[1].role, Some(Role::Heat));
    assert_eq!(
        (scenario.contacts[0].role, scenario.contacts[3].role),
        (None, None)
    );
    assert_eq!(scenario.contacts[1].life_closings, Some(1e5));
    assert_eq!(scenario.probes[0].lag_ms, 30 * SECOND);
    assert_eq!(scenario.livestock.danger_hot[1].temp_c, 30.0);
    assert_eq!(scenario.livestock.danger_hot[1].allowed_ms, Some(12 * HOUR));
    let pause = &scenario.happenings[0];
    assert_eq!(
        (pause.when, pause.lasts),
        (When::Daily(18 * HOUR + 30 * MINUTE), Lasts::For(12 * MINUTE))
    );
    assert_eq!(
        (pause.effect, pause.origin),
        (Effect::PumpStopped(PumpId(0)), Origin::Event)
    );
    assert_eq!(scenario.room.coldest.temp_c, 14.0);
    assert!(scenario.room.coldest.stated);
    assert_eq!(
        scenario.room.humidity,
        Humidity::ConstantRatio { relative_frac: 0.45 }
    );
    let top_off = scenario.top_off.unwrap();
    assert_eq!(
        (top_off.tank, top_off.temperature),
        (TankId(1), TopOffTemperature::Room)
    );
    assert_eq!(scenario.tariff.as_ref().map(|tariff| tariff.per_kwh), Some(0.32));
}

#[test]
fn the_year_s_extremes_come_from_the_scenario_where_the_file_states_none() {
    let text = SMALL.replace(
        "\"21 °C\"",
        "{ points = [[\"0 h\", \"20 °C\"], [\"24 h\", \"16 °C\"], [\"80 h\", \"2 °C\"]], swing = \"2 K\" }",
    );
    let scenario = load(&text);
    // After 48 h the course has come from 16 °C at 24 h to 16 − 14 × 24/56 = 10 °C; half the swing is 1 K.
    assert_relative_eq!(scenario.room.coldest.temp_c, 9.0, epsilon = 1e-12);
    assert_relative_eq!(scenario.room.warmest.temp_c, 21.0, epsilon = 1e-12);
    assert!(!scenario.room.coldest.stated);
}

#[test]
fn a_change_by_path_changes_that_and_nothing_else() {
    let plain = scenario("spare-room-winter", &[]).unwrap();
    let settings = [
        Setting::new("heater.left.power", "400 W"),
        Setting::new("room.temperature.swing", "5 K"),
        Setting::new("tank.display.pane.thickness", "1/2 in"),
        Setting::new("tank.display.agitation", "1.3"),
        Setting::new("top_off.temperature", "tank"),
    ];
    let changed = scenario("spare-room-winter", &settings).unwrap();
    assert_eq!(changed.heaters[0].power_w, 400.0);
    assert_eq!(changed.room.temperature.swing_k, 5.0);
    assert_eq!(changed.room.temperature.course, plain.room.temperature.course);
    assert_eq!(changed.tanks[0].pane.thickness_m, 0.0127);
    assert_eq!(changed.tanks[0].pane.free_sides_frac, 0.7);
    assert_eq!(changed.tanks[0].agitation, 1.3);
    assert_eq!(changed.top_off.unwrap().temperature, TopOffTemperature::Tank);
    assert_eq!(changed.heaters[1], plain.heaters[1]);
    assert_eq!(changed.name, "spare-room-winter");
}

#[test]
fn one_temperature_becomes_a_course_when_a_part_of_it_is_set() {
    let text = "base = \"lidded-nano\"\nset = { room.temperature = \"24 °C\" }";
    let constant = load(text);
    assert_eq!(constant.room.temperature.course, [(0, 24.0)]);
    assert_eq!(constant.room.temperature.swing_k, 0.0);
    let swinging = load(
        "base = \"lidded-nano\"\n[set]\n\"room.temperature\" = \"24 °C\"\n\"room.temperature.swing\" = \"4 K\"",
    );
    assert_eq!(swinging.room.temperature.course, [(0, 24.0)]);
    assert_eq!(swinging.room.temperature.swing_k, 4.0);
}

#[test]
fn what_happens_in_a_variant_joins_what_happens_in_its_base() {
    let base = load("base = \"spare-room-winter\"");
    let variant = load(
        "base = \"spare-room-winter\"\n[[event]]\nwhat = \"room shift\"\nat = \"36 h\"\nby = \"-3 K\"\n\
         [[fault]]\nwhat = \"contact welded\"\ncontact = \"relay left\"\nwhen = \"40 h\"\nlasts = \"5 h\"",
    );
    assert_eq!(variant.happenings.len(), base.happenings.len() + 2);
    assert!(base.happenings.iter().all(|one| variant.happenings.contains(one)));
    let mistaken = tepid_scenarios::load_str("mine.toml", "base = \"spare-room-winter\"\nfault = 3");
    let report = mistaken.expect_err("a number is no list of faults").plain();
    assert!(report.contains("mine.toml:2:9"), "{report}");
}

#[test]
fn a_variant_has_its_own_name_and_its_base_s_words() {
    let variant =
        load("base = \"spare-room-winter\"\nname = \"one big heater\"\nset.heater.left.power = \"400 W\"");
    assert_eq!(variant.name, "one big heater");
    assert_eq!(variant.title, "Spare-room reef, winter week");
    assert_eq!(variant.heaters[0].power_w, 400.0);
}

#[test]
fn what_a_variant_removes_is_gone_and_the_rest_stands() {
    let variant = load(
        "base = \"spare-room-winter\"\nremove = [\"heater.right\", \"contact.relay right\", \"contact.dial right\", \"tank.display.rock\", \"cost\"]\nset.heater.left.power = \"400 W\"",
    );
    assert_eq!(variant.heaters.len(), 1);
    assert_eq!(variant.heaters[0].power_w, 400.0);
    assert_eq!(variant.contacts.len(), 3);
    assert_eq!(variant.tanks[0].rock_kg, 0.0);
    assert_eq!(variant.tariff, None);
    assert_eq!(variant.tanks[1].name, "sump");
}

#[test]
fn the_built_in_fault_sets_strike_every_component_once() {
    let scenario = library::load("spare-room-winter").unwrap().unwrap();
    let count = |set: &str| fault_set(&scenario, set).unwrap().cases.len();
    // Two heaters, each behind the residual-current device they share, a relay and a dial; one control probe in one of two tanks.
    for (set, cases) in [
        ("one contact stuck open", 5),
        ("one contact chattering", 2),
        ("dial drifting", 2),
        ("dial at 78", 2),
        ("controller hung", 2),
        ("controller restarted", 2),
        ("probe in the wrong tank", 1),
        ("probe off", 2),
        ("probe stuck", 1),
        ("probe reads 85 or 0", 2),
        ("pump stopped", 2),
        ("leak", 2),
        ("chiller blocked", 0),
        ("lid left off", 0),
        ("room device stuck on", 0),
        ("heat wave", 1),
    ] {
        assert_eq!(count(set), cases, "{set}");
    }
    let mut names: Vec<String> = fault_sets(&scenario).into_iter().map(|set| set.name).collect();
    let all = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), all);
    assert_eq!(fault_set(&scenario, "none").unwrap().cases, []);
    let welded = fault_set(&scenario, "one contact welded").unwrap().cases;
    // Two relays and two dials; the residual-current device trips, it does not switch.
    assert_eq!(welded.len(), 4);
    assert!(
        welded
            .iter()
            .all(|case| case.fault.when == When::WorstPhase && case.fault.origin == Origin::Fault)
    );
    assert_eq!(welded[0].fault.name, "relay left welded");
    let dead = fault_set(&scenario, "one heater dead").unwrap().cases;
    assert_eq!(dead.len(), 2);
    assert!(dead.iter().all(|case| case.fault.when == When::WorstPhase));
    // Nothing cools there; where a fan does, its contact is what sticks.
    assert_eq!(fault_set(&scenario, "one cooler dead").unwrap().cases, []);
    let warm = library::load("warm-room-fan").unwrap().unwrap();
    let stuck = fault_set(&warm, "one cooler dead").unwrap().cases;
    assert_eq!(stuck.len(), 2);
    assert!(matches!(stuck[1].fault.effect, Effect::FanStopped(_)));
    assert!(matches!(stuck[0].fault.effect, Effect::ContactStuckOpen(_)));
    let dials = fault_set(&scenario, "dial 4 K off").unwrap().cases;
    assert_eq!(
        dials[1].fault.effect,
        Effect::DialOff {
            contact: ContactId(4),
            by_k: 4.0
        }
    );
    let outage = fault_set(&scenario, "outage").unwrap().cases;
    assert_eq!(
        (outage[0].fault.when, outage[0].fault.lasts),
        (When::WorstPhase, Lasts::For(12 * HOUR))
    );
    let error = fault_set(&scenario, "one contact weldet").unwrap_err();
    assert_eq!(error.nearest.as_deref(), Some("one contact welded"));
}

#[test]
fn a_box_fails_by_its_name_and_where_there_is_none_the_file_is_told_how_to_state_one() {
    let library = |name: &str| library::text(name).unwrap().to_owned();
    let fails = |of: &str| format!("[[fault]]\nwhat = \"box welded\"\n{of}");
    let scenario = load(&(library("spare-room-winter") + &fails("box = \"controller\"\n")));
    let happening = scenario.happenings.last().unwrap();
    assert_eq!(happening.name, "all contacts in box controller welded");
    let Effect::BoxWelded(of) = happening.effect else {
        panic!("{happening:?}");
    };
    let in_it: Vec<&str> = scenario
        .in_box(of)
        .map(|contact| scenario.contacts[contact.0].name.as_str())
        .collect();
    assert_eq!(in_it, ["relay left", "relay right"]);
    for (text, expected) in [
        (
            library("spare-room-winter") + &fails("box = \"controler\"\n"),
            "did you mean `controller`",
        ),
        (
            library("spare-room-winter").replace("box    = ", "#") + &fails(""),
            "there is none: give contacts a `box`",
        ),
        (
            library("spare-room-winter") + &fails("contact = \"relay left\"\n"),
            "contact",
        ),
    ] {
        let report = tepid_scenarios::scenario_text("test.toml", &text).unwrap_err();
        assert!(report.plain().contains(expected), "{}", report.plain());
    }
}

#[test]
fn a_file_s_own_fault_set_takes_the_place_of_a_built_in_one() {
    let text = library::text("spare-room-winter").unwrap().to_owned()
        + "[[fault]]\nset = \"one contact welded\"\nwhat = \"contact welded\"\nwhen = \"closing 3 of relay left\"\n"
        + "[[fault]]\nset = \"long night\"\nwhat = \"outage\"\nwhen = \"day 2 18:00\"\nlasts = \"15 h\"\n"
        + "[[fault]]\nset = \"long night\"\nwhat = \"heater dead\"\nheater = \"right\"\n"
        + "[[fault]]\nwhat = \"probe silent\"\nprobe = \"main\"\nwhen = \"day 3\"\n";
    let scenario = load(&text);
    let welded = fault_set(&scenario, "one contact welded").unwrap().cases;
    assert_eq!(welded.len(), 4);
    assert!(welded.iter().all(|case| case.fault.when
        == When::Closing {
            contact: ContactId(1),
            nth: 3,
            from_ms: 0,
        }));
    let night = fault_set(&scenario, "long night").unwrap().cases;
    assert_eq!(night.len(), 2);
    assert_eq!(
        (night[0].fault.when, night[1].fault.when),
        (When::At(DAY + 18 * HOUR), When::WorstPhase)
    );
    let own = scenario.happenings.last().unwrap();
    assert_eq!((own.when, own.origin), (When::At(2 * DAY), Origin::Fault));
}

#[test]
fn a_cut_out_with_a_bulb_stays_open_until_somebody_resets_it() {
    let text = library::text("lidded-nano").unwrap().replace(
        "chain = [\"plug-in relay\"]",
        "chain = [\"plug-in relay\", \"high limit\"]\n[[contact]]\nname = \"high limit\"\nkind = \"cut-out\"\nopens_above = \"30 °C\"",
    );
    let scenario = load(&text);
    let limit = scenario
        .contacts
        .iter()
        .find(|contact| contact.name == "high limit")
        .unwrap()
        .own_sensing
        .unwrap();
    assert_eq!(limit.reset, Reset::Manual);
    assert_eq!(
        limit.sensed_at,
        SensedAt::Bulb {
            tank: TankId(0),
            lag_ms: 30 * SECOND
        }
    );
    assert_eq!(limit.closes_below_c, 29.0);
}

#[test]
fn a_fan_s_length_is_the_shorter_side_and_its_contact_cools() {
    let scenario = library::load("warm-room-fan").unwrap().unwrap();
    assert_eq!(scenario.fans[0].length_m, 0.4);
    let relay = scenario.fans[0].chain[0];
    assert_eq!(scenario.contacts[relay.0].role, Some(Role::Cool));
    let text = library::text("warm-room-fan")
        .unwrap()
        .replace("role   = \"cool\"\n", "");
    assert_eq!(load(&text).contacts[relay.0].role, Some(Role::Cool));
}

#[test]
fn nobody_tops_off_where_the_file_says_so() {
    let text = SMALL.replacen("title", "top_off = \"none\"\ntitle", 1);
    assert_eq!(load(&text).top_off, None);
}
