//! A strategy in a recorded room, the recorded water beside the simulated.

use std::fmt::Write;

use crate::bad_input::tepid;
use crate::support::{run_with, scenario};
use tepid::fit::{FitRequest, beside, fit, pictured};
use tepid::recorded::day_names;
use tepid::replay::{ReplayError, Replayed};
use tepid_output::plot::time_series_svg;
use tepid_output::records::RunResult;
use tepid_scenarios::log_file::{Log, LogOptions, of_text};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::Scenario;
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

/// On-off holds the water, so what changes is what its heater draws: a tenth more of the losses, less in a warmer room, the same with a weaker one.
#[test]
fn a_replay_tells_what_would_change_it_most() {
    let replay = replayed(0.0).replay.expect("a replay");
    let heaters_w = |what: &str| {
        let change = replay.changes.iter().find(|change| change.what.contains(what));
        change.expect(what).simulated_heaters_w / replay.simulated_heaters_w
    };
    assert!((heaters_w("losses") - 1.1).abs() < 0.05, "{replay:?}");
    assert!(
        heaters_w("room") < 0.95 && (heaters_w("weaker") - 1.0).abs() < 0.02,
        "{replay:?}"
    );
    let moved_w: Vec<f64> = replay
        .changes
        .iter()
        .map(|change| (change.simulated_heaters_w - replay.simulated_heaters_w).abs())
        .collect();
    assert!(moved_w[0] > moved_w[3], "{replay:?}");
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

/// Hours of the log that a logger missed: one gap behind a row with the heater on, one behind a row with it off.
const MISSED_H: [std::ops::Range<usize>; 2] = [30..55, 70..125];

/// A week from 12:00 on, a row every 5 min, the heater on in five rows of eight; rows of these hours of the log are missing.
fn switched(missing_h: &[std::ops::Range<usize>]) -> String {
    let mut text = String::from("time,water [°C],room [°C],heater\n");
    for row in 144..144 + 7 * 288 {
        let hour = row / 12;
        if missing_h.iter().any(|missing| missing.contains(&hour)) {
            continue;
        }
        let (day, minute) = (row / 288, row % 288 * 5);
        let state = if row % 8 < 5 { "on" } else { "off" };
        writeln!(
            text,
            "2026-01-{:02} {:02}:{:02},25.0,20.0,{state}",
            6 + day,
            minute / 60,
            minute % 60
        )
        .expect("a line");
    }
    text
}

#[test]
fn what_nobody_recorded_counts_neither_as_heated_nor_as_not() {
    let base = scenario("lidded-nano", NANO);
    let rated_w = base.heaters[0].power_w;
    let mut seen = Vec::new();
    for gaps in 0..=MISSED_H.len() {
        let missing = &MISSED_H[..gaps];
        let log = log(&switched(missing));
        let replayed = Replayed::new(&base, &log).expect("a replay");
        let recipe = crate::support::strategy("on-off");
        let mut beside = replayed.beside();
        run(
            &RunRequest::new(&replayed.scenario, recipe.as_ref(), 7),
            Some(&mut beside),
        )
        .expect("runs");
        let replay = beside.finish().expect("readings");
        let recorded_w = replay.recorded_heaters_w.expect("the log has states");
        assert!(
            (recorded_w - 0.625 * rated_w).abs() < 0.01 * rated_w,
            "{recorded_w} of {rated_w} W with {missing:?} cut out"
        );
        assert_eq!(replay.gaps, missing.len());
        let missing_h: usize = missing.iter().map(ExactSizeIterator::len).sum();
        // A gap lasts from the last row before it to the first after it.
        let between_h = missing.len() as f64 * 5.0 / 60.0;
        assert!(
            (replay.gaps_h - missing_h as f64 - between_h).abs() < 1e-9,
            "{replay:?}"
        );
        seen.push(replay);
    }
    let longest = seen[2].longest_gap.clone().expect("two gaps");
    assert_eq!(longest.begins_in_log, "2026-01-08 21:55");
    // The room is as cold in the gaps: what the heaters give in the run is the same with and without them.
    let (whole_w, gaps_w) = (seen[0].simulated_heaters_w, seen[2].simulated_heaters_w);
    assert!(
        (gaps_w / whole_w - 1.0).abs() < 0.1,
        "{gaps_w} beside {whole_w} W"
    );
}

#[test]
fn instants_are_those_of_the_logs_own_clock_and_line() {
    let mut text = switched(&MISSED_H[..1]);
    // One reading far from all others, with its neighbours, so that it is no spike.
    let odd: Vec<String> = ["15:00", "15:05", "15:10", "15:15", "15:20"]
        .iter()
        .map(|clock| format!("2026-01-10 {clock},25.0"))
        .collect();
    for (stamp, off) in odd.iter().zip(["25.6", "25.9", "26.8", "25.9", "25.6"]) {
        text = text.replace(stamp, &stamp.replace("25.0", off));
    }
    let line = text
        .lines()
        .position(|line| line.starts_with("2026-01-10 15:10"))
        .expect("there")
        + 1;
    let (code, out, error) = tepid(
        &[("log.csv", text.as_bytes())],
        &[
            "run",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--replay",
            "log.csv",
        ],
    );
    assert_eq!(code, 0, "{error}");
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        format!("off, at 2026-01-10 15:10 (line {line} of the log)"),
        "a gap of 25.1 h from 2026-01-07 05:55 on".to_owned(),
        "in a room taken in a straight line".to_owned(),
        "Day 1 of the run begins at 2026-01-07 00:00".to_owned(),
    ] {
        assert!(words.contains(&part), "`{part}` is not in:\n{out}");
    }
}

#[test]
fn options_that_say_how_to_read_a_log_need_one() {
    for option in [
        ["--column", "water=x"],
        ["--unit", "water=°C"],
        ["--time-zone", "Europe/Berlin"],
        ["--date-order", "day-first"],
    ] {
        let mut arguments = vec!["run", "lidded-nano", "--strategy", "on-off"];
        arguments.extend(option);
        let (code, _, error) = tepid(&[], &arguments);
        assert!(
            code == 2 && error.contains(option[0]) && error.contains("--replay"),
            "{error}"
        );
    }
}

#[test]
fn days_in_the_pictures_of_a_log_are_its_dates() {
    let base = scenario("lidded-nano", NANO);
    let log = log(&switched(&[]));
    let replayed = Replayed::new(&base, &log).expect("a replay");
    // Time zero of the run is the log's first midnight, that of the fit its first day's: both name the same days.
    let names = day_names(replayed.scenario.start_date, -12 * HOUR, DAY);
    assert_eq!(names, ["2026-01-06", "2026-01-07", "2026-01-08"]);
    assert_eq!(day_names(log.start_date, 12 * HOUR, 2 * DAY), names);
    let request = FitRequest {
        scenario: &base,
        log: &log,
        tank: None,
        free: &[],
        hold: &[],
    };
    let found = fit(&request).expect("a fit");
    let (course, info) = pictured(&request, &found, &beside(&request, &found).expect("beside"));
    let svg = time_series_svg(&course, &info).expect("a picture");
    assert!(svg.contains("2026-01-08") && !svg.contains("day 2"), "{svg}");
}

#[test]
fn a_room_fitted_warmer_than_its_thermometer_is_as_warm_in_a_replay() {
    let mut settings = NANO.to_vec();
    settings.push(("fitted.room_offset", "3 K"));
    let log = log(&switched(&[]));
    let mean_w = |base: &Scenario| {
        let replayed = Replayed::new(base, &log).expect("a replay");
        let recipe = crate::support::strategy("on-off");
        let mut beside = replayed.beside();
        run(
            &RunRequest::new(&replayed.scenario, recipe.as_ref(), 7),
            Some(&mut beside),
        )
        .expect("runs");
        beside.finish().expect("readings").simulated_heaters_w
    };
    let (as_logged_w, warmer_w) = (
        mean_w(&scenario("lidded-nano", NANO)),
        mean_w(&scenario("lidded-nano", &settings)),
    );
    // Three kelvin of the five that the tank is warmer than its room.
    assert!(warmer_w < 0.6 * as_logged_w, "{warmer_w} beside {as_logged_w} W");
}

#[test]
fn no_event_of_the_scenario_happens_in_a_replay_that_tells_none() {
    let base = scenario("spare-room-winter", &[]);
    assert!(!base.happenings.is_empty());
    let replayed = Replayed::new(&base, &log(&switched(&[]))).expect("a replay");
    assert!(replayed.scenario.happenings.is_empty());
    assert!(
        replayed
            .scenario
            .assumptions
            .iter()
            .any(|one| one.contains("none of the scenario's events happened")),
        "{:?}",
        replayed.scenario.assumptions
    );
}

#[test]
fn a_log_that_begins_at_midnight_is_scored_from_its_first_row() {
    let text: String = switched(&[])
        .lines()
        .filter(|line| !line.starts_with("2026-01-06"))
        .map(|line| format!("{line}\n"))
        .collect();
    let replayed = Replayed::new(&scenario("lidded-nano", NANO), &log(&text)).expect("a replay");
    assert_eq!(replayed.scenario.warm_up_ms, 0);
    let date = replayed.scenario.start_date.expect("a date");
    assert_eq!((date.month, date.day), (1, 7));
}
