//! Pumps by the clock, kinds of heater, chillers, sun, new water: what a file says, in SI units.

use approx::assert_relative_eq;
use tepid_scenarios::{Loaded, Report, load_str};
use tepid_sim::ids::{ContactId, PumpId, TankId};
use tepid_sim::scenario::{DailyHours, HeaterKind, Role, Scenario, SunShine, TopOffTemperature};
use tepid_sim::time::{HOUR, MINUTE};

/// A display of 45 cm of water over a sump of 25 cm, and a barrel that no flow reaches.
const TWO_TANKS: &str = r#"
title = "two tanks"
duration = "2 d"
[water]
salinity = "35 g/kg"
salinity_range = ["34 g/kg", "36 g/kg"]
target = "25 °C"
[room]
temperature = "20 °C"
[[tank]]
name = "display"
inside = ["120 cm", "50 cm", "50 cm"]
water_height = "45 cm"
livestock = true
[[tank]]
name = "sump"
inside = ["60 cm", "40 cm", "40 cm"]
water_height = "25 cm"
[[tank]]
name = "barrel"
inside = ["40 cm", "40 cm", "60 cm"]
[[flow]]
from = "display"
to = "sump"
rate = "1500 L/h"
pump = "return"
[[pump]]
name = "return"
power = "25 W"
[[pump]]
name = "stirrer"
power = "10 W"
tank = "barrel"
[[contact]]
name = "relay"
kind = "relay"
"#;

fn load(more: &str) -> Scenario {
    match load_str("test.toml", &format!("{TWO_TANKS}{more}")) {
        Ok(Loaded::Scenario(scenario)) => *scenario,
        Ok(other) => panic!("{other:?}"),
        Err(report) => panic!("{}", report.plain()),
    }
}

fn refused(more: &str) -> Report {
    match load_str("test.toml", &format!("{TWO_TANKS}{more}")) {
        Ok(_) => panic!("it loads: {more}"),
        Err(report) => report,
    }
}

/// The one mistake of a file, by its code, in the line that holds `line`.
fn is_refused(more: &str, code: &str, line: &str) {
    let report = refused(more);
    let [problem] = &report.problems[..] else {
        panic!("{}", report.plain())
    };
    assert_eq!(problem.code, code, "{}", report.plain());
    assert!(problem.place.line().0.contains(line), "{}", report.plain());
}

#[test]
fn a_pump_runs_by_the_clock_and_starves_at_a_third_of_its_water_where_nothing_is_stated() {
    let scenario = load(
        "[[pump]]\nname = \"night\"\npower = \"5 W\"\ntank = \"display\"\non = \"22:00\"\noff = \"06:00\"\nstarves_below = \"8 cm\"\n",
    );
    assert_eq!(scenario.pumps[0].hours, None);
    // 30 % of the sump's 25 cm.
    assert_relative_eq!(scenario.pumps[0].starves_below_m, 0.075, epsilon = 1e-12);
    let hours = DailyHours {
        on_ms: 22 * HOUR,
        off_ms: 6 * HOUR,
    };
    assert_eq!(scenario.pumps[2].hours, Some(hours));
    assert_eq!(scenario.pumps[2].starves_below_m, 0.08);
}

#[test]
fn a_pump_with_half_a_timetable_or_a_mark_above_its_water_is_refused() {
    let pump = "[[pump]]\nname = \"night\"\npower = \"5 W\"\ntank = \"sump\"\n";
    is_refused(&format!("{pump}on = \"22:00\"\n"), "missing-field", "[[pump]]");
    is_refused(
        &format!("{pump}starves_below = \"25 cm\"\n"),
        "out-of-range",
        "starves_below",
    );
}

#[test]
fn heaters_of_every_kind_are_read() {
    let scenario = load(
        r#"
[[heater]]
name = "tube"
power = "100 W"
tank = "display"
chain = ["relay"]
[[heater]]
name = "in the pipe"
kind = "flow-through"
flow_by = "return"
power = "300 W"
tank = "display"
chain = ["relay"]
[[heater]]
name = "ceramic"
kind = "self-limiting"
full_to = "60 °C"
none_from = "120 °C"
power = "100 W"
tank = "sump"
exposed_below = "10 cm"
chain = ["relay"]
[[heater]]
name = "mat"
kind = "mat"
share_to_water = "60 %"
power = "40 W"
tank = "barrel"
chain = ["relay"]
"#,
    );
    let kinds: Vec<HeaterKind> = scenario.heaters.iter().map(|heater| heater.kind).collect();
    assert_eq!(
        kinds,
        [
            HeaterKind::Immersed,
            HeaterKind::FlowThrough { pump: PumpId(0) },
            HeaterKind::SelfLimiting {
                full_to_c: 60.0,
                none_from_c: 120.0
            },
            HeaterKind::Mat {
                share_to_water_frac: 0.6
            },
        ]
    );
    let exposed: Vec<f64> = scenario
        .heaters
        .iter()
        .map(|heater| heater.exposed_below_m)
        .collect();
    // 60 % of 45 cm; a pipe and a mat are never exposed.
    assert_relative_eq!(exposed[0], 0.27, epsilon = 1e-12);
    assert_eq!(exposed[1..], [0.0, 0.1, 0.0]);
}

#[test]
fn a_heater_s_kind_says_what_belongs_to_it() {
    let heater = |more: &str| {
        format!("[[heater]]\nname = \"h\"\npower = \"100 W\"\ntank = \"display\"\nchain = []\n{more}\n")
    };
    is_refused(&heater("kind = \"flow-through\""), "missing-field", "[[heater]]");
    is_refused(
        &heater("kind = \"flow-through\"\nflow_by = \"stirrer\""),
        "pump-elsewhere",
        "flow_by",
    );
    is_refused(&heater("kind = \"mat\""), "missing-field", "[[heater]]");
    is_refused(&heater("flow_by = \"return\""), "field-not-used", "flow_by");
    is_refused(
        &heater("share_to_water = \"60 %\""),
        "field-not-used",
        "share_to_water",
    );
    is_refused(
        &heater("kind = \"self-limiting\"\nfull_to = \"90 °C\"\nnone_from = \"80 °C\""),
        "self-limiting-order",
        "none_from",
    );
    is_refused(&heater("kind = \"imersed\""), "unknown-word", "kind");
    is_refused(
        &heater("exposed_below = \"50 cm\""),
        "out-of-range",
        "exposed_below",
    );
}

#[test]
fn a_tank_takes_six_fans_and_the_seventh_is_refused() {
    let fans = |count: usize| -> String {
        (0..count)
            .map(|at| {
                format!("[[fan]]\nname = \"fan {at}\"\npower = \"2 W\"\nspeed = \"1 m/s\"\ntank = \"display\"\nchain = []\n")
            })
            .collect()
    };
    assert_eq!(load(&fans(6)).fans.len(), 6);
    is_refused(&fans(7), "too-much", "[[fan]]");
}

#[test]
fn a_chiller_has_its_usual_figures_and_its_contact_cools() {
    let scenario = load(
        "[[chiller]]\nname = \"cold\"\ntank = \"sump\"\ncapacity = \"300 W\"\nchain = [\"relay\"]\n\
         [[chiller]]\nname = \"split\"\ntank = \"display\"\ncapacity = \"1000 BTU/h\"\nperformance = 2.5\nshortest_off = \"5 min\"\nstops_below = \"-1.5 °C\"\n\
         pump = \"return\"\nheat_goes = \"outdoors\"\nchain = []\n",
    );
    let [cold, split] = &scenario.chillers[..] else {
        panic!("two chillers")
    };
    assert_eq!(
        (cold.capacity_w, cold.performance_frac, cold.shortest_off_ms),
        (300.0, 3.0, 3 * MINUTE)
    );
    assert_eq!((cold.stops_below_c, split.stops_below_c), (4.0, -1.5));
    assert_eq!(
        (cold.tank, cold.pump, cold.rejects_outdoors),
        (TankId(1), None, false)
    );
    assert_eq!(cold.chain, [ContactId(0)]);
    assert_eq!(scenario.contacts[0].role, Some(Role::Cool));
    assert_relative_eq!(split.capacity_w, 293.071, max_relative = 1e-6);
    assert_eq!(
        (split.performance_frac, split.shortest_off_ms, split.pump),
        (2.5, 5 * MINUTE, Some(PumpId(0)))
    );
    assert!(split.rejects_outdoors);
}

#[test]
fn a_chiller_in_a_tank_chain_or_pipe_that_is_not_there_is_refused() {
    let chiller = |tank: &str, chain: &str, more: &str| {
        format!(
            "[[chiller]]\nname = \"cold\"\ntank = \"{tank}\"\ncapacity = \"300 W\"\nchain = [{chain}]\n{more}\n"
        )
    };
    is_refused(&chiller("barel", "", ""), "unknown-name", "tank");
    is_refused(&chiller("sump", "\"rely\"", ""), "unknown-name", "chain");
    is_refused(
        &chiller("barrel", "", "pump = \"return\""),
        "pump-elsewhere",
        "pump",
    );
    is_refused(
        &chiller("sump", "", "performance = 0"),
        "out-of-range",
        "performance",
    );
    let twice = chiller("sump", "", "") + &chiller("display", "", "");
    is_refused(&twice, "duplicate-name", "name");
}

#[test]
fn sun_shines_by_the_clock_or_by_the_weather_file() {
    let scenario = load(
        "[[sun]]\nname = \"morning\"\ntank = \"display\"\npeak = \"80 W\"\nfrom = \"09:00\"\nuntil = \"13:00\"\n",
    );
    let hours = DailyHours {
        on_ms: 9 * HOUR,
        off_ms: 13 * HOUR,
    };
    assert_eq!(scenario.suns[0].shine, SunShine::Daily { peak_w: 80.0, hours });
    let sun = "[[sun]]\nname = \"morning\"\ntank = \"display\"\n";
    is_refused(&format!("{sun}area = \"0.3 m²\"\n"), "no-sun", "area");
    is_refused(
        &format!("{sun}peak = \"80 W\"\nfrom = \"09:00\"\n"),
        "missing-field",
        "[[sun]]",
    );
    is_refused(
        &format!("{sun}area = \"0.3 m²\"\npeak = \"80 W\"\n"),
        "peak-and-area",
        "peak",
    );
}

#[test]
fn an_automatic_change_brings_water_of_the_tank_s_salinity_unless_told_otherwise() {
    let change = load("[automatic_change]\ntank = \"sump\"\nrate = \"5 L/d\"\n")
        .automatic_change
        .unwrap();
    assert_relative_eq!(change.rate_m3_per_s, 0.005 / 86_400.0, max_relative = 1e-15);
    assert_eq!((change.tank, change.salinity_g_per_kg), (TankId(1), 35.0));
    assert_eq!(change.temperature, TopOffTemperature::Room);
    let warm = load(
        "[automatic_change]\ntank = \"sump\"\nrate = \"1 gal/d\"\ntemperature = \"18 °C\"\nsalinity = \"30 g/kg\"\n",
    )
    .automatic_change
    .unwrap();
    assert_eq!(
        (warm.temperature, warm.salinity_g_per_kg),
        (TopOffTemperature::Fixed { temp_c: 18.0 }, 30.0)
    );
    // Three tanks: which of them must be said.
    is_refused(
        "[automatic_change]\nrate = \"5 L/d\"\n",
        "missing-field",
        "[automatic_change]",
    );
}

#[test]
fn a_salinity_outside_its_own_range_is_refused() {
    assert_eq!(load("").water.salinity_range_g_per_kg, Some((34.0, 36.0)));
    for range in ["[\"30 g/kg\", \"34 g/kg\"]", "[\"36 g/kg\", \"34 g/kg\"]"] {
        let text = TWO_TANKS.replace("[\"34 g/kg\", \"36 g/kg\"]", range);
        let report = load_str("test.toml", &text).unwrap_err();
        assert_eq!(report.problems[0].code, "salinity-range", "{}", report.plain());
    }
}
