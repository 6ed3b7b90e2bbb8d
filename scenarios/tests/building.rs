//! A room that answers to what stands in it: `building` of `[room]`.

use approx::assert_relative_eq;
use tepid_scenarios::{Loaded, Report, fault_set, load_str};
use tepid_sim::scenario::{DailyHours, Effect, Role, RoomDevice, Scenario, SunShine};
use tepid_sim::time::HOUR;

fn load(building: &str, more: &str) -> Result<Scenario, Report> {
    let text = format!(
        "title = \"a room\"\nduration = \"2 d\"\n[water]\ntarget = \"25 °C\"\n[room]\ntemperature = {{ mean = \"2 °C\", swing = \"6 K\" }}\n\
         humidity = \"80 %\"\n{building}\n[[tank]]\nname = \"tank\"\nvolume = \"100 L\"\n{more}\n"
    );
    load_str("test.toml", &text).map(|loaded| match loaded {
        Loaded::Scenario(scenario) => *scenario,
        other => panic!("{other:?}"),
    })
}

const WHOLE: &str = r#"
[room.building]
volume = "45 m³"
heat_capacity = "800 kJ/K"
envelope = "60 W/K"
air_changes = "1 per hour"
people = "100 W"
moisture = "60 g/h"
sun = { peak = "500 W", from = "09:00", until = "17:00" }
heating = { setpoint = "20 °C", power = "1500 W" }
cooling = { setpoint = "26 °C", power = "2 kW", deadband = "2 K" }
"#;

#[test]
fn a_building_is_read_in_si_units_and_the_stated_air_is_outdoors() {
    let scenario = load(WHOLE, "").unwrap_or_else(|report| panic!("{}", report.plain()));
    let building = scenario.room.lumped.as_ref().unwrap();
    assert_eq!(
        (
            building.volume_m3,
            building.heat_capacity_j_per_k,
            building.envelope_w_per_k
        ),
        (45.0, 8e5, 60.0)
    );
    assert_relative_eq!(building.air_changes_per_s, 1.0 / 3600.0, max_relative = 1e-15);
    assert_relative_eq!(building.moisture_kg_per_s, 0.06 / 3600.0, max_relative = 1e-15);
    assert_eq!(building.internal_gain_w, 100.0);
    let hours = DailyHours {
        on_ms: 9 * HOUR,
        off_ms: 17 * HOUR,
    };
    assert_eq!(building.sun, Some(SunShine::Daily { peak_w: 500.0, hours }));
    let (heating, cooling) = (building.heating.unwrap(), building.cooling.unwrap());
    assert_eq!(
        (heating.setpoint_c, heating.power_w, heating.deadband_k),
        (20.0, 1500.0, 1.0)
    );
    assert_eq!(
        (cooling.setpoint_c, cooling.power_w, cooling.deadband_k),
        (26.0, 2000.0, 2.0)
    );
    assert_eq!(scenario.room.temperature.course, [(0, 2.0)]);
}

#[test]
fn verdicts_are_given_indoors_not_in_the_weather() {
    let scenario = load(WHOLE, "").unwrap();
    let room = &scenario.room;
    assert_eq!((room.coldest.temp_c, room.warmest.temp_c), (20.0, 26.0));
    assert!(!room.coldest.stated);
    assert!(
        scenario
            .assumptions
            .iter()
            .any(|line| line.contains("coldest and warmest room assumed 20 °C and 26 °C"))
    );
    // What the file states holds.
    let stated = format!("year = {{ coldest = \"14 °C\", warmest = \"31 °C\" }}\n{WHOLE}");
    let room = load(&stated, "").unwrap().room;
    assert_eq!((room.coldest.temp_c, room.warmest.temp_c), (14.0, 31.0));
}

#[test]
fn a_room_of_unknown_heat_capacity_has_ten_times_that_of_its_air_and_says_so() {
    let scenario = load("building = { volume = \"50 m³\", envelope = \"60 W/K\" }", "").unwrap();
    let building = scenario.room.lumped.as_ref().unwrap();
    // 10 × 50 m³ × 1.2 kg/m³ × 1005 J/(kg K).
    assert_relative_eq!(building.heat_capacity_j_per_k, 603_000.0, max_relative = 1e-3);
    assert_relative_eq!(building.air_changes_per_s, 0.5 / 3600.0, max_relative = 1e-15);
    assert!((building.heating, building.cooling, building.sun) == (None, None, None));
    assert!(
        scenario
            .assumptions
            .iter()
            .any(|line| line.contains("heat capacity assumed 10 times"))
    );
}

#[test]
fn what_a_building_cannot_be_is_refused() {
    for (building, code) in [
        ("building = { volume = \"45 m³\" }", "missing-field"),
        (
            "building = { volume = \"0 L\", envelope = \"60 W/K\" }",
            "out-of-range",
        ),
        (
            "building = { volume = \"45 m³\", envelope = \"60 W\" }",
            "wrong-kind-of-unit",
        ),
        (
            "building = { volume = \"45 m³\", envelope = \"60 W/K\", heating = { setpoint = \"20 °C\" } }",
            "missing-field",
        ),
        (
            "building = { volume = \"45 m³\", envelope = \"60 W/K\", heating = { setpoint = \"22 °C\", power = \"1 kW\" }, cooling = { setpoint = \"23 °C\", power = \"1 kW\" } }",
            "heating-and-cooling",
        ),
        (
            "building = { volume = \"45 m³\", envelope = \"60 W/K\", sun = { area = \"2 m²\" } }",
            "no-sun",
        ),
    ] {
        let report = load(building, "").unwrap_err();
        assert_eq!(report.problems.len(), 1, "{}", report.plain());
        assert_eq!(report.problems[0].code, code, "{}", report.plain());
    }
}

const RELAY: &str = "[[contact]]\nname = \"relay room\"\nkind = \"relay\"";

fn heated_by(chain: &str) -> String {
    format!(
        "building = {{ volume = \"45 m³\", envelope = \"60 W/K\", heating = {{ setpoint = \"22 °C\", power = \"1 kW\", chain = [{chain}] }} }}"
    )
}

#[test]
fn a_relay_in_the_chain_of_the_rooms_heating_is_for_that_alone() {
    let scenario =
        load(&heated_by("\"relay room\""), RELAY).unwrap_or_else(|report| panic!("{}", report.plain()));
    assert_eq!(scenario.contacts[0].role, Some(Role::HeatRoom));
    for (chain, more, code) in [
        ("\"relay rom\"", RELAY.to_owned(), "unknown-name"),
        (
            "\"relay room\"",
            format!("{RELAY}\nrole = \"heat\""),
            "room-chain",
        ),
        (
            "\"relay room\"",
            RELAY.replace("\"relay\"", "\"breaker\""),
            "room-chain",
        ),
        (
            "\"relay room\"",
            format!("{RELAY}\n[[heater]]\nname = \"heater\"\npower = \"100 W\"\nchain = [\"relay room\"]"),
            "room-chain",
        ),
    ] {
        let report = load(&heated_by(chain), &more).unwrap_err();
        assert_eq!(report.problems.len(), 1, "{}", report.plain());
        assert_eq!(report.problems[0].code, code, "{}", report.plain());
    }
}

#[test]
fn heating_that_is_there_can_fail() {
    let scenario = load(
        WHOLE,
        "[[fault]]\nwhat = \"room cooling stuck on\"\nwhen = \"30 h\"",
    )
    .unwrap();
    assert_eq!(
        scenario.happenings[0].effect,
        Effect::RoomDeviceStuckOn(RoomDevice::Cooling)
    );
    let cases = fault_set(&scenario, "room heating off").unwrap().cases;
    assert_eq!(cases.len(), 1);
    assert_eq!(cases[0].fault.effect, Effect::RoomDeviceOff(RoomDevice::Heating));
}
