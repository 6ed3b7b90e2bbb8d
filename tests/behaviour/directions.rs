//! Turning one knob moves the result the right way.

use crate::support::{run_with, scenario, worst};
use tepid_sim::scenario::Scenario;
use tepid_sim::still::StillPlant;

const BASE: &str = "spare-room-winter";

/// Loss at the target in a 20 °C room at 45 %, W.
fn loss_w(scenario: &Scenario) -> f64 {
    let still = StillPlant::new(scenario).expect("plant");
    still
        .losses(scenario.water.target_c, still.air(20.0, 0.45))
        .total_w()
}

/// Where the water settles with every heater on in a 20 °C room at this humidity, °C.
fn stuck_c(scenario: &Scenario, humidity_frac: f64) -> f64 {
    let still = StillPlant::new(scenario).expect("plant");
    let on = vec![true; scenario.heaters.len()];
    still
        .plateau_c(still.air(20.0, humidity_frac), &on)
        .expect("settles")[0]
}

fn base() -> Scenario {
    scenario(BASE, &[])
}

/// The same tank with fresh water.
const FRESH: [(&str, &str); 2] = [
    ("water.salinity", "0 g/kg"),
    ("water.salinity_range", "[\"0 g/kg\", \"1 g/kg\"]"),
];

#[test]
fn thicker_glass_loses_less() {
    let thick = scenario(BASE, &[("tank.display.pane.thickness", "19 mm")]);
    assert!(loss_w(&thick) < loss_w(&base()));
}

#[test]
fn acrylic_loses_less_than_glass() {
    let acrylic = scenario(BASE, &[("tank.display.pane.material", "acrylic")]);
    assert!(loss_w(&acrylic) < loss_w(&base()));
}

#[test]
fn a_lid_loses_less_than_a_net_and_a_net_less_than_nothing() {
    let with = |cover: &str| loss_w(&scenario(BASE, &[("tank.display.cover", cover)]));
    assert!(with("lid") < with("mesh"));
    assert!(with("mesh") < with("open"));
}

#[test]
fn a_warmer_room_takes_less_heat() {
    let still_of = base();
    let still = StillPlant::new(&still_of).expect("plant");
    let at = |room_c: f64| still.losses(25.5, still.air(room_c, 0.45)).total_w();
    assert!(at(24.0) < at(20.0));
    assert!(at(20.0) < at(16.0));
}

#[test]
fn salt_holds_water_back_so_sea_water_evaporates_less_than_fresh() {
    let fresh = scenario(BASE, &FRESH);
    assert!(loss_w(&base()) < loss_w(&fresh));
}

#[test]
fn salt_water_stores_less_heat_per_litre_than_fresh() {
    let fresh = scenario(BASE, &FRESH);
    let capacity = |scenario: &Scenario| StillPlant::new(scenario).expect("plant").heat_capacity_j_per_k();
    assert!(capacity(&base()) < capacity(&fresh));
}

#[test]
fn a_bigger_heater_stuck_on_ends_hotter() {
    let bigger = scenario(BASE, &[("heater.left.power", "300 W")]);
    assert!(stuck_c(&bigger, 0.45) > stuck_c(&base(), 0.45) + 1.0);
}

#[test]
fn humid_air_cools_less() {
    assert!(stuck_c(&base(), 0.8) > stuck_c(&base(), 0.4));
}

#[test]
fn a_stirred_surface_cools_more() {
    let stirred = scenario(
        BASE,
        &[("tank.display.agitation", "1.5"), ("tank.sump.agitation", "1.5")],
    );
    assert!(stuck_c(&stirred, 0.45) < stuck_c(&base(), 0.45) - 0.3);
}

#[test]
fn more_water_takes_longer_to_warm() {
    let deeper = scenario(BASE, &[("tank.display.water_height", "49 cm")]);
    let capacity = |scenario: &Scenario| StillPlant::new(scenario).expect("plant").heat_capacity_j_per_k();
    assert!(capacity(&deeper) > capacity(&base()));
}

#[test]
fn a_wider_deadband_closes_less_often_and_swings_more() {
    let scenario = base();
    let with = |deadband: &str| {
        let text = format!("strategy = \"on-off\"\ndeadband = \"{deadband}\"");
        let Ok(tepid_scenarios::Loaded::Strategy(file)) = tepid_scenarios::load_str("s.toml", &text) else {
            panic!("strategy does not load")
        };
        let request = tepid_sim::run::RunRequest::new(&scenario, file.recipe.as_ref(), 7);
        tepid_sim::run::run(&request, None).expect("runs")
    };
    let (narrow, wide) = (with("0.3 K"), with("1 K"));
    assert!(wide.contacts[1].closings < narrow.contacts[1].closings);
    assert!(worst(&wide).rms_deviation_k > worst(&narrow).rms_deviation_k);
}

#[test]
fn a_longer_cold_week_costs_more_electricity() {
    let colder = scenario(
        BASE,
        &[("room.temperature.swing", "2 K"), ("room.humidity", "30 %")],
    );
    assert!(run_with(&colder, "on-off", &[]).energy_kwh > run_with(&base(), "on-off", &[]).energy_kwh);
}
