//! Oxygen beside temperature, where the stock is stated.

use crate::support::{run_with, scenario, scenario_of, strategy, worst};
use tepid_sim::ids::{PumpId, TankId};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, When};
use tepid_sim::scores::{OxygenScores, Scores};
use tepid_sim::time::{DAY, HOUR};

/// The garage tank without its own outage, with changes by path.
fn garage(changes: &[(&str, &str)]) -> Scenario {
    let mut garage = scenario("garage-outage", changes);
    garage.happenings.clear();
    garage
}

fn from_day_2(name: &str, effect: Effect, lasts: Lasts) -> Happening {
    Happening {
        name: name.to_owned(),
        when: When::At(DAY),
        lasts,
        effect,
        origin: Origin::Fault,
    }
}

fn outage() -> Happening {
    from_day_2("outage", Effect::PowerOut, Lasts::For(12 * HOUR))
}

fn oxygen(scores: &Scores) -> &OxygenScores {
    worst(scores).oxygen.as_ref().expect("a stock is stated")
}

/// Oxygen of the garage tank with nothing broken at a steady temperature.
fn held_at(target: &str, band: &str) -> OxygenScores {
    let warm = garage(&[
        ("water.target", target),
        ("water.band", band),
        ("room.temperature", "\"12 °C\""),
        ("contact.dial left.opens_above", "\"35 °C\""),
        ("contact.dial right.opens_above", "\"35 °C\""),
        ("livestock.danger_hot", "[]"),
        ("livestock.danger_cold", "[]"),
    ]);
    oxygen(&run_with(&warm, "on-off", &[])).clone()
}

#[test]
fn no_stock_stated_gives_no_figure_of_oxygen() {
    let bare = scenario("spare-room-winter", &[]);
    let scores = run_with(&bare, "on-off", &[outage()]);
    assert!(scores.tanks.iter().all(|tank| tank.oxygen.is_none()));
}

#[test]
fn a_stock_changes_nothing_about_temperatures() {
    let stocked = garage(&[]);
    let mut bare = stocked.clone();
    bare.livestock.oxygen = None;
    let [with, without] = [&stocked, &bare].map(|tank| run_with(tank, "on-off", &[outage()]));
    let mut tank = worst(&with).clone();
    assert!(tank.oxygen.take().is_some());
    assert_eq!(&tank, worst(&without));
    assert_eq!(with.heat_balance, without.heat_balance);
}

#[test]
fn a_stopped_pump_lowers_the_oxygen() {
    let tank = garage(&[]);
    let running = run_with(&tank, "on-off", &[]);
    let stopped = from_day_2("pump", Effect::PumpStopped(PumpId(0)), Lasts::ToTheEnd);
    let stopped = run_with(&tank, "on-off", &[stopped]);
    assert!(
        oxygen(&stopped).lowest_mg_per_l < oxygen(&running).lowest_mg_per_l - 0.1,
        "{} and {}",
        oxygen(&stopped).lowest_mg_per_l,
        oxygen(&running).lowest_mg_per_l
    );
}

#[test]
fn warmer_water_holds_less_oxygen_and_its_fish_need_more() {
    let cool = held_at("\"22 °C\"", "[\"21.5 °C\", \"22.5 °C\"]");
    let warm = held_at("\"28 °C\"", "[\"27.5 °C\", \"28.5 °C\"]");
    // By hand: fresh water holds 8.74 and 7.83 mg/L (Benson and Krause 1984); fish need 81.2 and 123 mg/h, which 78.9 L/h of transfer at 20 °C,
    // 82.7 and 95.4 L/h here, bring in at 0.98 and 1.29 mg/L below that: 7.76 and 6.54 mg/L.
    assert!(
        (cool.lowest_mg_per_l - 7.76).abs() < 0.05,
        "{}",
        cool.lowest_mg_per_l
    );
    assert!(
        (warm.lowest_mg_per_l - 6.54).abs() < 0.05,
        "{}",
        warm.lowest_mg_per_l
    );
    assert!(cool.lowest_saturation_frac > warm.lowest_saturation_frac);
}

#[test]
fn an_outage_takes_oxygen_below_half_before_the_cold_does_harm_and_a_battery_air_pump_does_not_let_it() {
    let mains = run_with(&garage(&[]), "on-off", &[outage()]);
    let from_ms = oxygen(&mains).below_half_from_ms.expect("below half");
    assert!((DAY + 6 * HOUR..DAY + 12 * HOUR).contains(&from_ms), "{from_ms}");
    assert!(oxygen(&mains).below_half_h > 0.5);
    assert_eq!(worst(&mains).cold.used_up_ms, None);
    let battery = garage(&[("air_pump.air.battery", "\"24 h\"")]);
    let battery = run_with(&battery, "on-off", &[outage()]);
    assert_eq!(oxygen(&battery).below_half_from_ms, None);
    assert!(oxygen(&battery).lowest_saturation_frac > 0.6);
}

#[test]
fn a_battery_that_runs_down_buys_about_the_time_it_lasts() {
    let half_after_h = |battery: &str| {
        let mut tank = garage(&[("air_pump.air.battery", battery)]);
        tank.livestock.oxygen.as_mut().expect("stock").demand_mg_per_s *= 2.0;
        let scores = run_with(&tank, "on-off", &[outage()]);
        (oxygen(&scores).below_half_from_ms.expect("below half") - DAY) as f64 / HOUR as f64
    };
    let (short_h, long_h) = (half_after_h("\"1 s\""), half_after_h("\"2 h\""));
    assert!(
        long_h > short_h + 0.3 && long_h < short_h + 3.0,
        "{short_h} and {long_h}"
    );
}

#[test]
fn how_often_a_strategy_decides_does_not_bear_on_oxygen_but_through_the_water() {
    // Heaters too small to bear on the water, so that its course is the same.
    let tank = garage(&[
        ("heater.left.power", "\"1 mW\""),
        ("heater.right.power", "\"1 mW\""),
        ("room.temperature", "\"22 °C\""),
    ]);
    let with_interval = |interval: &str| {
        let text = format!("strategy = \"on-off\"\ninterval = \"{interval}\"\n");
        let Ok(tepid_scenarios::Loaded::Strategy(file)) = tepid_scenarios::load_str("often.toml", &text)
        else {
            panic!("{text} is no strategy")
        };
        let recipe = file.recipe;
        let faults = [outage()];
        let request = RunRequest {
            faults: &faults,
            ..RunRequest::new(&tank, recipe.as_ref(), 7)
        };
        oxygen(&run(&request, None).expect("runs")).clone()
    };
    let (often, seldom) = (with_interval("7 s"), with_interval("1 min"));
    // Milliwatts for minutes in a megajoule per kelvin: 1e-6 K, and 1 mg/(L K) at most.
    let off_mg_per_l = (often.lowest_mg_per_l - seldom.lowest_mg_per_l).abs();
    assert!(off_mg_per_l < 1e-6, "{off_mg_per_l:e}");
    let off_h = (often.below_half_h - seldom.below_half_h).abs();
    assert!(
        often.below_half_h > 0.1 && off_h < 1e-4,
        "{off_h:e} of {}",
        often.below_half_h
    );
}

/// A display over a sump, both moved by the return pump.
fn reef() -> Scenario {
    scenario_of(
        r#"
title = "display and sump"
duration = "2 d"
warm_up = "12 h"
[water]
salinity = "35 g/kg"
target = "25 °C"
[livestock]
kind = "reef"
source = "invented"
oxygen = { demand = "150 mg/h" }
[room]
temperature = "25 °C"
humidity = "100 %"
[[tank]]
name = "display"
inside = ["120 cm", "50 cm", "50 cm"]
water_height = "45 cm"
cover = "open"
livestock = true
[[tank]]
name = "sump"
inside = ["60 cm", "40 cm", "40 cm"]
water_height = "25 cm"
cover = "open"
[[flow]]
from = "display"
to = "sump"
rate = "1500 L/h"
pump = "return"
[[pump]]
name = "return"
power = "0 W"
tank = "sump"
[[heater]]
name = "main"
power = "100 W"
tank = "display"
chain = ["relay"]
[[contact]]
name = "relay"
kind = "relay"
role = "heat"
[[probe]]
name = "main"
tank = "display"
for = "control"
"#,
    )
}

#[test]
fn a_sump_gives_the_display_oxygen_while_water_flows_through_it() {
    let flowing = reef();
    let mut alone = flowing.clone();
    alone.flows[0].rate_m3_per_s = 1e-12;
    let [flowing, alone] = [&flowing, &alone].map(|tank| {
        let scores = run_with(tank, "on-off", &[]);
        oxygen(&scores).lowest_mg_per_l
    });
    // By hand at 25 °C and 35 g/kg: saturation 6.75 mg/L, transfer 7 cm/h × 1.024⁵ = 7.88 cm/h over 0.6 m² (47.3 L/h) and over 0.24 m² more
    // (18.9 L/h) by a flow of 1500 L/h: the display alone rests at 6.75 − 150/47.3 = 3.58, with the sump at 6.75 − 150/(47.3 + 18.7) = 4.48.
    assert!((alone - 3.58).abs() < 0.03, "{alone}");
    assert!((flowing - 4.48).abs() < 0.03, "{flowing}");
}

#[test]
fn a_tank_with_stock_has_the_same_oxygen_whether_or_not_its_course_is_shown() {
    struct Rows(Vec<f64>);
    impl tepid_sim::trace::TraceSink for Rows {
        fn row(&mut self, row: &tepid_sim::trace::TraceRow<'_>) {
            if row.at_ms >= 0 {
                self.0.push(row.oxygen_mg_per_l[TankId(0).0]);
            }
        }
        fn mark(&mut self, _: &tepid_sim::trace::Mark<'_>) {}
    }
    let tank = garage(&[]);
    let recipe = strategy("on-off");
    let faults = [outage()];
    let request = RunRequest {
        faults: &faults,
        ..RunRequest::new(&tank, recipe.as_ref(), 7)
    };
    let mut rows = Rows(Vec::new());
    let shown = run(&request, Some(&mut rows)).expect("runs");
    assert_eq!(shown, run(&request, None).expect("runs"));
    let lowest = rows.0.iter().copied().fold(f64::INFINITY, f64::min);
    assert!((lowest - oxygen(&shown).lowest_mg_per_l).abs() < 1e-3, "{lowest}");
}
