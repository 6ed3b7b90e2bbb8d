//! Home tests find what the model's tanks are made of, as surely as they say.

use statrs::distribution::{Binomial, DiscreteCDF};

use crate::bad_input::tepid;
use crate::support::{scenario_of, strategy};
use tepid::measure::{
    Capacity, Cooling, Duty, Heating, HeatingFor, Known, Lift, Looked, Reading, cooling, duty, heating, lift,
};
use tepid_output::records::{MeasuredKind, Measurement};
use tepid_sim::ids::ContactId;
use tepid_sim::noise::Stream;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, When};
use tepid_sim::still::StillPlant;
use tepid_sim::time::{HOUR, MINUTE, Millis, hours};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

/// A covered tank of 180 L at 27 °C in a steady room, with a pump.
fn covered(room_c: f64, start_c: f64, pump_w: f64) -> Scenario {
    scenario_of(&format!(
        "title = \"covered\"\nduration = \"8 h\"\nwarm_up = \"0 d\"\n\
         [water]\nsalinity = \"0 g/kg\"\ntarget = \"{start_c} °C\"\nband = [\"{} °C\", \"{} °C\"]\n\
         [[tank]]\nname = \"tank\"\ninside = [\"100 cm\", \"45 cm\", \"45 cm\"]\nwater_height = \"40 cm\"\n\
         pane = {{ material = \"glass\", thickness = \"10 mm\" }}\ncover = \"lid\"\nlivestock = true\n\
         [room]\ntemperature = \"{room_c} °C\"\nhumidity = \"50 %\"\n\
         [[pump]]\nname = \"return\"\npower = \"{pump_w} W\"\n\
         [[heater]]\nname = \"heater\"\npower = \"200 W\"\nchain = [\"relay\"]\n\
         [[contact]]\nname = \"relay\"\nkind = \"relay\"\nrole = \"heat\"\n\
         [[probe]]\nname = \"main\"\nfor = \"control\"\n",
        start_c - 1.0,
        start_c + 1.0
    ))
}

/// The true water every half hour.
struct HalfHours(Vec<Reading>);

impl TraceSink for HalfHours {
    fn row(&mut self, row: &TraceRow<'_>) {
        if row.at_ms % (30 * MINUTE) == 0 {
            self.0.push(Reading {
                at_h: hours(row.at_ms),
                water_c: row.water_c[0],
            });
        }
    }

    fn mark(&mut self, _: &Mark<'_>) {}
}

fn half_hours(tank: &Scenario, effect: Effect, end_ms: Millis) -> Vec<Reading> {
    let done = [Happening {
        name: "test".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect,
        origin: Origin::Fault,
    }];
    let recipe = strategy("on-off");
    let mut seen = HalfHours(Vec::new());
    let request = RunRequest {
        faults: &done,
        end_ms,
        ..RunRequest::new(tank, recipe.as_ref(), 7)
    };
    run(&request, Some(&mut seen)).expect("runs");
    seen.0
}

/// As a thermometer in steps of 0.1 K with noise of 0.05 K shows it.
fn as_read(truth: &[Reading], seed: u64) -> Vec<Reading> {
    let noise = Stream::new(seed, 0, "thermometer", "noise");
    let shown = |(index, reading): (usize, &Reading)| Reading {
        water_c: ((reading.water_c + 0.05 * noise.normal(index as i64)) * 10.0).round() / 10.0,
        ..*reading
    };
    truth.iter().enumerate().map(shown).collect()
}

/// Heat lost per kelvin of lift over the course, and what holds it.
fn known(tank: &Scenario, truth: &[Reading], room_c: f64) -> (f64, Capacity) {
    let still = StillPlant::new(tank).expect("a network");
    let air = still.air(room_c, 0.5);
    let lost: f64 = truth
        .iter()
        .map(|reading| still.losses(reading.water_c, air).total_w())
        .sum();
    let lift: f64 = truth.iter().map(|reading| reading.water_c - room_c).sum();
    let capacity = Capacity {
        j_per_k: still.heat_capacity_j_per_k(),
        from: "the model's own".to_owned(),
    };
    (lost / lift, capacity)
}

fn main_figure(record: &Measurement) -> (f64, [f64; 2]) {
    let found = &record.found[0];
    (found.value, found.interval.expect("an interval"))
}

/// Fewest and most of so many intervals of 95 % that hold the truth in all but one of ten thousand tries.
fn bounds(tries: u64) -> (u64, u64) {
    let held = Binomial::new(0.95, tries).expect("a share");
    (held.inverse_cdf(0.000_05), held.inverse_cdf(0.999_95))
}

#[test]
fn cooling_in_8_hours_tells_the_loss_within_10_percent_and_holds_it_as_often_as_it_says() {
    let tank = covered(20.0, 27.0, 15.0);
    let truth = half_hours(&tank, Effect::HeatersUnplugged, 8 * HOUR);
    assert_eq!(truth.len(), 17);
    let (loss, capacity) = known(&tank, &truth, 20.0);
    let tries = 400;
    let mut held = 0;
    for seed in 0..tries {
        let record = cooling(&Cooling {
            readings: as_read(&truth, seed),
            room_c: 20.0,
            capacity: capacity.clone(),
            running_w: 15.0,
            step_k: 0.1,
        })
        .expect("a test");
        let (value, [low, high]) = main_figure(&record);
        assert!(
            (value / loss - 1.0).abs() < 0.1,
            "seed {seed}: {value} of {loss} W/K"
        );
        held += u64::from(low <= loss && loss <= high);
    }
    let (fewest, most) = bounds(tries);
    assert!(
        (fewest..=most).contains(&held),
        "{held} of {tries} intervals hold the truth, expected {fewest} to {most}"
    );
}

#[test]
fn heating_without_a_break_tells_the_heaters_real_power() {
    let tank = covered(20.0, 24.0, 0.0);
    let truth = half_hours(&tank, Effect::ContactWelded(ContactId(0)), 4 * HOUR);
    let (loss, capacity) = known(&tank, &truth, 20.0);
    let record = heating(&Heating {
        // The body takes a minute to warm.
        readings: as_read(&truth[1..], 3),
        room_c: 20.0,
        loss_w_per_k: loss,
        running_w: 0.0,
        step_k: 0.1,
        wanted: HeatingFor::Power(capacity.clone()),
    })
    .expect("a test");
    let (value, [low, high]) = main_figure(&record);
    assert!(
        low < 200.0 && 200.0 < high && (value / 200.0 - 1.0).abs() < 0.1,
        "{value} W, {low} to {high}"
    );
    let record = heating(&Heating {
        readings: as_read(&truth[1..], 3),
        room_c: 20.0,
        loss_w_per_k: loss,
        running_w: 0.0,
        step_k: 0.1,
        wanted: HeatingFor::Capacity(200.0),
    })
    .expect("a test");
    let (value, _) = main_figure(&record);
    assert!(
        (value / capacity.j_per_k - 1.0).abs() < 0.1,
        "{value} J/K of {}",
        capacity.j_per_k
    );
}

#[test]
fn a_pump_of_30_watts_and_a_lift_of_2_5_kelvin_are_12_watts_per_kelvin_give_or_take_a_half() {
    let record = lift(&Lift {
        running_w: 30.0,
        lift_k: 2.5,
        step_k: 0.1,
    })
    .expect("a test");
    let (value, [low, high]) = main_figure(&record);
    assert_eq!(value, 12.0);
    assert!(
        (low - 11.5).abs() < 0.05 && (high - 12.5).abs() < 0.05,
        "{low} to {high}"
    );
}

#[test]
fn a_share_is_the_loss_times_the_lift_over_the_watts_and_back() {
    let test = |known| {
        duty(&Duty {
            power_w: 250.0,
            lift_k: 3.9,
            running_w: 0.0,
            known,
            cycle_h: Some(1.0),
            within_frac: 0.02,
        })
        .expect("a test")
    };
    let record = test(Known::Loss(20.0));
    assert_eq!(record.found[0].what, MeasuredKind::ShareFrac);
    assert!((record.found[0].value - 0.312).abs() < 1e-12);
    let back = test(Known::Share(Looked::Throughout {
        share_frac: 0.312,
        watched_h: Some(24.0),
    }));
    assert!((back.found[0].value - 20.0).abs() < 1e-12);
    // 0.312 × 0.688 × 1 h over 24 h: what the cut of a cycle does.
    let share = &back.found[1];
    let [low, high] = share.interval.expect("an interval");
    assert!((0.5 * (high - low) - 0.312 * 0.688 / 24.0).abs() < 1e-12);
}

#[test]
fn two_hours_of_watching_may_be_as_far_off_as_the_cut_of_a_cycle_and_never_more() {
    // On for a third of every 50 min, watched for 2 h from each minute of the cycle on.
    let (cycle, on, watched) = (50, 15, 120);
    let share = f64::from(on) / f64::from(cycle);
    let worst = (0..cycle)
        .map(|start| {
            let seen = (start..start + watched)
                .filter(|minute| minute % cycle < on)
                .count();
            (seen as f64 / f64::from(watched) - share).abs()
        })
        .fold(0.0, f64::max);
    let record = duty(&Duty {
        power_w: 200.0,
        lift_k: 4.0,
        running_w: 0.0,
        known: Known::Share(Looked::Throughout {
            share_frac: share,
            watched_h: Some(2.0),
        }),
        cycle_h: Some(50.0 / 60.0),
        within_frac: 0.02,
    })
    .expect("a test");
    let told = record.found[1].interval.expect("an interval")[1] - share;
    assert!(
        worst <= told + 1e-12 && worst > 0.5 * told,
        "{worst} beside {told}"
    );
}

#[test]
fn looks_at_random_are_as_sure_as_their_number_makes_them() {
    let record = duty(&Duty {
        power_w: 250.0,
        lift_k: 3.9,
        running_w: 0.0,
        known: Known::Share(Looked::AtRandom { on: 31, looks: 100 }),
        cycle_h: None,
        within_frac: 0.02,
    })
    .expect("a test");
    let looks = record
        .found
        .iter()
        .find(|found| found.what == MeasuredKind::Looks)
        .expect("looks");
    // 0.31 × 0.69 × (1.96/0.02)², by hand.
    assert!((looks.value - 2055.0).abs() <= 1.0, "{}", looks.value);
}

#[test]
fn the_command_evaluates_and_says_what_would_change_it_most() {
    let arguments = [
        "measure",
        "cooling",
        "--volume",
        "180 L",
        "--room",
        "68 °F",
        "0 h = 27 °C",
        "4 h = 25.9 °C",
        "8 h = 24.9 °C",
    ];
    let (code, out, error) = tepid(&[], &arguments);
    assert_eq!(code, 0, "{error}");
    for part in [
        "W/K",
        "What would change it most",
        "Assumed",
        "Cautions",
        "put it back before anything else",
    ] {
        assert!(out.contains(part), "`{part}` is not in:\n{out}");
    }
    let (code, out, _) = tepid(&[], &["measure"]);
    assert!(
        code == 0 && out.contains("tepid measure duty") && out.contains("\nCautions\n"),
        "{out}"
    );
    assert!(out.lines().all(|line| line.chars().count() <= 100));
}

#[test]
fn a_test_that_says_nothing_is_refused_with_its_reason() {
    let cooling = ["measure", "cooling", "--volume", "180 L", "--room", "20 °C"];
    for (readings, says) in [
        (&["0 h = 27 °C"][..], "expected two at least"),
        (&["0 h = 27 °C", "2 h = 19 °C"], "not warmer than the room"),
        (&["2 h = 27 °C", "0 h = 26 °C"], "in order of time"),
        (&["0 h = 25 °C", "2 h = 26 °C"], "did not cool"),
        (&["0 h = 27", "2 h = 26 °C"], "no unit"),
        (&["27 °C", "26 °C"], "is no reading"),
    ] {
        let arguments: Vec<&str> = cooling.iter().chain(readings).copied().collect();
        let (code, _, error) = tepid(&[], &arguments);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains(says), "`{says}` is not in:\n{error}");
    }
}

/// Ends with 2 and says all of this.
pub fn refused(arguments: &[&str], says: &[&str]) {
    let (code, _, error) = tepid(&[], arguments);
    assert_eq!(code, 2, "{arguments:?}: {error}");
    for part in says {
        assert!(error.contains(part), "`{part}` is not in:\n{error}");
    }
}

#[test]
fn readings_that_tell_only_a_bound_are_refused_with_the_bound() {
    let cooling = ["measure", "cooling", "--volume", "180 L", "--room", "20 °C"];
    // One step of the display over an hour at 4.95 K: 750 kJ/K × 0.2 K ÷ (4.95 K × 3600 s) = 8.4 W/K at most.
    for readings in [
        &["0 h = 25 °C", "1 h = 24.9 °C"][..],
        &["0 h = 25 °C", "1 h = 24.9 °C", "2 h = 25 °C"],
        &["0 h = 25 °C", "1 h = 24.8 °C", "2 h = 24.9 °C"],
    ] {
        let arguments: Vec<&str> = cooling.iter().chain(readings).copied().collect();
        refused(
            &arguments,
            &["do not tell the loss", "from nothing to", "or longer"],
        );
    }
    let arguments: Vec<&str> = cooling
        .into_iter()
        .chain(["0 h = 25 °C", "1 h = 24.9 °C"])
        .collect();
    refused(
        &arguments,
        &["from nothing to 8.4 W/K", "24.7 h or longer", "fell by 0.10 K"],
    );
    let heating = ["measure", "heating", "--room", "20 °C", "--loss", "10 W/K"];
    let flat = ["0 h = 24 °C", "1 h = 24 °C", "2 h = 24.1 °C"];
    for (asked, says) in [
        (
            ["--power", "200 W"],
            "do not tell the heat capacity: it may be 1378 kJ/K or any more",
        ),
        (
            ["--heat-capacity", "750 kJ/K"],
            "do not tell the heaters' power: it may be anything from nothing to",
        ),
    ] {
        let arguments: Vec<&str> = heating.into_iter().chain(asked).chain(flat).collect();
        refused(&arguments, &[says]);
    }
}

#[test]
fn the_time_constant_lies_between_the_capacity_over_the_ends_of_the_loss() {
    let reading = |at_h, water_c| Reading { at_h, water_c };
    let record = cooling(&Cooling {
        readings: vec![
            reading(0.0, 25.0),
            reading(1.0, 24.9),
            reading(2.0, 24.9),
            reading(3.0, 24.8),
            reading(8.0, 24.0),
        ],
        room_c: 20.0,
        capacity: Capacity {
            j_per_k: 750_000.0,
            from: "as stated".to_owned(),
        },
        running_w: 0.0,
        step_k: 0.1,
    })
    .expect("a test");
    let [low, high] = record.found[0].interval.expect("an interval");
    let [short_h, long_h] = record.found[1].interval.expect("an interval");
    assert!(
        (short_h * high * 3600.0 / 750_000.0 - 1.0).abs() < 1e-12,
        "{short_h} h"
    );
    assert!(
        (long_h * low * 3600.0 / 750_000.0 - 1.0).abs() < 1e-12,
        "{long_h} h"
    );
    assert!(0.0 < short_h && short_h < record.found[1].value && record.found[1].value < long_h);
}

#[test]
fn a_heater_seen_in_one_state_alone_bounds_the_loss_from_one_side() {
    let test = |known, running_w| {
        duty(&Duty {
            power_w: 200.0,
            lift_k: 4.0,
            running_w,
            known,
            cycle_h: Some(1.0),
            within_frac: 0.02,
        })
        .expect("a test")
    };
    let looks = |record: &Measurement| {
        let mut found = record.found.iter();
        found
            .find(|found| found.what == MeasuredKind::Looks)
            .map(|looks| looks.value)
    };
    // Wilson for 0 of 40: up to z²/(40 + z²) = 8.76 %; 200 W × 8.76 % ÷ 4 K = 4.4 W/K, and 0.0876 × 0.9124 × (1.96/0.02)² = 768 looks.
    let never = test(Known::Share(Looked::AtRandom { on: 0, looks: 40 }), 0.0);
    assert_eq!(never.found[0].interval, None);
    assert!(never.found[0].how_sure.contains("4.4 W/K at most"), "{never:?}");
    assert!(
        looks(&never).is_some_and(|looks| (looks - 768.0).abs() <= 1.0),
        "{never:?}"
    );
    let always = test(Known::Share(Looked::AtRandom { on: 40, looks: 40 }), 0.0);
    assert!(
        always.found[0].how_sure.contains("45.6 W/K at least"),
        "{always:?}"
    );
    assert!(
        looks(&always).is_some_and(|looks| (looks - 768.0).abs() <= 1.0),
        "{always:?}"
    );
    let throughout = test(
        Known::Share(Looked::Throughout {
            share_frac: 1.0,
            watched_h: Some(24.0),
        }),
        0.0,
    );
    assert!(
        throughout.found[0].how_sure.contains("50.0 W/K at least"),
        "{throughout:?}"
    );
    assert_eq!(
        looks(&throughout),
        None,
        "a heater that never switches tells of no looks"
    );
    for record in [never, always, throughout, test(Known::Loss(1.0), 30.0)] {
        let absurd = record
            .found
            .iter()
            .filter(|found| found.what != MeasuredKind::LossWPerK && found.what != MeasuredKind::ShareFrac)
            .find(|found| {
                !found.value.is_finite() || (found.what == MeasuredKind::Looks && found.value < 1.0)
            });
        assert_eq!(absurd, None);
    }
}

#[test]
fn a_lift_is_refused_in_its_own_digits_and_a_small_one_is_told_for_a_bound() {
    refused(
        &["measure", "lift", "--running", "20 W", "--lift", "0.05 K"],
        &["a lift of 0.05 K is no more"],
    );
    let small = lift(&Lift {
        running_w: 20.0,
        lift_k: 0.4,
        step_k: 0.1,
    })
    .expect("a test");
    // 20 W ÷ (0.4 K + 0.5 K).
    assert!(small.advice[0].contains("22.2 W/K at least"), "{small:?}");
    for arguments in [
        &["measure", "lift", "--running", "20 W", "--lift", "1 K"][..],
        &[
            "measure",
            "cooling",
            "--volume",
            "180 L",
            "--room",
            "20 °C",
            "0 h = 25 °C",
            "9 h = 23 °C",
        ],
        &[
            "measure",
            "heating",
            "--power",
            "90 W",
            "--loss",
            "5 W/K",
            "--room",
            "20 °C",
            "0 h = 23 °C",
            "9 h = 25 °C",
        ],
    ] {
        let arguments: Vec<&str> = arguments.iter().chain(&["--step", "0 K"]).copied().collect();
        refused(&arguments, &["--step 0 K: expected more than zero"]);
    }
}

#[test]
fn a_heat_capacity_is_told_as_it_is_typed() {
    let (code, out, error) = tepid(
        &[],
        &[
            "measure",
            "heating",
            "--power",
            "200 W",
            "--loss",
            "10 W/K",
            "--room",
            "20 °C",
            "0 h = 24 °C",
            "1 h = 24.6 °C",
            "2 h = 25.2 °C",
        ],
    );
    assert_eq!(code, 0, "{error}");
    assert!(out.contains("kJ/K") && !out.contains("MJ/K"), "{out}");
}
