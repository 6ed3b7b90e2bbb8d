//! A strategy in a recorded room, the recorded water beside the simulated.

use std::fmt::Write;

use crate::bad_input::tepid;
use crate::support::{run_with, scenario};
use tepid::replay::{ReplayError, Replayed};
use tepid_output::records::RunResult;
use tepid_scenarios::log_file::{Log, LogOptions, of_text};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

/// The course of a run as a log, from 18:00 of its first day on, the water warmer by `warmer_k`.
struct Logger {
    text: String,
    warmer_k: f64,
}

impl TraceSink for Logger {
    fn row(&mut self, row: &TraceRow<'_>) {
        if row.at_ms >= 18 * HOUR && row.at_ms % (5 * MINUTE) == 0 {
            let power_w: f64 = row.heater_w.iter().sum();
            writeln!(
                self.text,
                "{},{},{},{},{power_w}",
                row.at_ms / MINUTE,
                row.water_c[0] + self.warmer_k,
                row.room_c,
                100.0 * row.humidity_frac
            )
            .expect("a line");
        }
    }

    fn mark(&mut self, _: &Mark<'_>) {}
}

const NANO: &[(&str, &str)] = &[("duration", "3 d"), ("room.temperature", "20 °C")];

fn logged(warmer_k: f64) -> String {
    let nano = scenario("lidded-nano", NANO);
    let recipe = crate::support::strategy("on-off");
    let mut logger = Logger {
        text: "time [min],water [°C],room [°C],humidity [%],heater [W]\n".to_owned(),
        warmer_k,
    };
    run(&RunRequest::new(&nano, recipe.as_ref(), 7), Some(&mut logger)).expect("runs");
    logger.text
}

fn log(text: &str) -> Log {
    of_text("log.csv", text, &LogOptions::default()).unwrap_or_else(|report| panic!("{}", report.plain()))
}

fn replayed(warmer_k: f64) -> RunResult {
    let text = logged(warmer_k);
    let arguments = [
        "run",
        "lidded-nano",
        "--strategy",
        "on-off",
        "--replay",
        "log.csv",
        "--format",
        "json",
    ];
    let (code, json, error) = tepid(&[("log.csv", text.as_bytes())], &arguments);
    assert_eq!(code, 0, "{error}");
    serde_json::from_str(&json).expect("a run")
}

#[test]
fn a_replayed_run_comes_back_to_the_water_that_was_recorded_of_it() {
    let replay = replayed(0.0).replay.expect("a replay");
    // The same tank in the same room under the same strategy; switching is at other instants.
    assert!(replay.mean_difference_k.abs() < 0.05, "{replay:?}");
    let recorded_w = replay.recorded_heaters_w.expect("the log has watts");
    assert!(
        (replay.simulated_heaters_w / recorded_w - 1.0).abs() < 0.05,
        "{replay:?}"
    );
    assert_eq!(
        replay.from_h, -6.0,
        "the log begins six hours before its first midnight"
    );
}

#[test]
fn a_difference_between_recorded_and_simulated_water_is_told() {
    let replay = replayed(0.7).replay.expect("a replay");
    assert!((replay.mean_difference_k + 0.7).abs() < 0.1, "{replay:?}");
    assert!(
        (replay.recorded.mean_c - replay.simulated.mean_c - 0.7).abs() < 0.1,
        "{replay:?}"
    );
}

#[test]
fn the_logs_room_stands_in_place_of_the_scenarios() {
    let text = "time [h],water [°C],room [°C]\n20,25,14\n21,25,14\n30,25,14\n40,25,14\n48,25,14\n";
    let base = scenario("lidded-nano", &[]);
    let cold = Replayed::new(&base, &log(text)).expect("a replay").scenario;
    assert_eq!((cold.warm_up_ms, cold.duration_ms), (4 * HOUR, DAY as Millis));
    let heating_kwh = |scenario| run_with(scenario, "on-off", &[]).heaters[0].energy_kwh;
    let mut own = base.clone();
    own.duration_ms = DAY;
    assert!(heating_kwh(&cold) > 1.2 * heating_kwh(&own));
}

#[test]
fn a_log_that_ends_before_its_first_midnight_has_nothing_to_score() {
    let text = "time [h],water [°C],room [°C]\n8,25,20\n9,25,20\n17,25,20\n";
    let error = Replayed::new(&scenario("lidded-nano", &[]), &log(text)).expect_err("too short");
    assert!(matches!(error, ReplayError::TooShort { .. }), "{error}");
    let text = "time [h],water [°C]\n8,25\n9,25\n48,25\n";
    let error = Replayed::new(&scenario("lidded-nano", &[]), &log(text)).expect_err("no room");
    assert!(matches!(error, ReplayError::NoRoom { .. }), "{error}");
}
