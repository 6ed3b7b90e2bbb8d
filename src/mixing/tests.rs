use super::*;
use tepid_scenarios::Setting;

fn scenario(name: &str, changes: &[(&str, &str)]) -> Scenario {
    let settings: Vec<Setting> = changes
        .iter()
        .map(|(path, value)| Setting::new(path, value))
        .collect();
    tepid_scenarios::scenario(name, &settings).unwrap_or_else(|report| panic!("{}", report.plain()))
}

fn of(name: &str, changes: &[(&str, &str)]) -> Vec<String> {
    warnings(&scenario(name, changes), 10.0)
        .into_iter()
        .map(|warning| warning.what)
        .collect()
}

#[test]
fn at_the_rules_biot_number_a_lumped_ball_cools_within_seven_per_cent_of_a_real_one() {
    // Carslaw and Jaeger: the slowest mode of a ball decays with ζ² α/r², where ζ cot ζ = 1 − h r/k; a lump with 3 (h r/k) α/r².
    let of_radius = 3.0 * LUMPED_BELOW_BIOT;
    let (mut low, mut high) = (0.1_f64, 1.5_f64);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if middle / middle.tan() > 1.0 - of_radius {
            low = middle
        } else {
            high = middle
        }
    }
    let ratio = 3.0 * of_radius / (low * low);
    assert!(ratio > 1.0 && ratio < 1.07, "{ratio}");
}

#[test]
fn a_kilogram_of_rock_is_no_lump_and_follows_the_water_in_minutes() {
    // By hand: 0.5 L, r = 49.24 mm; 200 × 0.01641/2.4 = 1.368; 1.68e6 × 0.01641/200 = 137.9 s and
    // 0.04924² × 1.68e6/(9.8696 × 2.4) = 172.0 s.
    assert!((rock_biot() - 1.368).abs() < 0.002, "{}", rock_biot());
    assert!(
        (rock_follows_in_s() - 309.9).abs() < 1.0,
        "{}",
        rock_follows_in_s()
    );
    // 840 J/(kg K) over 1.667 W/(K kg): the model's rock is the slower one, 504 s.
    assert!((model_rock_follows_in_s() - 504.0).abs() < 1e-9);
}

#[test]
fn a_heaters_filling_resists_more_than_its_film() {
    let scenario = scenario("spare-room-winter", &[]);
    assert!(heater_biot(&scenario.heaters[0], 25.5) > 1.0);
}

#[test]
fn a_display_of_255_litres_turns_over_in_ten_minutes_at_1500_litres_an_hour() {
    // 120 × 50 × 45 cm less 15 L of rock: 255 L; over 1500 L/h: 0.17 h.
    let turnover_h = turnover_h(&scenario("spare-room-winter", &[]), TankId(0));
    assert!((turnover_h.unwrap_or(0.0) - 0.17).abs() < 1e-9, "{turnover_h:?}");
    assert_eq!(super::turnover_h(&scenario("lidded-nano", &[]), TankId(0)), None);
}

#[test]
fn a_stirred_reef_with_its_feeding_pauses_is_well_mixed() {
    assert_eq!(of("spare-room-winter", &[]), Vec::<String>::new());
}

#[test]
fn a_night_without_electricity_leaves_the_water_still() {
    let found = of("garage-outage", &[]);
    assert!(
        found.iter().any(|what| what.contains("stands still for 12 h")),
        "{found:?}"
    );
}

#[test]
fn a_pump_that_rests_all_night_leaves_the_water_still() {
    let mut scenario = scenario("spare-room-winter", &[]);
    let day = tepid_sim::scenario::DailyHours {
        on_ms: 8 * HOUR,
        off_ms: 22 * HOUR,
    };
    scenario.pumps.iter_mut().for_each(|pump| pump.hours = Some(day));
    assert_eq!(
        longest_still_ms(&scenario, TankId(0)).map(|(still_ms, _)| still_ms),
        Some(10 * HOUR)
    );
    // One of two pumps resting stills nothing.
    scenario.pumps[1].hours = None;
    assert_eq!(longest_still_ms(&scenario, TankId(0)), None);
}

#[test]
fn a_run_whose_only_pump_fails_is_warned_of_and_the_same_run_without_that_fault_is_not() {
    let scenario = scenario("lidded-nano", &[]);
    let failed = Happening {
        name: "filter stopped".to_owned(),
        when: tepid_sim::scenario::When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: Effect::PumpStopped(PumpId(0)),
        origin: tepid_sim::scenario::Origin::Fault,
    };
    let still = |faults: &[Happening]| {
        let found = warnings_of_run(&scenario, faults);
        found
            .iter()
            .any(|warning| warning.what.contains("\"filter stopped\" stops what turns it"))
    };
    assert!(still(&[failed]));
    assert!(!still(&[]));
}

#[test]
fn a_flow_that_never_stops_keeps_the_water_moving() {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.flows[0].pump = None;
    assert_eq!(longest_still_ms(&scenario, TankId(0)), None);
}

#[test]
fn a_tank_full_of_rock_is_warned_of_and_one_with_a_usual_reef_is_not() {
    let found = of("spare-room-winter", &[("tank.display.rock", "\"250 kg\"")]);
    assert!(found.iter().any(|what| what.contains("Rock holds")), "{found:?}");
}

#[test]
fn a_flow_that_takes_hours_to_replace_a_tank_without_pump_is_too_slow() {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.flows[0].rate_m3_per_s = 0.1 / 3600.0;
    scenario.pumps.retain(|pump| pump.tank != TankId(0));
    let found: Vec<String> = warnings(&scenario, 10.0)
        .into_iter()
        .map(|warning| warning.what)
        .collect();
    assert!(
        found
            .iter()
            .any(|what| what.contains("replaces its water once in 2.5 h")),
        "{found:?}"
    );
}

#[test]
fn a_heater_far_too_large_for_its_water_holds_heat_that_counts() {
    let found = of("lidded-nano", &[("heater.heater.power", "\"2 kW\"")]);
    assert!(
        found.iter().any(|what| what.contains("hold heat for")),
        "{found:?}"
    );
}
