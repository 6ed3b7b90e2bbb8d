//! A fit says first what speaks against its figures.

use std::fmt::Write;

use crate::bad_input::tepid;
use crate::fit::{TRUTH, course, keepers_file, log, parameter, request, tank};
use crate::support::scenario_of;
use tepid::fit::{FitRequest, WrittenFrom, fit, written};
use tepid_output::records::FitParameterKind as Kind;
use tepid_scenarios::log_file::{Log, LogOptions, of_text};
use tepid_sim::scenario::Scenario;
use tepid_sim::time::{MINUTE, Millis};

/// The log of the tank of these tests over a day and a half, as text, changed row by row: minute, water, room, state.
fn told(change: impl Fn(usize, &mut (Millis, f64, f64, bool))) -> Log {
    let mut rows = course(&tank("6 K", "36 h"), TRUTH, 2 * MINUTE);
    rows.iter_mut().enumerate().for_each(|(at, row)| change(at, row));
    log(&rows, TRUTH, 0.0, 1)
}

#[test]
fn a_log_of_another_tank_is_not_to_be_used_and_says_why_first() {
    let log = told(|_, _| {});
    let own = fit(&request(&tank("6 K", "36 h"), &log)).expect("a fit");
    assert_eq!(own.reservations, Vec::<String>::new());
    // The same log held to a tank a tenth as large, and to one twenty times as large.
    let file = keepers_file("6 K", "36 h");
    for sides in [["30 cm", "20 cm", "30 cm"], ["200 cm", "150 cm", "60 cm"]] {
        let size = format!("inside = [\"{}\", \"{}\", \"{}\"]", sides[0], sides[1], sides[2]);
        let height = if sides[0] == "30 cm" { "25 cm" } else { "55 cm" };
        let other = file
            .replace("inside = [\"80 cm\", \"40 cm\", \"45 cm\"]", &size)
            .replace(
                "water_height = \"40 cm\"",
                &format!("water_height = \"{height}\""),
            );
        let found = fit(&request(&scenario_of(&other), &log)).expect("a fit");
        let first = found.reservations.first().expect("a reservation");
        assert!(
            first.starts_with("Do not use these figures: ") && first.contains("another tank's"),
            "{first}"
        );
        let text = tepid_output::table::fit(&found, tepid_output::wording::Units::Metric);
        let (mind, parameters) = (text.find("Mind first"), text.find("Parameter"));
        assert!(mind.is_some() && mind < parameters, "{text}");
    }
}

#[test]
fn a_probe_that_never_moves_tells_nothing() {
    let log = told(|_, row| row.1 = 25.1);
    let found = fit(&request(&tank("6 K", "36 h"), &log)).expect("a fit");
    assert!(
        found.reservations[0].contains("stands at 25.1 °C from the first row to the last"),
        "{:?}",
        found.reservations
    );
    // Nor does one that flickers by its step.
    let log = told(|at, row| row.1 = if at % 7 == 0 { 25.1 } else { 25.2 });
    let found = fit(&request(&tank("6 K", "36 h"), &log)).expect("a fit");
    assert!(
        found.reservations[0].contains("never moved by more than its step of 0.10 K"),
        "{:?}",
        found.reservations
    );
}

#[test]
fn water_held_closely_by_heat_that_follows_the_room_is_no_stuck_probe() {
    // The heater gives what the tank loses, and no more: a reading that stands for half a day between two changes of setpoint is honest.
    let mut text = String::from("time [min],water [°C],room [°C],heater [%]\n");
    for minute in (0..36 * 60).step_by(5) {
        let hour = f64::from(minute) / 60.0;
        let room_c = 20.0 - 3.0 * (hour * std::f64::consts::TAU / 24.0).sin();
        let water_c = if (6.0..30.0).contains(&hour) { 25.0 } else { 25.4 };
        let share = 8.0 * (water_c - room_c);
        writeln!(text, "{minute},{water_c:.1},{room_c:.1},{share:.1}").expect("a line");
    }
    let read = |text: &str| {
        of_text("made.csv", text, &LogOptions::default())
            .unwrap_or_else(|report| panic!("{}", report.plain()))
    };
    let keepers = tank("6 K", "36 h");
    let stands = |text: &str| {
        let log = read(text);
        let found = fit(&request(&keepers, &log)).expect("a fit");
        found
            .reservations
            .iter()
            .any(|reservation| reservation.contains("A stuck probe"))
    };
    assert!(!stands(&text));
    // The same heat in a room that does not ask for it cannot leave the water where it is.
    let steady: String = text
        .lines()
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let room = if cells[2].starts_with("room") {
                cells[2]
            } else {
                "20.0"
            };
            format!("{},{},{room},{}\n", cells[0], cells[1], cells[3])
        })
        .collect();
    assert!(stands(&steady));
}

#[test]
fn a_probe_that_stands_while_the_heaters_warm_the_water_is_told_with_its_rows() {
    let stuck = 100..340;
    let log = told(|at, row| {
        if stuck.contains(&at) {
            row.1 = 25.3;
        }
    });
    let found = fit(&request(&tank("6 K", "36 h"), &log)).expect("a fit");
    let first = &found.reservations[0];
    // Rows of 2 min behind a line with names: 8 h from row 100 on, in line 102; neighbours may read the same by chance.
    assert!(
        first.contains("stands at 25.3 °C for") && first.contains("A stuck probe"),
        "{first}"
    );
    let hours: f64 = first
        .split("for ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next())
        .and_then(|hours| hours.parse().ok())
        .expect("hours");
    assert!((7.9..8.6).contains(&hours), "{first}");
    assert!(
        first.contains("03:20 on day 1") || first.contains("03:1"),
        "{first}"
    );
}

#[test]
fn a_log_without_a_heater_says_to_log_it_first_and_why() {
    let text = |header: &str, state: &str| {
        let rows = course(&tank("6 K", "36 h"), TRUTH, 5 * MINUTE);
        let mut text = header.to_owned();
        for (at_ms, water_c, room_c, _) in rows {
            writeln!(text, "{},{water_c:.1},{room_c:.1}{state}", at_ms / MINUTE).expect("a line");
        }
        of_text("made.csv", &text, &LogOptions::default())
            .unwrap_or_else(|report| panic!("{}", report.plain()))
    };
    for (log, why) in [
        (
            text("time [min],water [°C],room [°C]\n", ""),
            "the log has no column `heater`",
        ),
        (
            text("time [min],water [°C],room [°C],heater\n", ",-"),
            "the log's column `heater` is empty",
        ),
    ] {
        let keepers = tank("6 K", "36 h");
        let found = fit(&request(&keepers, &log)).expect("a fit");
        let held = parameter(&found, Kind::HeaterPowerFrac)
            .held
            .clone()
            .expect("held");
        assert_eq!(held, why);
        assert!(
            found.reservations[0].starts_with("Log the heater first"),
            "{:?}",
            found.reservations
        );
        let error = fit(&FitRequest {
            free: &[Kind::HeaterPowerFrac],
            ..request(&keepers, &log)
        })
        .expect_err("no effect");
        assert!(error.to_string().contains(why), "{error}");
    }
}

#[test]
fn intervals_in_the_written_file_are_in_the_unit_of_the_value() {
    let keepers = tank("6 K", "36 h");
    let log = told(|_, _| {});
    let found = fit(&request(&keepers, &log)).expect("a fit");
    let text = written(
        &found,
        &WrittenFrom {
            base: "keepers.toml",
            settings: &[],
            scenario: &keepers,
        },
    );
    let line = text
        .lines()
        .find(|line| line.starts_with("\"heater.heater.power\""))
        .expect("a line");
    let figures: Vec<f64> = line
        .split(['"', ' '])
        .filter_map(|word| word.parse().ok())
        .collect();
    let [value_w, low_w, high_w] = figures[..] else {
        panic!("{line}")
    };
    assert_eq!(line.matches(" W").count(), 3, "{line}");
    let power = parameter(&found, Kind::HeaterPowerFrac);
    let [low, high] = power.interval.expect("found");
    for (shown_w, frac) in [(value_w, power.value), (low_w, low), (high_w, high)] {
        assert!((shown_w - 150.0 * frac).abs() < 0.051, "{line}");
    }
}

#[test]
fn a_fitted_scenario_goes_to_a_toml_file_or_nowhere() {
    let fit = |to: &str| {
        let files = [(
            "log.csv",
            b"time [h],water [\xc2\xb0C]\n0,25\n1,25\n2,25\n".as_slice(),
        )];
        tepid(&files, &["fit", "log.csv", "--scenario", "lidded-nano", "-o", to])
    };
    let (code, _, error) = fit("q.json");
    assert!(code == 2 && error.contains("ends with .toml"), "{error}");
    let (code, _, error) = fit("q.toml");
    assert!(code == 2 && error.contains("too few"), "{error}");
}

/// What a coarse logger wrote of a tank that loses `TRUTH.losses` and is heated with `TRUTH.power`: a look every so often, in steps.
fn coarse(keepers: &Scenario, every_ms: Millis, step_k: f64, swing_off_ms: Millis) -> Log {
    let rows = course(keepers, TRUTH, MINUTE);
    let mut text = String::from("time [min],water [°C],room [°C],heater\n");
    for (at_ms, water_c, room_c, on) in rows {
        if (at_ms - swing_off_ms).rem_euclid(every_ms) == 0 {
            let shown = (water_c / step_k).round() * step_k;
            let state = if on { "on" } else { "off" };
            writeln!(
                text,
                "{},{shown:.2},{:.1},{state}",
                at_ms / MINUTE,
                room_c - TRUTH.offset_k
            )
            .expect("a line");
        }
    }
    of_text("made.csv", &text, &LogOptions::default()).unwrap_or_else(|report| panic!("{}", report.plain()))
}

#[test]
fn a_log_too_coarse_to_see_the_heaters_at_work_holds_their_power_and_still_holds_the_truth() {
    for (every_ms, step_k, because) in [
        (10 * MINUTE, 0.1, "looks every 10 min"),
        (2 * MINUTE, 0.25, "steps of 0.25 K"),
    ] {
        let (mut held, mut widths) = (0, Vec::new());
        let tries = 8;
        for seed in 0..tries {
            let keepers = tank(["5 K", "6 K", "7 K", "8 K"][seed % 4], "60 h");
            let log = coarse(&keepers, every_ms, step_k, seed as Millis / 4 * MINUTE);
            let found = fit(&request(&keepers, &log)).expect("a fit");
            let why = parameter(&found, Kind::HeaterPowerFrac)
                .held
                .clone()
                .expect("held");
            assert!(why.contains(because), "{why}");
            let [low, high] = parameter(&found, Kind::LossesFrac).interval.expect("found");
            held += usize::from(low <= TRUTH.losses && TRUTH.losses <= high);
            widths.push(high - low);
        }
        assert!(held + 1 >= tries, "{because}: {held} of {tries} hold the truth");
        // How far looks and cycles fall together makes one or another wide; as a rule they must say something.
        widths.sort_by(f64::total_cmp);
        assert!(widths[tries / 2] < 0.6, "{because}: {widths:?} say nothing");
    }
}

#[test]
fn what_is_held_widens_what_is_found_unless_it_is_known() {
    // A room that never changes: its offset is held, and the losses are as unsure as that makes them.
    let keepers = tank("0 K", "36 h");
    let log = log(&course(&keepers, TRUTH, 2 * MINUTE), TRUTH, 0.05, 3);
    let losses = |hold: &[Kind]| {
        let found = fit(&FitRequest {
            hold,
            ..request(&keepers, &log)
        })
        .expect("a fit");
        let losses = parameter(&found, Kind::LossesFrac);
        let [low, high] = losses.interval.expect("found");
        (low, high)
    };
    let (low, high) = losses(&[]);
    assert!(low <= TRUTH.losses && TRUTH.losses <= high, "{low} to {high}");
    let (known_low, known_high) = losses(&[Kind::RoomOffsetK, Kind::CapacityFrac, Kind::PumpHeatFrac]);
    assert!(
        high - low > 1.5 * (known_high - known_low),
        "{low} to {high} beside {known_low} to {known_high}"
    );
}

#[test]
fn a_probe_stuck_for_a_day_of_four_is_told() {
    let mut rows = course(&tank("6 K", "96 h"), TRUTH, 2 * MINUTE);
    for row in &mut rows[900..1620] {
        row.1 = 25.3;
    }
    let log = log(&rows, TRUTH, 0.0, 1);
    let found = fit(&request(&tank("6 K", "96 h"), &log)).expect("a fit");
    assert!(
        found.reservations[0].contains("stands at 25.3 °C for")
            && found.reservations[0].contains("A stuck probe"),
        "{:?}",
        found.reservations
    );
}

#[test]
fn states_the_wrong_way_round_are_told() {
    let log = told(|_, row| row.3 = !row.3);
    let found = fit(&request(&tank("6 K", "36 h"), &log)).expect("a fit");
    assert!(
        found
            .reservations
            .iter()
            .any(|one| one.contains("the wrong way round")),
        "{:?}",
        found.reservations
    );
}

#[test]
fn a_scenario_of_two_waters_is_refused() {
    let file = keepers_file("6 K", "36 h");
    let (before, after) = file.split_once("[[tank]]").expect("a tank");
    let tank_table = after.split("\n[").next().expect("its table");
    let second = tank_table.replace("name = \"tank\"", "name = \"other\"");
    // Whatever hangs in the one must be named now.
    let after = ["filter", "heater", "main"]
        .iter()
        .fold(after.to_owned(), |text, part| {
            text.replace(
                &format!("name = \"{part}\""),
                &format!("name = \"{part}\"\ntank = \"tank\""),
            )
        });
    let two = scenario_of(&format!("{before}[[tank]]{second}\n[[tank]]{after}"));
    let error = fit(&request(&two, &told(|_, _| {}))).expect_err("two waters");
    assert!(
        error.to_string().contains("several waters (other; tank)"),
        "{error}"
    );
}
