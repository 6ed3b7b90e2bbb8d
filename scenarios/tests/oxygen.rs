//! Stock and air pumps: what a file says, in SI units, and what it may not say.

use approx::assert_relative_eq;
use tepid_scenarios::{Loaded, Report, load_str};
use tepid_sim::scenario::Scenario;
use tepid_sim::time::HOUR;

fn tank(livestock: &str, more: &str) -> String {
    format!(
        "title = \"stocked\"\nduration = \"2 d\"\n[water]\nsalinity = \"0 g/kg\"\ntarget = \"25 °C\"\n[room]\n\
         temperature = \"20 °C\"\n[livestock]\nkind = \"fish\"\nsource = \"invented\"\n{livestock}\n[[tank]]\n\
         name = \"tank\"\ninside = [\"60 cm\", \"40 cm\", \"40 cm\"]\n{more}\n"
    )
}

fn load(livestock: &str, more: &str) -> Scenario {
    match load_str("test.toml", &tank(livestock, more)) {
        Ok(Loaded::Scenario(scenario)) => *scenario,
        Ok(other) => panic!("{other:?}"),
        Err(report) => panic!("{}", report.plain()),
    }
}

fn refused(livestock: &str, more: &str) -> Report {
    match load_str("test.toml", &tank(livestock, more)) {
        Ok(_) => panic!("it loads: {livestock} {more}"),
        Err(report) => report,
    }
}

#[test]
fn fish_need_oxygen_by_their_mass() {
    let oxygen = load("oxygen = { fish = \"400 g\" }", "")
        .livestock
        .oxygen
        .expect("stock");
    assert_relative_eq!(oxygen.demand_mg_per_s, 100.0 / 3600.0, max_relative = 1e-12);
    assert_relative_eq!(oxygen.demand_at_c, 25.0);
    assert_relative_eq!(oxygen.q10, 2.0);
    assert_relative_eq!(oxygen.moved_m_per_s, 0.07 / 3600.0, max_relative = 1e-12);
    assert_relative_eq!(oxygen.still_m_per_s, 0.02 / 3600.0, max_relative = 1e-12);
    assert_relative_eq!(oxygen.under_lid_frac, 0.5);
}

#[test]
fn a_demand_may_be_stated_itself_at_a_temperature() {
    let scenario = load("oxygen = { demand = \"300 mg/h\", demand_at = \"77 °F\" }", "");
    let oxygen = scenario.livestock.oxygen.expect("stock");
    assert_relative_eq!(oxygen.demand_mg_per_s, 300.0 / 3600.0, max_relative = 1e-12);
    assert_relative_eq!(oxygen.demand_at_c, 25.0, max_relative = 1e-12);
    let told = scenario
        .assumptions
        .iter()
        .find(|line| line.starts_with("oxygen"));
    assert_eq!(
        told.map(String::as_str),
        Some(
            "oxygen: 2 times as much per 10 K, 7 cm/h into moved water, 2 cm/h into still water, 50 % of that under a lid assumed"
        )
    );
}

#[test]
fn no_stock_stated_is_no_oxygen_and_no_assumption_about_it() {
    let scenario = load("", "");
    assert_eq!(scenario.livestock.oxygen, None);
    assert!(!scenario.assumptions.iter().any(|line| line.contains("oxygen")));
}

#[test]
fn an_air_pump_stands_in_the_only_tank_and_has_no_battery_unless_it_says_so() {
    let bare = load("", "[[air_pump]]\nname = \"air\"");
    let [pump] = &bare.air_pumps[..] else {
        panic!("one air pump")
    };
    assert_relative_eq!(pump.transfer_m3_per_s, 0.06 / 3600.0, max_relative = 1e-12);
    assert_eq!((pump.tank.0, pump.battery_ms), (0, None));
    assert!(
        bare.assumptions
            .contains(&"air pump air: 60 L/h of water brought to saturation, 3 W assumed".to_owned())
    );
    let full = "[[air_pump]]\nname = \"air\"\ntransfer = \"90 L/h\"\npower = \"5 W\"\nbattery = \"8 h\"";
    let full = load("", full);
    assert_eq!(full.air_pumps[0].battery_ms, Some(8 * HOUR));
    assert!(!full.assumptions.iter().any(|line| line.contains("air pump")));
}

#[test]
fn a_stock_stated_twice_or_not_at_all_is_refused_where_it_stands() {
    let twice = refused("oxygen = { fish = \"400 g\", demand = \"100 mg/h\" }", "");
    assert_eq!(twice.problems.len(), 1);
    assert_eq!(twice.problems[0].code, "stock-twice");
    let none = refused("oxygen = { q10 = 2.2 }", "");
    assert_eq!(none.problems[0].code, "no-stock");
    assert_eq!(none.problems[0].place.line_and_column().0, 11);
}

#[test]
fn every_mistake_of_an_air_pump_is_told_once() {
    let report = refused(
        "",
        "[[air_pump]]\nname = \"air\"\ntransfer = \"60 L\"\nstones = 2\nbattery = \"0 h\"",
    );
    assert_eq!(report.problems.len(), 3, "{}", report.plain());
}

#[test]
fn an_empty_table_of_dangers_is_no_danger() {
    assert!(
        load("danger_hot = []\ndanger_cold = []", "")
            .livestock
            .danger_hot
            .is_empty()
    );
}
