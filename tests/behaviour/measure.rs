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
