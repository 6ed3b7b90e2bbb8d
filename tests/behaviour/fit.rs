//! A tank is found back from the log of its own simulation, as surely as the fit says.

use std::fmt::Write;

use rayon::prelude::*;
use statrs::distribution::{Binomial, DiscreteCDF};

use crate::bad_input::tepid;
use crate::support::{scenario_of, strategy};
use tepid::budget::budget;
use tepid::fit::{FitRequest, WrittenFrom, fit, fitted, parameters, written};
use tepid_output::records::{Budget, Fit, FitParameter, FitParameterKind as Kind};
use tepid_scenarios::log_file::{Log, LogOptions, of_text};
use tepid_sim::noise::Stream;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Fitted, Scenario};
use tepid_sim::time::{HOUR, MINUTE, Millis};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

/// What the real tank is like, beside the scenario that its keeper wrote.
#[derive(Clone, Copy)]
pub(crate) struct Truth {
    pub(crate) losses: f64,
    power: f64,
    pub(crate) offset_k: f64,
}

pub(crate) const TRUTH: Truth = Truth {
    losses: 1.18,
    power: 0.92,
    offset_k: 0.4,
};

/// The logger's plug was pulled for so long, ms.
const GAP: Millis = 2 * HOUR;

/// A lidded tank in a room that swings by `swing`.
pub(crate) fn tank(swing: &str, days: &str) -> Scenario {
    scenario_of(&keepers_file(swing, days))
}

pub(crate) fn keepers_file(swing: &str, days: &str) -> String {
    format!(
        "title = \"logged\"\nduration = \"{days}\"\nwarm_up = \"6 h\"\n\
         [water]\nsalinity = \"0 g/kg\"\ntarget = \"25.5 °C\"\nband = [\"25 °C\", \"26 °C\"]\n\
         [[tank]]\nname = \"tank\"\ninside = [\"80 cm\", \"40 cm\", \"45 cm\"]\nwater_height = \"40 cm\"\n\
         pane = {{ material = \"glass\", thickness = \"8 mm\" }}\ncover = \"lid\"\nlivestock = true\n\
         [room]\ntemperature = {{ mean = \"20 °C\", swing = \"{swing}\", warmest = \"16:00\" }}\nhumidity = \"50 %\"\n\
         [[pump]]\nname = \"filter\"\npower = \"8 W\"\n\
         [[heater]]\nname = \"heater\"\npower = \"150 W\"\nchain = [\"relay\"]\n\
         [[contact]]\nname = \"relay\"\nkind = \"relay\"\nrole = \"heat\"\n\
         [[probe]]\nname = \"main\"\nfor = \"control\"\nlag = \"30 s\"\n"
    )
}

/// The true course, one row per interval.
struct Rows {
    every_ms: Millis,
    rows: Vec<(Millis, f64, f64, bool)>,
}

impl TraceSink for Rows {
    fn row(&mut self, row: &TraceRow<'_>) {
        if row.at_ms >= 0 && row.at_ms % self.every_ms == 0 {
            let on = row.heater_w.iter().any(|power_w| *power_w > 0.0);
            let probe_c = row.readings_c[0].unwrap_or(f64::NAN);
            self.rows.push((row.at_ms, probe_c, row.room_c, on));
        }
    }

    fn mark(&mut self, _: &Mark<'_>) {}
}

/// The real tank under a thermostat, from `from_ms` on.
pub(crate) fn course(keepers: &Scenario, truth: Truth, every_ms: Millis) -> Vec<(Millis, f64, f64, bool)> {
    let mut real = keepers.clone();
    real.fitted = Fitted {
        losses_frac: truth.losses,
        ..Fitted::default()
    };
    real.heaters
        .iter_mut()
        .for_each(|heater| heater.power_w *= truth.power);
    // The reading itself is made below; here it must be exact.
    real.probes.iter_mut().for_each(|probe| {
        probe.noise_k = 0.0;
        probe.resolution_k = 0.0;
    });
    let recipe = strategy("on-off");
    let mut rows = Rows {
        every_ms,
        rows: Vec::new(),
    };
    run(&RunRequest::new(&real, recipe.as_ref(), 3), Some(&mut rows)).expect("runs");
    rows.rows
}

/// As a logger writes it: steps of 0.1 K, noise, a room thermometer that reads `offset_k` low, and a gap of two hours.
pub(crate) fn log(rows: &[(Millis, f64, f64, bool)], truth: Truth, noise_k: f64, seed: u64) -> Log {
    let noise = Stream::new(seed, 0, "logger", "noise");
    let shown = |value: f64| (value * 10.0).round() / 10.0;
    let mut text = String::from("time [min];water [°C];room [°C];heater\n");
    for (index, (at_ms, water_c, room_c, on)) in rows.iter().enumerate() {
        let missing = rows.len() * 5 / 9;
        let gap = missing..missing + (GAP / (rows[1].0 - rows[0].0)) as usize;
        if gap.contains(&index) {
            continue;
        }
        let water_c = shown(water_c + noise_k * noise.normal(2 * index as i64));
        let room_c = shown(room_c - truth.offset_k + noise_k * noise.normal(2 * index as i64 + 1));
        writeln!(
            text,
            "{};{};{};{}",
            *at_ms as f64 / MINUTE as f64,
            water_c.to_string().replace('.', ","),
            room_c.to_string().replace('.', ","),
            if *on { "on" } else { "off" }
        )
        .expect("a line");
    }
    of_text("made.csv", &text, &LogOptions::default()).unwrap_or_else(|report| panic!("{}", report.plain()))
}

pub(crate) fn request<'a>(scenario: &'a Scenario, log: &'a Log) -> FitRequest<'a> {
    FitRequest {
        scenario,
        log,
        tank: None,
        free: &[],
        hold: &[],
    }
}

pub(crate) fn parameter(fit: &Fit, what: Kind) -> &FitParameter {
    fit.parameters
        .iter()
        .find(|parameter| parameter.what == what)
        .expect("every parameter is told")
}

/// Fewest and most of so many intervals of 95 % that hold the truth in all but one of ten thousand tries.
fn bounds(tries: u64) -> (u64, u64) {
    let held = Binomial::new(0.95, tries).expect("a share");
    (held.inverse_cdf(0.000_05), held.inverse_cdf(0.999_95))
}

#[test]
fn losses_power_and_offset_of_a_logged_tank_lie_in_their_intervals_as_often_as_they_say() {
    let keepers = tank("6 K", "36 h");
    let tries = 48;
    let fits: Vec<Fit> = (0..tries)
        .into_par_iter()
        .map(|seed| {
            // Other instants of switching beside the logger's looks for each.
            let mut real = keepers.clone();
            real.warm_up_ms += 7 * MINUTE * seed as Millis + 13_000;
            let rows = course(&real, TRUTH, 2 * MINUTE);
            // Its volume is known exactly, so that the intervals hold chance alone.
            fit(&FitRequest {
                hold: &[Kind::CapacityFrac],
                ..request(&keepers, &log(&rows, TRUTH, 0.05, seed))
            })
            .expect("a fit")
        })
        .collect();
    let (fewest, most) = bounds(tries);
    for (what, truth, as_narrow_as) in [
        (Kind::LossesFrac, TRUTH.losses, 0.2),
        (Kind::HeaterPowerFrac, TRUTH.power, 0.2),
        (Kind::RoomOffsetK, TRUTH.offset_k, 0.5),
    ] {
        let interval = |fit: &Fit| parameter(fit, what).interval.expect("found");
        let held = fits.iter().filter(|fit| {
            let [low, high] = interval(fit);
            low <= truth && truth <= high
        });
        let held = held.count() as u64;
        assert!(
            (fewest..=most).contains(&held),
            "{what:?}: {held} of {tries} intervals hold the truth, expected {fewest} to {most}"
        );
        // Intervals that hold the truth by holding everything are worth nothing.
        let mean_width = fits
            .iter()
            .map(|fit| interval(fit)[1] - interval(fit)[0])
            .sum::<f64>()
            / tries as f64;
        assert!(
            mean_width < as_narrow_as,
            "{what:?}: {mean_width} wide in the mean"
        );
    }
}

#[test]
fn an_evening_in_a_steady_room_gives_wide_intervals_and_says_what_it_cannot_tell() {
    let truth = Truth {
        offset_k: 0.0,
        ..TRUTH
    };
    let long = tank("6 K", "36 h");
    let short = tank("0 K", "9 h");
    let of = |keepers: &Scenario| {
        let rows = course(keepers, truth, 2 * MINUTE);
        // The volume is known here, so that only the log makes the intervals wide.
        fit(&FitRequest {
            hold: &[Kind::CapacityFrac],
            ..request(keepers, &log(&rows, truth, 0.05, 5))
        })
        .expect("a fit")
    };
    let (well, poorly) = (of(&long), of(&short));
    let offset = parameter(&poorly, Kind::RoomOffsetK);
    let why = offset.held.as_deref().expect("a steady room tells nothing of it");
    assert!(why.contains("held") && why.contains("a wider range"), "{why}");
    let width = |fit: &Fit| {
        let [low, high] = parameter(fit, Kind::HeaterPowerFrac).interval.expect("found");
        assert!(low <= truth.power && truth.power <= high, "{low} to {high}");
        high - low
    };
    assert!(
        width(&poorly) > 2.0 * width(&well),
        "{} beside {}",
        width(&poorly),
        width(&well)
    );
    // What it was held at would move the losses: the answer says by how much.
    assert!(
        poorly
            .changes
            .iter()
            .any(|change| change.what.contains("air around the tank")),
        "{:?}",
        poorly.changes
    );
}

#[test]
fn a_log_without_watts_cannot_tell_power_from_capacity_and_says_so() {
    let keepers = tank("6 K", "24 h");
    let rows = course(&keepers, TRUTH, 2 * MINUTE);
    let log = log(&rows, TRUTH, 0.05, 1);
    let both = fit(&FitRequest {
        free: &[Kind::CapacityFrac],
        ..request(&keepers, &log)
    })
    .expect("a fit");
    let anchored = fit(&request(&keepers, &log)).expect("a fit");
    let why = parameter(&anchored, Kind::CapacityFrac)
        .held
        .clone()
        .expect("the anchor");
    assert!(why.contains("ratios alone"), "{why}");
    // Asked for all the same: the power gives way to it, or both are as wide as they are unknown.
    let power = parameter(&both, Kind::HeaterPowerFrac);
    let wide = power.interval.is_none_or(|[low, high]| high - low > 0.5);
    assert!(wide, "{power:?}");
}

#[test]
fn heaters_that_were_never_on_say_nothing_of_their_power() {
    let keepers = tank("6 K", "24 h");
    let mut rows = course(&keepers, TRUTH, 2 * MINUTE);
    rows.iter_mut().for_each(|row| row.3 = false);
    let log = log(&rows, TRUTH, 0.05, 1);
    let request = request(&keepers, &log);
    let found = fit(&FitRequest {
        hold: &[Kind::LossesFrac],
        ..request
    })
    .expect("a fit");
    let power = parameter(&found, Kind::HeaterPowerFrac);
    assert!(
        power.held.as_deref().is_some_and(|why| why.contains("never on")),
        "{power:?}"
    );
    let error = fit(&FitRequest {
        free: &[Kind::HeaterPowerFrac],
        ..request
    })
    .expect_err("no effect");
    assert!(error.to_string().contains("never on"), "{error}");
}

/// Standard deviation of readings around a scenario as it is.
fn around(scenario: &Scenario, log: &Log) -> f64 {
    let held = fit(&FitRequest {
        hold: &parameters::ALL,
        ..request(scenario, log)
    });
    held.expect("nothing but starts").residuals.deviation_k
}

#[test]
fn the_written_file_passes_check_and_predicts_another_night() {
    let keepers = tank("6 K", "36 h");
    let truth = Truth {
        offset_k: 0.0,
        ..TRUTH
    };
    let first = log(&course(&keepers, truth, 2 * MINUTE), truth, 0.05, 1);
    let found = fit(&request(&keepers, &first)).expect("a fit");
    let text = written(
        &found,
        &WrittenFrom {
            base: "keepers.toml",
            settings: &[],
            scenario: &keepers,
        },
    );
    for part in [
        "base  = \"keepers.toml\"",
        "\"fitted.losses\" = ",
        " %\"  # ",
        "heater.heater.power",
    ] {
        assert!(text.contains(part), "`{part}` is not in:\n{text}");
    }
    let (code, out, error) = tepid(
        &[
            ("keepers.toml", keepers_file("6 K", "36 h").as_bytes()),
            ("f.toml", text.as_bytes()),
        ],
        &["check", "f.toml"],
    );
    assert_eq!(code, 0, "{error}");
    assert!(out.contains("fitted to a log"), "{out}");
    // Another night: a cold room in which the heater stays off for long.
    let mut other = tank("1 K", "14 h");
    other.room.temperature.course[0].1 = 16.0;
    let next = log(&course(&other, truth, 2 * MINUTE), truth, 0.05, 2);
    let (before_k, after_k) = (around(&keepers, &next), around(&fitted(&keepers, &found), &next));
    assert!(after_k < 0.08, "{after_k} K around the fitted model");
    assert!(before_k > 2.0 * after_k, "{before_k} K before, {after_k} K after");
}

#[test]
fn the_example_log_is_read_with_all_that_is_wrong_with_it() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/logs");
    let (csv, toml) = (folder.join("living-room.csv"), folder.join("living-room.toml"));
    let read = |path| std::fs::read(path).expect("an example");
    let (csv, toml) = (read(csv), read(toml));
    let files = [("log.csv", csv.as_slice()), ("room.toml", toml.as_slice())];
    let run = |arguments: &[&str]| {
        let all: Vec<&str> = ["fit", "log.csv", "--scenario", "room.toml"]
            .iter()
            .chain(arguments)
            .copied()
            .collect();
        tepid(&files, &all)
    };
    let (code, out, error) = run(&["--time-zone", "Europe/Berlin"]);
    assert_eq!(code, 0, "{error}");
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "2 failed readings, 1 spike, 1 row of a stamp",
        "2 stretches",
        "What would change the losses most",
        "Assumed",
        "Cautions",
    ] {
        assert!(words.contains(part), "`{part}` is not in:\n{out}");
    }
    assert!(out.lines().all(|line| line.chars().count() <= 100), "{out}");
    assert!(!out.contains("Mind first"), "{out}");
    // The tank that made it: 121 % of the losses, 176 of 200 W, a room that reads 0.5 K low.
    let (_, json, _) = run(&["--time-zone", "Europe/Berlin", "--format", "json"]);
    let record: Fit = serde_json::from_str(&json).expect("the record");
    for (what, truth) in [
        (Kind::LossesFrac, 1.21),
        (Kind::HeaterPowerFrac, 0.88),
        (Kind::RoomOffsetK, 0.5),
    ] {
        let [low, high] = parameter(&record, what).interval.expect("found");
        assert!(low <= truth && truth <= high, "{what:?}: {low} to {high}");
    }
    // Its clock was set back on the way.
    let (code, _, error) = run(&[]);
    assert!(code == 2 && error.contains("--time-zone"), "{error}");
}

#[test]
fn an_event_of_the_log_is_the_scenarios_event_of_that_name_at_the_logs_time() {
    let event = "[[event]]\nname = \"water change\"\nwhat = \"water change\"\nat = \"day 1 01:00\"\nlasts = \"10 min\"\n\
                 tank = \"tank\"\nshare = \"20 %\"\ntemperature = \"18 °C\"\n";
    let file = keepers_file("6 K", "24 h") + event;
    let mut log = String::from("time [min],water [°C],room [°C],heater,event\n");
    for minute in (0..600).step_by(5).filter(|minute| !(301..330).contains(minute)) {
        // 20 % of water 7 K colder, and a slow fall.
        let water = 25.0 - f64::from(minute) / 600.0 - if minute > 300 { 1.4 } else { 0.0 };
        let mark = if minute == 300 { "water change" } else { "" };
        log += &format!("{minute},{water:.2},20,off,{mark}\n");
    }
    let fit = |log: &str| {
        let files = [("log.csv", log.as_bytes()), ("room.toml", file.as_bytes())];
        tepid(
            &files,
            &["fit", "log.csv", "--scenario", "room.toml", "--format", "json"],
        )
    };
    let (code, json, error) = fit(&log);
    assert_eq!(code, 0, "{error}");
    let with: Fit = serde_json::from_str(&json).expect("the record");
    let (_, json, _) = fit(&log.replace("water change", ""));
    let without: Fit = serde_json::from_str(&json).expect("the record");
    assert!(with.residuals.largest_k < 0.3, "{:?}", with.residuals);
    assert!(
        without
            .reservations
            .iter()
            .any(|reservation| reservation.contains("Do not use these figures yet")),
        "{:?}",
        without.reservations
    );
    let (code, _, error) = fit(&log.replace("water change", "waterchange"));
    assert!(
        code == 2 && error.contains("log.csv:62") && error.contains("did you mean `water change`?"),
        "{error}"
    );
}

#[test]
fn a_file_that_is_there_is_not_written_over() {
    let files = [("log.csv", b"time,water\n".as_slice()), ("f.toml", b"kept")];
    let arguments = ["fit", "log.csv", "--scenario", "lidded-nano", "-o", "f.toml"];
    let (code, _, error) = tepid(&files, &arguments);
    assert_eq!(code, 2, "{error}");
}

#[test]
fn fitted_factors_scale_every_loss_and_the_waters_heat_and_nothing_else() {
    let of = |fitted: &str| {
        let scenario = scenario_of(&(keepers_file("6 K", "24 h") + fitted));
        budget(&scenario).expect("a budget")
    };
    let plain = of("");
    let fitted = of("[fitted]\nlosses = \"150 %\"\ncapacity = \"80 %\"\n");
    for (path, as_computed) in fitted.losses.iter().zip(&plain.losses) {
        assert_eq!(path.name, as_computed.name);
        assert!(
            (path.power_w / as_computed.power_w - 1.5).abs() < 1e-12,
            "{}",
            path.name
        );
    }
    assert!((fitted.evaporation_l_per_day / plain.evaporation_l_per_day - 1.5).abs() < 1e-12);
    assert_eq!(fitted.gains[0].power_w, plain.gains[0].power_w);
    // The heater's body is no water.
    let body = scenario_of(&keepers_file("6 K", "24 h")).heaters[0]
        .body
        .heat_capacity_j_per_k;
    let water = |budget: &Budget| budget.heat_capacity_j_per_k - body;
    assert!((water(&fitted) / water(&plain) - 0.8).abs() < 1e-12);
    assert!((of("[fitted]\nroom_offset = \"0.7 K\"\n").room_c - plain.room_c - 0.7).abs() < 1e-12);
}
