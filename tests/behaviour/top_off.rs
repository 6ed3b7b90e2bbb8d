//! A float switch and a pump: they hold the level, whatever lowered it, and need electricity.

use crate::support::{run_with, scenario_of};
use tepid_sim::scores::Scores;

/// A display of 225 L and a sump of 60 L, with what happens appended.
fn reef(happens: &str) -> Scores {
    let text = format!(
        r#"title = "float switch"
duration = "6 d"
warm_up = "1 d"
[water]
salinity = "35 g/kg"
target = "25.5 °C"
band = ["24.5 °C", "27 °C"]
salinity_range = ["33 g/kg", "36 g/kg"]
[[tank]]
name = "display"
inside = ["100 cm", "50 cm", "50 cm"]
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
rate = "1200 L/h"
pump = "return"
[room]
temperature = "21 °C"
humidity = "50 %"
[[pump]]
name = "return"
power = "20 W"
tank = "sump"
[[heater]]
name = "heater"
power = "300 W"
tank = "sump"
chain = ["relay"]
[[contact]]
name = "relay"
kind = "relay"
role = "heat"
[[probe]]
name = "main"
tank = "sump"
for = "control"
lag = "30 s"
{happens}"#
    );
    run_with(&scenario_of(&text), "on-off", &[])
}

fn lowest_in_sump_m(scores: &Scores) -> f64 {
    scores.levels[1].lowest_m
}

#[test]
fn after_a_leak_it_fills_up_with_fresh_water_and_dilutes() {
    let scores = reef(
        "[[fault]]\nwhat = \"leak\"\nwhen = \"0 h\"\nlasts = \"4 h\"\ntank = \"sump\"\nrate = \"5 L/h\"\n",
    );
    // 20 L of 285 L went with their salt, a little less of it as the water thins: 35 · exp(−20/285) = 32.6 g/kg.
    let expected = 35.0 * (-20.0_f64 / 285.0).exp();
    assert!(
        (scores.salinity.lowest_g_per_kg - expected).abs() < 0.05,
        "{:?}",
        scores.salinity
    );
    // The pump keeps up with the leak, so that the level stays.
    assert!(lowest_in_sump_m(&scores) > 0.249);
    assert!(scores.salinity.outside_range_h > 100.0);
}

#[test]
fn a_slow_pump_lets_the_level_fall_and_then_catches_up() {
    let slow = "[top_off]\nrate = \"1 L/h\"\n";
    let leak =
        "[[fault]]\nwhat = \"leak\"\nwhen = \"0 h\"\nlasts = \"4 h\"\ntank = \"sump\"\nrate = \"5 L/h\"\n";
    let scores = reef(&format!("{slow}{leak}"));
    // 16 L and half a litre that evaporates are missing in 0.24 m² after four hours.
    let fell_m = 0.25 - lowest_in_sump_m(&scores);
    assert!((fell_m - 0.069).abs() < 0.003, "{fell_m}");
    let expected = 35.0 * (-20.0_f64 / 285.0).exp();
    assert!(
        (scores.salinity.lowest_g_per_kg - expected).abs() < 0.15,
        "{:?}",
        scores.salinity
    );
}

#[test]
fn after_a_day_without_it_the_level_and_the_salinity_come_back() {
    let stopped = |length: &str| {
        format!("[[fault]]\nwhat = \"top-off stopped\"\nwhen = \"0 h\"\nlasts = \"{length}\"\n")
    };
    let scores = reef(&stopped("24 h"));
    // About 3 L of 285 L evaporate in a day.
    let highest = scores.salinity.highest_g_per_kg;
    assert!((highest - 35.0 * 285.0 / 282.0).abs() < 0.05, "{highest}");
    assert!(lowest_in_sump_m(&scores) < 0.24);
    // About 3 kg, 4.5 K colder than the water, and nothing more once the level is back.
    let mut paths = scores.heat_balance.paths.iter();
    let new_water = paths.find(|path| path.name.starts_with("new water") && path.name.ends_with("sump"));
    let heat_j = new_water.expect("a path").heat_j;
    assert!((heat_j / (-3.0 * 4180.0 * 4.5) - 1.0).abs() < 0.15, "{heat_j}");
    // Nothing is outside the range, and a longer run adds nothing to either.
    let for_good = reef(&stopped("6 d"));
    assert!(for_good.salinity.highest_g_per_kg > 37.0);
    assert!(scores.salinity.outside_range_h == 0.0 && for_good.salinity.outside_range_h > 24.0);
}

#[test]
fn after_it_stuck_on_it_waits_until_the_surplus_has_evaporated() {
    let scores =
        reef("[[fault]]\nwhat = \"top-off stuck on\"\nwhen = \"0 h\"\nlasts = \"1 h\"\nrate = \"10 L/h\"\n");
    // 10 L too many evaporate at 3 L a day: more than three days above the level, then level and salinity as before.
    let highest_m = scores.levels[1].highest_m;
    assert!((highest_m - 0.25 - 0.0415).abs() < 0.002, "{highest_m}");
    assert!(
        (scores.salinity.lowest_g_per_kg - 35.0 * 285.0 / 295.0).abs() < 0.05,
        "{:?}",
        scores.salinity
    );
    assert!(scores.salinity.highest_g_per_kg < 35.01, "{:?}", scores.salinity);
}

#[test]
fn it_stops_without_electricity() {
    let scores = reef("[[event]]\nwhat = \"outage\"\nat = \"day 1 00:00\"\nlasts = \"24 h\"\n");
    assert!(
        lowest_in_sump_m(&scores) < 0.2495,
        "{}",
        lowest_in_sump_m(&scores)
    );
    assert!(scores.levels[0].lowest_m < 0.449, "{:?}", scores.levels);
    assert!(scores.salinity.highest_g_per_kg > 35.1, "{:?}", scores.salinity);
    assert!(scores.heat_balance.error_frac < 1e-9);
}

#[test]
fn a_tripped_breaker_stops_the_pump_that_hangs_on_it() {
    let circuit = |feeds: &str| {
        format!(
            "[[circuit]]\nname = \"wall\"\nvoltage = \"230 V\"\nbreaker = \"10 A\"\nfeeds = [\"{feeds}\"]\n"
        )
    };
    let trip = "[[fault]]\nwhat = \"circuit tripped\"\nwhen = \"0 h\"\ncircuit = \"wall\"\n";
    let sound = lowest_in_sump_m(&reef(&circuit("top-off")));
    let tripped = reef(&format!("{}{trip}", circuit("top-off")));
    // About 3 L a day for six days, out of 0.24 m².
    let fell_m = sound - lowest_in_sump_m(&tripped);
    assert!((0.06..0.09).contains(&fell_m), "{fell_m} m");
    assert!(tripped.salinity.highest_g_per_kg > 37.0, "{:?}", tripped.salinity);
    // Where it hangs on another circuit a trip is nothing to it.
    let elsewhere = lowest_in_sump_m(&reef(&format!("{}{trip}", circuit("return"))));
    assert!(sound > 0.249 && elsewhere > 0.249, "{sound} m, {elsewhere} m");
}

#[test]
fn a_backup_keeps_it_running_through_an_outage_only_if_it_feeds_it() {
    let lowest_m = |feeds: &str| {
        lowest_in_sump_m(&reef(&format!(
            "[[backup]]\nname = \"battery\"\nenergy = \"100 kWh\"\nlimit = \"500 W\"\nidle = \"0 W\"\nfeeds = [{feeds}]\n\
             [[event]]\nwhat = \"outage\"\nat = \"0 h\"\nlasts = \"60 h\"\n"
        )))
    };
    let all_but_it = "\"controller\", \"heater\", \"return\"";
    let (fed, not_fed) = (
        lowest_m(&format!("{all_but_it}, \"top-off\"")),
        lowest_m(all_but_it),
    );
    assert!(fed > 0.249, "{fed} m");
    // About 3 L a day for two days and a half, out of 0.24 m².
    assert!((not_fed - (0.25 - 7.5 / 240.0)).abs() < 0.005, "{not_fed} m");
}

#[test]
fn the_automatic_change_stops_without_electricity() {
    let change = "[automatic_change]\nrate = \"100 L/d\"\ntank = \"sump\"\nsalinity = \"30 g/kg\"\n";
    let outage = "[[event]]\nwhat = \"outage\"\nat = \"day 1 00:00\"\nlasts = \"5 d\"\n";
    let (with, without) = (reef(change), reef(&format!("{change}{outage}")));
    assert!(
        with.salinity.lowest_g_per_kg < without.salinity.lowest_g_per_kg - 0.3,
        "{:?} {:?}",
        with.salinity,
        without.salinity
    );
}

/// A small tank, cooler than the dew point of its room, with what else there is appended.
fn cold_tank(else_there: &str) -> Scores {
    let text = format!(
        r#"title = "damp"
duration = "10 d"
[water]
salinity = "35 g/kg"
salinity_range = ["34 g/kg", "36 g/kg"]
target = "25 °C"
band = ["24 °C", "27 °C"]
[[tank]]
name = "tank"
inside = ["60 cm", "30 cm", "36 cm"]
water_height = "30 cm"
cover = "open"
livestock = true
[room]
temperature = "32 °C"
humidity = "98 %"
[[pump]]
name = "filter"
power = "5 W"
[[heater]]
name = "heater"
power = "100 W"
chain = ["relay"]
[[contact]]
name = "relay"
kind = "relay"
role = "heat"
[[probe]]
name = "main"
for = "control"
lag = "30 s"
[[chiller]]
name = "chiller"
capacity = "200 W"
pump = "filter"
chain = []
{else_there}"#
    );
    run_with(&scenario_of(&text), "on-off", &[])
}

#[test]
fn condensation_raises_the_level_and_dilutes_whatever_else_there_is() {
    let bare = cold_tank("");
    let changed = cold_tank("[automatic_change]\nrate = \"0.001 L/d\"\ntemperature = \"25 °C\"\n");
    assert!(bare.evaporated_kg < -3.0, "{}", bare.evaporated_kg);
    assert!(bare.salinity.outside_range_h > 24.0);
    assert!(bare.levels[0].highest_m > 1.05 * bare.levels[0].full_m);
    let (a, b) = (bare.salinity.lowest_g_per_kg, changed.salinity.lowest_g_per_kg);
    assert!((a - b).abs() < 0.01, "{a} {b}");
}
