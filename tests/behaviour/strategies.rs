//! What each way of switching does to a whole tank.

use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::scores::Scores;
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};
use tepid_strategies::values::Value;

use crate::support::{scenario, scenario_of, worst};

/// An invented tank of 200 L with two heaters on relays, each with a dial; `room` and `more` are lines of its file.
fn tank(room: &str, more: &str) -> Scenario {
    scenario_of(&format!(
        r#"
title = "Two heaters"
duration = "8 d"
warm_up = "2 d"
[water]
salinity = "35 g/kg"
target = "25.5 °C"
band = ["25.0 °C", "26.0 °C"]
[livestock]
kind = "reef"
source = "common practice, no source"
used_to = "25.5 °C"
danger_hot = [["28.5 °C", "3 d"]]
danger_cold = [["22 °C", "2 d"]]
[[tank]]
name = "display"
inside = ["100 cm", "50 cm", "50 cm"]
water_height = "40 cm"
pane = {{ material = "glass", thickness = "10 mm" }}
cover = "open"
[room]
{room}
humidity = "55 %"
[[heater]]
name = "left"
power = "200 W"
chain = ["relay left", "dial left"]
[[heater]]
name = "right"
power = "200 W"
chain = ["relay right", "dial right"]
[[contact]]
name = "relay left"
kind = "relay"
[[contact]]
name = "relay right"
kind = "relay"
[[contact]]
name = "dial left"
kind = "thermostat"
opens_above = "27 °C"
[[contact]]
name = "dial right"
kind = "thermostat"
opens_above = "27 °C"
[[probe]]
name = "main"
{more}
"#
    ))
}

/// Two fans over the tank.
const FANS: &str = r#"
[[fan]]
name = "first fan"
power = "5 W"
speed = "1 m/s"
reaches = "30 %"
chain = ["relay first fan"]
[[fan]]
name = "second fan"
power = "5 W"
speed = "2 m/s"
reaches = "60 %"
chain = ["relay second fan"]
[[contact]]
name = "relay first fan"
kind = "relay"
[[contact]]
name = "relay second fan"
kind = "relay"
"#;

const CHILLER: &str = r#"
[[chiller]]
name = "chiller"
capacity = "300 W"
shortest_off = "0 s"
heat_goes = "outdoors"
chain = ["relay chiller"]
[[contact]]
name = "relay chiller"
kind = "relay"
"#;

/// Water of the first tank, every ten minutes of the scored time, °C.
#[derive(Debug, Default)]
struct Course {
    water_c: Vec<f64>,
}

impl TraceSink for Course {
    fn row(&mut self, row: &TraceRow<'_>) {
        if row.at_ms >= self.water_c.len() as Millis * 10 * MINUTE {
            self.water_c.push(row.water_c[0]);
        }
    }

    fn mark(&mut self, _: &Mark<'_>) {}
}

impl Course {
    fn at_c(&self, at_ms: Millis) -> f64 {
        self.water_c[(at_ms / (10 * MINUTE)) as usize]
    }

    /// The most the water rose within this time, K.
    fn rise_k(&self, within_ms: Millis) -> f64 {
        let steps = (within_ms / (10 * MINUTE)) as usize;
        let ends = self.water_c[steps..].iter().zip(&self.water_c);
        ends.map(|(to_c, from_c)| to_c - from_c).fold(0.0, f64::max)
    }

    fn range_c(&self) -> (f64, f64) {
        let least = self.water_c.iter().copied().fold(f64::INFINITY, f64::min);
        (
            least,
            self.water_c.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        )
    }
}

#[track_caller]
fn run_by(scenario: &Scenario, name: &str, given: &[(&str, Value)]) -> (Scores, Course) {
    let entry = tepid_strategies::find(name).expect("a strategy of that name");
    let mut values = entry.defaults();
    for (param, value) in given {
        values.set(param, value.clone()).expect("a value that may stand");
    }
    let recipe = (entry.build)(&values).expect("values that fit together");
    let mut course = Course::default();
    let scores = run(&RunRequest::new(scenario, recipe.as_ref(), 7), Some(&mut course)).expect("runs");
    (scores, course)
}

#[test]
fn left_to_its_dials_a_tank_stands_where_they_stand_whatever_its_target() {
    let (scores, _) = run_by(&tank("temperature = \"20 °C\"", ""), "heater-dial", &[]);
    // Between where the dials close, 26 °C, and where they open; the body's own warmth opens them a little early.
    let display = worst(&scores);
    assert!(display.lowest_c > 25.2 && display.highest_c < 27.1, "{display:?}");
    assert!(display.mean_c > 25.8, "{display:?}");
}

#[test]
fn a_timer_lets_the_water_follow_the_room_and_on_off_does_not() {
    let between_rooms_k = |name: &str| {
        let mean_c = |room: &str| worst(&run_by(&tank(room, ""), name, &[]).0).mean_c;
        mean_c("temperature = \"19 °C\"") - mean_c("temperature = \"16 °C\"")
    };
    assert!(between_rooms_k("on-off") < 0.1);
    // Not the whole 3 K: what evaporates grows faster than the water warms.
    assert!((2.0..3.0).contains(&between_rooms_k("timer")));
}

#[test]
fn set_back_swings_by_the_night_difference_at_no_more_than_the_ramp() {
    let plain = tank(
        "temperature = \"17 °C\"",
        "lag = \"0 s\"\nnoise = \"0 K\"\nstep = \"0 K\"",
    );
    let (_, steady) = run_by(&plain, "set-back", &[("drop", Value::Number(0.0))]);
    let (_, lowered) = run_by(&plain, "set-back", &[]);
    let swing_k = |course: &Course| {
        let (lowest_c, highest_c) = course.range_c();
        highest_c - lowest_c
    };
    let more_k = swing_k(&lowered) - swing_k(&steady);
    assert!((more_k - 1.0).abs() < 0.05, "{more_k} K");
    // Over four hours by the ramp of 0.25 K/h and by what the deadband swings.
    let rise_k = lowered.rise_k(4 * HOUR);
    assert!(rise_k < 1.0 + swing_k(&steady) + 0.02, "{rise_k} K in 4 h");
    assert!(rise_k > 0.9, "{rise_k} K in 4 h");
}

#[test]
fn after_an_outage_warm_back_climbs_at_its_ramp_and_on_off_at_full_power() {
    let outage = "[[event]]\nwhat = \"outage\"\nat = \"day 3\"\nlasts = \"12 h\"";
    let dark = tank("temperature = \"15 °C\"", outage);
    let (slow, slowly) = run_by(&dark, "warm-back", &[]);
    let (_, at_once) = run_by(&dark, "on-off", &[]);
    assert!(
        worst(&slow).lowest_c < 23.0,
        "the outage cooled it: {:?}",
        worst(&slow)
    );
    assert!(at_once.rise_k(4 * HOUR) > 2.5, "{} K", at_once.rise_k(4 * HOUR));
    // 0.5 K/h, and one deadband within it.
    assert!(slowly.rise_k(4 * HOUR) < 2.45, "{} K", slowly.rise_k(4 * HOUR));
    assert!(slowly.at_c(5 * DAY) > 25.2, "it arrives");
}

#[test]
fn lead_and_lag_share_the_work_and_a_staggered_pair_does_not() {
    let scenario = tank("temperature = \"19 °C\"", "");
    let share = |name: &str| {
        let scores = run_by(&scenario, name, &[]).0;
        scores.heaters[0].energy_kwh / (scores.heaters[0].energy_kwh + scores.heaters[1].energy_kwh)
    };
    let (shared, staggered) = (share("lead-lag"), share("staggered-pair"));
    assert!((shared - 0.5).abs() < 0.02, "{shared}");
    assert!(staggered > 0.9, "{staggered}");
}

#[test]
fn a_chiller_never_starts_within_its_rest() {
    // A restless probe and a deadband near nothing.
    let warm = tank(
        "temperature = \"29 °C\"",
        &format!("lag = \"0 s\"\nnoise = \"0.3 K\"{CHILLER}"),
    );
    let shortest_off_ms = |rest_ms: Millis| {
        let given = [
            ("starts_above", Value::Number(0.1)),
            ("stops_below", Value::Number(0.0)),
            ("rest", Value::Time(rest_ms)),
        ];
        let scores = run_by(&warm, "chiller", &given).0;
        assert!(scores.chillers[0].starts > 50, "{:?}", scores.chillers[0]);
        scores.chillers[0].shortest_off_ms.expect("it rested")
    };
    assert!(shortest_off_ms(7 * MINUTE) >= 7 * MINUTE);
    assert!(shortest_off_ms(0) < 7 * MINUTE, "without a rest it does");
}

#[test]
fn the_second_fan_blows_only_where_the_first_does_not_hold() {
    let hours = |room: &str| {
        let scores = run_by(&tank(room, FANS), "fan-stages", &[]).0;
        [0, 1].map(|fan| scores.fan_energy_kwh[fan] / 0.005)
    };
    let [first_h, second_h] = hours("temperature = \"28 °C\"");
    assert!(first_h > 10.0 && second_h == 0.0, "{first_h} h and {second_h} h");
    let [first_h, second_h] = hours("temperature = \"33 °C\"");
    assert!(first_h > 150.0 && second_h > 10.0, "{first_h} h and {second_h} h");
}

#[test]
fn predictive_warms_before_an_announced_cold_water_change() {
    let change = "[[event]]\nwhat = \"water change\"\nshare = \"20 %\"\ntemperature = \"20 °C\"\nsalinity = \"35 g/kg\"\nat = \"day 5\"\nlasts = \"30 min\"";
    let scenario = tank("temperature = \"19 °C\"", change);
    let around = |name: &str| {
        let (scores, course) = run_by(&scenario, name, &[]);
        (course.at_c(4 * DAY), worst(&scores).lowest_c)
    };
    let (ahead_c, lowest_c) = around("predictive");
    let (unwarned_c, colder_c) = around("pi");
    assert!((ahead_c - 26.0).abs() < 0.15, "{ahead_c} °C");
    assert!((unwarned_c - 25.5).abs() < 0.15, "{unwarned_c} °C");
    assert!(lowest_c > colder_c + 0.3, "{lowest_c} °C, pi {colder_c} °C");
}

#[test]
fn a_room_probe_tells_of_a_cold_front_before_the_water_does() {
    let room =
        "temperature = { points = [[\"0 h\", \"23 °C\"], [\"96 h\", \"23 °C\"], [\"97 h\", \"14 °C\"]] }";
    let scenario = tank(room, "[[probe]]\nname = \"room\"\nfor = \"room\"");
    let lowest_c = |name: &str| worst(&run_by(&scenario, name, &[]).0).lowest_c;
    let (forward_c, pi_c) = (lowest_c("feed-forward"), lowest_c("pi"));
    assert!(
        25.5 - forward_c < 0.7 * (25.5 - pi_c),
        "{forward_c} °C, pi {pi_c} °C"
    );
}

/// It reads the room, neither the water nor a fault of it.
#[test]
fn a_probe_for_the_room_reads_the_room() {
    #[derive(Default)]
    struct Apart(f64);
    impl TraceSink for Apart {
        fn row(&mut self, row: &TraceRow<'_>) {
            if row.at_ms > 0 {
                let off_k = row.readings_c[1].expect("a reading") - row.room_c;
                self.0 = self.0.max(off_k.abs());
            }
        }
        fn mark(&mut self, _: &Mark<'_>) {}
    }
    for (lag, most_k) in [("0 s", 0.0011), ("10 min", 0.2)] {
        let probe = format!(
            "[[probe]]\nname = \"room\"\nfor = \"room\"\nnoise = \"0 K\"\nstep = \"0 K\"\nlag = \"{lag}\""
        );
        let scenario = tank("temperature = { mean = \"20 °C\", swing = \"6 K\" }", &probe);
        let recipe = crate::support::strategy("on-off");
        let mut apart = Apart::default();
        run(&RunRequest::new(&scenario, recipe.as_ref(), 7), Some(&mut apart)).expect("runs");
        assert!(apart.0 < most_k, "{lag}: {} K", apart.0);
        assert!(apart.0 > 0.0 || lag == "0 s", "with a lag it comes late");
    }
}

/// Tanks that share nothing but the room share its probe.
#[test]
fn every_water_system_sees_the_probe_in_the_room() {
    let shop = scenario("shop-room", &[]);
    let mut with = shop.clone();
    with.probes.push(tepid_sim::scenario::Probe {
        name: "room".to_owned(),
        tank: None,
        ..shop.probes[0].clone()
    });
    with.probes.last_mut().expect("one").purpose = tepid_sim::scenario::ProbePurpose::Monitor;
    let (scores, _) = run_by(&with, "feed-forward", &[]);
    assert_eq!(scores.tanks.len(), 8);
    assert!(worst(&scores).lowest_c > 24.0, "{:?}", worst(&scores));
}

/// Heater and fan by a probe that lags, in a room a little colder than the water: how much heat the fan makes necessary.
#[test]
fn heater_and_fan_fight_without_a_dead_zone_and_do_not_with_it() {
    let mild = tank(
        "temperature = \"24.5 °C\"",
        &format!("lag = \"5 min\"\nnoise = \"0.05 K\"{FANS}"),
    );
    let work = |dead_zone_k: f64| {
        let given = [
            ("deadband", Value::Number(0.02)),
            ("dead_zone", Value::Number(dead_zone_k)),
            ("lockout", Value::Time(0)),
        ];
        let scores = run_by(&mild, "heat-and-fan", &given).0;
        let heated_kwh: f64 = scores.heaters.iter().map(|heater| heater.energy_kwh).sum();
        let both_h = tepid_sim::time::hours(scores.heating_against_cooling_ms);
        // By turns, and at once only while the last warmth of one meets the first breath of the other.
        assert!(both_h < 0.1, "{both_h} h at once");
        (heated_kwh, scores.fan_energy_kwh[0] / 0.005)
    };
    let (fought_kwh, fought_h) = work(0.01);
    let (heated_kwh, blown_h) = work(0.6);
    assert!(fought_h > 5.0 && blown_h < 0.1, "{fought_h} h and {blown_h} h");
    assert!(
        fought_kwh > 1.1 * heated_kwh,
        "{fought_kwh} kWh and {heated_kwh} kWh"
    );
}
