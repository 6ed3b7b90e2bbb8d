//! A budget says what a long run comes to, whatever the devices of the scenario.

use crate::support::{scenario_of, strategy};
use tepid::budget::budget;
use tepid_output::records::{Budget, RoomDeviceKind};
use tepid_sim::ids::ContactId;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, When};
use tepid_sim::scores::Scores;
use tepid_sim::time::{DAY, hours};

/// 54 L in a room of 21 °C, a heater of 100 W, and `heater` and `more` of a case.
fn tank(heater: &str, more: &str) -> Scenario {
    scenario_of(&format!(
        "title = \"54 L\"\nduration = \"12 d\"\nwarm_up = \"0 d\"\n\
         [water]\nsalinity = \"0 g/kg\"\ntarget = \"25 °C\"\nband = [\"24 °C\", \"27 °C\"]\n\
         [[tank]]\nname = \"tank\"\ninside = [\"60 cm\", \"30 cm\", \"36 cm\"]\nwater_height = \"30 cm\"\n\
         pane = {{ material = \"glass\", thickness = \"6 mm\" }}\ncover = \"open\"\nlivestock = true\n\
         [room]\ntemperature = \"21 °C\"\nhumidity = \"50 %\"\n\
         [[pump]]\nname = \"filter\"\npower = \"5 W\"\n\
         [[pump]]\nname = \"by day\"\npower = \"6 W\"\non = \"08:00\"\noff = \"20:00\"\n\
         [[heater]]\nname = \"heater\"\npower = \"100 W\"\nchain = [\"relay\"]\n{heater}\n\
         [[contact]]\nname = \"relay\"\nkind = \"relay\"\nrole = \"heat\"\n\
         [[probe]]\nname = \"main\"\nfor = \"control\"\nlag = \"30 s\"\n{more}\n"
    ))
}

/// Every device that gives or takes heat, by name.
fn devices() -> Vec<(&'static str, Scenario)> {
    vec![
        ("a plain heater", tank("", "")),
        ("a mat", tank("kind = \"mat\"\nshare_to_water = \"50 %\"", "")),
        (
            "a self-limiting heater",
            tank(
                "kind = \"self-limiting\"\nfull_to = \"30 °C\"\nnone_from = \"40 °C\"",
                "",
            ),
        ),
        (
            "a heater in a pipe",
            tank("kind = \"flow-through\"\nflow_by = \"filter\"", ""),
        ),
        (
            "an automatic change",
            tank(
                "",
                "[automatic_change]\nrate = \"20 L/d\"\ntemperature = \"10 °C\"",
            ),
        ),
        (
            "sun",
            tank(
                "",
                "[[sun]]\nname = \"window\"\npeak = \"50 W\"\nfrom = \"09:00\"\nuntil = \"17:00\"",
            ),
        ),
        (
            "a lamp",
            tank(
                "",
                "[[light]]\nname = \"lamp\"\npower = \"40 W\"\non = \"09:00\"\noff = \"19:00\"",
            ),
        ),
        (
            "a fan that nothing switches",
            tank(
                "",
                "[[fan]]\nname = \"fan\"\npower = \"2 W\"\nspeed = \"0.5 m/s\"\nreaches = \"30 %\"\nchain = []",
            ),
        ),
        (
            "a chiller that nothing switches",
            tank(
                "",
                "[[chiller]]\nname = \"chiller\"\ncapacity = \"30 W\"\nchain = []",
            ),
        ),
    ]
}

/// The scores of the last two of twelve days.
fn late(scenario: &Scenario, faults: &[Happening]) -> Scores {
    let recipe = strategy("on-off");
    let request = RunRequest {
        faults,
        judged_from_ms: 10 * DAY,
        ..RunRequest::new(scenario, recipe.as_ref(), 7)
    };
    run(&request, None).expect("runs")
}

fn of(scenario: &Scenario) -> Budget {
    budget(scenario).expect("budget")
}

#[test]
fn with_everything_stuck_on_the_water_ends_where_the_budget_says() {
    let stuck = Happening {
        name: "weld".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: Effect::ContactWelded(ContactId(0)),
        origin: Origin::Fault,
    };
    for (name, scenario) in devices() {
        let told_c = of(&scenario).stuck_on[0].end_c.expect("settles");
        let ran_c = late(&scenario, std::slice::from_ref(&stuck)).tanks[0].mean_c;
        // A twentieth of a kelvin: what is printed has one decimal, and losses that bend lower the mean of a water that swings by day.
        assert!(
            (told_c - ran_c).abs() < 0.05,
            "{name}: {told_c:.3} °C, run {ran_c:.3} °C"
        );
    }
}

#[test]
fn heaters_need_the_electricity_that_the_budget_says() {
    for (name, scenario) in devices() {
        let told_w = of(&scenario).heater_needed_w;
        let scores = late(&scenario, &[]);
        let ran_w = scores.heaters[0].energy_kwh * 1000.0 / hours(scenario.duration_ms);
        // The mean of an on-off loop lies a tenth of a kelvin beside the target, a watt of these tanks, and sun takes the water above it by day.
        assert!(
            (told_w - ran_w).abs() < 2.0,
            "{name}: {told_w:.1} W, run {ran_w:.1} W"
        );
    }
}

#[test]
fn a_half_share_to_the_water_doubles_what_a_mat_needs() {
    let plain = of(&tank("", ""));
    let mat = of(&tank("kind = \"mat\"\nshare_to_water = \"50 %\"", ""));
    assert!((mat.heater_needed_w / plain.heater_needed_w - 2.0).abs() < 1e-9);
    assert!((mat.heaters_to_water_w - 50.0).abs() < 1e-9);
    assert!(mat.coldest_room_held_c > plain.coldest_room_held_c);
}

/// Outdoors 2 °C around a room of 40 m³ whose heating is set to 20 °C.
fn heated(power: &str) -> Scenario {
    let mut scenario = tank(
        "",
        &format!(
            "[room.building]\nvolume = \"40 m³\"\nenvelope = \"40 W/K\"\nheating = {{ setpoint = \"20 °C\", power = \"{power}\" }}"
        ),
    );
    scenario.room.temperature = tepid_sim::scenario::RoomTemperature::constant(2.0);
    scenario
}

#[test]
fn a_heated_building_is_as_warm_as_its_heating_holds_it() {
    let scenario = heated("2000 W");
    let budget = of(&scenario);
    let scores = late(&scenario, &[]);
    assert_eq!(budget.room_c, 20.0);
    let building = budget.building.clone().expect("building");
    assert_eq!(building.device, Some(RoomDeviceKind::Heating));
    assert!(
        (500.0..900.0).contains(&building.device_w),
        "{}",
        building.device_w
    );
    let ran_w = scores.heaters[0].energy_kwh * 1000.0 / hours(scenario.duration_ms);
    assert!(
        (budget.heater_needed_w - ran_w).abs() < 3.0,
        "{:.1} W, run {ran_w:.1} W",
        budget.heater_needed_w
    );
    assert!(budget.heat_needed_w < budget.heaters_to_water_w);
}

#[test]
fn where_the_heating_is_too_weak_the_room_is_as_cold_as_a_run_finds_it() {
    let scenario = heated("300 W");
    let budget = of(&scenario);
    let scores = late(&scenario, &[]);
    let building = budget.building.expect("building");
    assert_eq!(building.device_w, building.device_rated_w);
    // The water falls below its target here, so it warms the room a little less than the budget's.
    let ran_c = scores.room.lowest_c;
    assert!(
        (budget.room_c - ran_c).abs() < 1.5,
        "{:.2} °C, run {ran_c:.2} °C",
        budget.room_c
    );
    assert!(budget.room_c < 15.0);
}
