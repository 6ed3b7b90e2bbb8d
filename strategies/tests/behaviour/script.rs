use tepid_sim::scenario::{Restart, Role};
use tepid_sim::strategy::{
    Announced, AnnouncedKind, Commands, ContactState, Readings, Strategy, StrategyRecipe,
};
use tepid_sim::time::{DAY, HOUR, SECOND};
use tepid_strategies::script::{Script, TEMPLATE};
use tepid_strategies::values::{Value, Values};

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::{TARGET_C, wiring};

/// Its memory goes with the time.
const MINIMUM_TIMES: &str = include_str!("../../../examples/scripts/minimum-times.rhai");

const TWO_HEATERS: &[Option<Role>] = &[Some(Role::Heat), None, Some(Role::Heat), Some(Role::Cool)];

fn script(text: &str) -> Box<dyn StrategyRecipe> {
    script_with(text, &[])
}

fn script_with(text: &str, given: &[(&str, Value)]) -> Box<dyn StrategyRecipe> {
    let script = Script::read("mine.rhai", text).unwrap_or_else(|problem| panic!("{problem}"));
    let mut values = Values::new(script.params());
    for (param, value) in given {
        values.set(param, value.clone()).expect("a value that may stand");
    }
    script.build("mine", &values).expect("values that fit together")
}

fn seen(now_ms: i64, reading_c: Option<f64>) -> Readings {
    Readings {
        now_ms,
        probes_c: vec![None, reading_c],
        drawn_w: vec![0.0, 100.0],
        announced: vec![Announced {
            name: "feeding".to_owned(),
            kind: AnnouncedKind::PumpStopped,
            start_ms: now_ms + 90 * SECOND,
            end_ms: None,
            new_water: None,
        }],
    }
}

/// What a script does at one decision, or why it cannot.
fn decided(text: &str, reading_c: Option<f64>) -> Result<Commands, String> {
    let recipe = script(text);
    let mut bound = recipe.bind(&wiring(TWO_HEATERS)).expect("it applies");
    let mut commands = Commands::default();
    bound
        .decide(&seen(6 * HOUR, reading_c), &mut commands)
        .map(|()| commands)
        .map_err(|failure| failure.reason)
}

fn closes(text: &str) -> bool {
    let commands = decided(text, Some(20.0)).unwrap_or_else(|why| panic!("{why}"));
    commands.list()[0].state.is_closed()
}

fn failure(text: &str) -> String {
    decided(text, Some(20.0)).expect_err("it must fail")
}

fn problem(text: &str) -> String {
    Script::read("mine.rhai", text)
        .expect_err("it must be refused")
        .to_string()
}

#[test]
fn the_shortest_script_heats_cold_water_with_every_heater_and_no_fan() {
    let commands = decided("fn decide(temperature) { temperature < 25.0 }", Some(20.0)).expect("decides");
    let set: Vec<(usize, ContactState)> = commands.list().iter().map(|c| (c.contact.0, c.state)).collect();
    assert_eq!(set, [(0, ContactState::Closed), (2, ContactState::Closed)]);
}

#[test]
fn a_duty_closes_for_that_share_of_the_cycle() {
    let recipe = script("fn decide() { 0.3 }");
    let mut bench = Bench::new(&*recipe, &wiring(TWO_HEATERS));
    bench.run(HOUR, None);
    assert_eq!(bench.closed_ms, [18 * 60_000, 0, 18 * 60_000, 0]);
}

#[test]
fn a_map_tells_contacts_apart_by_name_and_by_role() {
    let commands = decided(
        r#"fn decide() { #{ "contact 0": false, "contact 2": true } }"#,
        None,
    )
    .expect("decides");
    assert!(!commands.list()[0].state.is_closed());
    assert!(commands.list()[1].state.is_closed());
    let both =
        script(r#"fn parameters() { #{ switches: "both" } } fn decide() { #{ heat: false, cool: true } }"#);
    let mut bench = Bench::new(&*both, &wiring(TWO_HEATERS));
    bench.run(HOUR, None);
    assert_eq!(bench.closed_ms, [0, 0, 0, HOUR]);
}

#[test]
fn a_script_may_ask_for_everything_that_a_strategy_sees() {
    for truth in [
        "fn decide(temperature, setpoint, target) { temperature == 20.0 && setpoint == 25.5 && target == 25.5 }",
        "fn decide(probes) { probes.main == 20.0 && probes.display == () }",
        r#"fn decide(drawn) { drawn["heater 2"] == 100.0 }"#,
        "fn decide(now, hour, elapsed) { now == 21600.0 && hour == 6.0 && elapsed == () }",
        r#"fn decide(announced) { announced[0].name == "feeding" && announced[0].starts_in == 90.0 && announced[0].ends_in == () }"#,
        r#"fn decide(contacts) { contacts == ["contact 0", "contact 2"] }"#,
        "fn decide(restart) { restart == () }",
    ] {
        assert!(closes(truth), "{truth}");
    }
}

#[test]
fn it_is_told_how_it_comes_back() {
    let text =
        r#"fn start() { #{ told: "" } } fn decide(restart) { if restart != () { alert(restart); } false }"#;
    let mut bound = script(text).bind(&wiring(TWO_HEATERS)).expect("it applies");
    let heard = |bound: &mut dyn Strategy, now_ms| {
        let mut commands = Commands::default();
        bound.decide(&seen(now_ms, None), &mut commands).expect("decides");
        commands.alerts().to_vec()
    };
    assert!(heard(&mut *bound, 0).is_empty());
    bound.restarted(Restart::Lost);
    assert_eq!(heard(&mut *bound, 10 * SECOND), ["lost"]);
    assert!(heard(&mut *bound, 20 * SECOND).is_empty());
    assert_eq!(heard(&mut *bound, 3 * HOUR), ["kept"], "the power was out");
}

#[test]
fn what_it_keeps_in_this_is_there_again_at_the_next_decision_and_gone_in_a_fresh_one() {
    let counter = "fn start() { #{ count: 0 } } fn decide() { this.count += 1; this.count > 2 }";
    let recipe = script(counter);
    for _ in 0..2 {
        let mut bench = Bench::new(&*recipe, &wiring(TWO_HEATERS));
        let closed: Vec<bool> = (0..3)
            .map(|_| {
                bench.step(None, |_, _| {});
                bench.states[0].is_closed()
            })
            .collect();
        assert_eq!(closed, [false, false, true]);
    }
}

#[test]
fn a_declared_parameter_has_its_kind_its_bounds_and_its_value() {
    let text = r#"
        fn parameters() { #{
            deadband: #{ value: "0.4 K", least: "0.1 K", most: "2 K", doc: "full width" },
            rest: #{ value: "5 min" },
            mood: #{ value: "calm", words: ["calm", "brisk"] },
            gain: #{ value: 1.5 },
            interval: "30 s",
        } }
        fn decide(deadband, rest, mood, gain) { deadband == 0.3 && rest == 300.0 && mood == "calm" && gain == 1.5 }"#;
    let recipe = script_with(text, &[("deadband", Value::Number(0.3))]);
    assert_eq!(recipe.interval_ms(), 30 * SECOND);
    assert_eq!(
        recipe.settings(),
        "script mine.rhai, deadband 0.3 K, gain 1.5, mood calm, rest 5 min"
    );
    let mut bench = Bench::new(&*recipe, &wiring(TWO_HEATERS));
    bench.step(None, |_, _| {});
    assert!(bench.states[0].is_closed());
    let script = Script::read("mine.rhai", text).expect("reads");
    let refused = Values::new(script.params())
        .set("deadband", Value::Number(5.0))
        .unwrap_err();
    assert_eq!(refused.to_string(), "`deadband` is 5 K, but may be 0.1 K to 2 K");
}

#[test]
fn mathematics_is_that_of_libm() {
    for (call, value) in [
        ("exp(0.3)", libm::exp(0.3)),
        ("ln(7.3)", libm::log(7.3)),
        ("sin(1.3)", libm::sin(1.3)),
        ("pow(1.3, 2.7)", libm::pow(1.3, 2.7)),
        ("tanh(0.3)", libm::tanh(0.3)),
        ("sqrt(2)", libm::sqrt(2.0)),
    ] {
        // Twice the same digits: a script cannot see bits, but 17 digits tell two numbers apart.
        assert!(
            closes(&format!("fn decide() {{ {call} == {value:?} }}")),
            "{call}"
        );
    }
    for platform in [
        "2.0 ** 0.5",
        "sinh(1.0)",
        "hypot(1.0, 2.0)",
        "log(2.0)",
        "(2.0).asin()",
        "Fn(\"**\").call(2.0, 0.5)",
    ] {
        let text = format!("fn decide() {{ {platform} > 0.0 }}");
        let refused = match Script::read("mine.rhai", &text) {
            Err(_) => true,
            Ok(_) => decided(&text, None).is_err(),
        };
        assert!(refused, "{platform} is reachable");
    }
}

#[test]
fn there_is_no_clock_no_chance_no_file_and_no_other_module() {
    for call in [
        "timestamp()",
        "rand()",
        "open_file(\"/etc/hosts\")",
        "sleep(1)",
        "eval(\"1\")",
        "print(1)",
        "Fn(\"sleep\").call(1)",
        "Fn(\"eval\").call(\"1\")",
    ] {
        let text = format!("fn decide() {{ {call}; true }}");
        let refused = Script::read("mine.rhai", &text).is_err() || decided(&text, None).is_err();
        assert!(refused, "{call} is reachable");
    }
    assert!(Script::read("mine.rhai", "import \"x\" as x; fn decide() { true }").is_err());
}

/// Where the engine knows no place, the line is that of the loop, else that of the function that was called.
#[test]
fn every_hostile_script_ends_as_a_failure_that_names_its_line() {
    for (text, line, why) in [
        ("fn decide() {\n loop { }\n}", 2, "more than 100000 operations"),
        (
            "fn decide() {\n let n = 0;\n loop { try { loop { n += 1; } } catch { } }\n}",
            3,
            "more than 100000 operations",
        ),
        (
            "fn decide() {\n let s = \"x\";\n loop { s += s; }\n}",
            3,
            "grew too large",
        ),
        (
            "fn decide() {\n let a = [1];\n loop { a += a; }\n}",
            3,
            "grew too large",
        ),
        (
            "fn decide() {\n dig(0)\n}\nfn dig(n) {\n dig(n + 1)\n}",
            1,
            "calls nest deeper than 24",
        ),
        ("fn decide() {\n 0.0 / 0.0\n}", 1, "a duty of no number"),
        ("fn decide() {\n 1.2\n}", 1, "a duty of 1.2; it must be between 0"),
        (
            "fn decide() {\n \"on\"\n}",
            1,
            "the text \"on\"; expected true or false",
        ),
        ("fn decide() {\n}", 1, "returns nothing"),
        (
            "fn decide() {\n #{ pump: true }\n}",
            1,
            "`pump` is no contact that it switches; these are: contact 0, contact 2",
        ),
        (
            "fn decide(temperature) {\n let x = 1;\n let y = 2;\n no_such(x) < temperature\n}",
            4,
            "there is no function `no_such` for (whole number)",
        ),
        (
            "fn decide() {\n timestamp()\n}",
            2,
            "there is no function `timestamp` without arguments",
        ),
        (
            "fn decide() {\n open_file(\"log\", true)\n}",
            2,
            "there is no function `open_file` for (text, true or false)",
        ),
        (
            "fn decide() {\n \"warm\" - 2.0 > 0.0\n}",
            2,
            "there is no `text - number`",
        ),
        ("fn decide() {\n throw \"enough\"\n}", 2, "enough"),
        ("fn decide() {\n this.heating\n}", 2, "heating"),
    ] {
        let failure = failure(text);
        assert!(
            failure.starts_with(&format!("mine.rhai, line {line}: ")) && failure.contains(why),
            "{text}\n{failure}"
        );
    }
}

#[test]
fn arithmetic_with_a_silent_probe_is_told_as_such() {
    let law = "fn decide(temperature) {\n 25.0 - temperature > 0.0\n}";
    let failure = decided(law, None).expect_err("it must fail");
    assert!(
        failure.starts_with("mine.rhai, line 2: ") && failure.contains("the probe is silent; ask first"),
        "{failure}"
    );
}

#[test]
fn a_time_of_day_is_its_hour() {
    assert!(closes(
        "fn parameters() { #{ night: #{ value: \"22:30\" } } }\nfn decide(night, hour) { night == 22.5 && hour < night }"
    ));
}

#[test]
fn memory_that_grows_at_every_decision_is_stopped_before_it_is_large() {
    let recipe = script("fn start() { #{ all: [] } } fn decide(now) { this.all.push(now); true }");
    let mut bound = recipe.bind(&wiring(TWO_HEATERS)).expect("it applies");
    let decisions = (0..20_000).take_while(|step| {
        let decided = bound.decide(&seen(step * 10 * SECOND, None), &mut Commands::default());
        decided.is_ok()
    });
    assert!(decisions.count() <= 10_000);
}

#[test]
fn a_mistake_is_told_with_its_line_before_any_run() {
    for (text, told) in [
        ("fn decide() {\n if true {\n}", "line 3"),
        (
            "fn decide(temprature) { true }",
            "line 1: `decide` asks for `temprature`",
        ),
        (
            "\nlet limit = 3;\nfn decide() { true }",
            "line 2: `limit` stands outside",
        ),
        ("fn other() { true }", "there is no function `decide`"),
        (
            "fn decide() { true }\nfn start() { 3 }",
            "line 2: `start` returns i64",
        ),
        (
            "fn decide() { true }\nfn start() {\n loop {}\n}",
            "more than 100000 operations",
        ),
        (
            "fn decide() { true }\nfn parameters() { #{\n gain: #{ value: \"much\" } } }",
            "line 3: parameter `gain`: its value \"much\" is no quantity",
        ),
        (
            "fn decide() { true }\nfn parameters() { #{ hour: #{ value: \"1 h\" } } }",
            "line 2: parameter `hour`: this name is taken",
        ),
        (
            "fn decide() { true }\nfn parameters() { #{ gain: #{ value: 1.5, lest: 1.0 } } }",
            "unknown field `lest`",
        ),
        ("fn decide() { limit > 3 }", "nothing is named `limit`"),
        (
            "fn decide() { setpoint > 3.0 }",
            "put it among the arguments of `decide`",
        ),
        (
            "fn decide(temperature) {\n let cold = 25.0 - temperature // K\n\n cold > 0.0\n}",
            "line 2: Expecting ';'",
        ),
        (
            "fn decide() { true }\nfn parameters() { #{ night: #{ value: \"22:00\", least: \"20:00\" } } }",
            "a time of day has neither",
        ),
    ] {
        let problem = problem(text);
        assert!(problem.contains(told), "{text}\n{problem}");
    }
}

/// Decided every 10 s, the water goes on for one decision at most: 800 W warm 340 L by 6 mK in that time.
#[test]
fn template_and_example_hold_their_deadband_as_the_built_in_on_off_does() {
    let counting = script_with(
        MINIMUM_TIMES,
        &[("minimum_on", Value::Time(0)), ("minimum_off", Value::Time(0))],
    );
    let mut ends = Vec::new();
    for recipe in [script(TEMPLATE), counting, recipe("on-off", &[])] {
        let mut tank = FirstOrderTank::at(TARGET_C, &[400.0, 0.0, 400.0, 0.0]);
        let mut bench = Bench::new(&*recipe, &wiring(TWO_HEATERS));
        let (mut lowest_c, mut highest_c) = (f64::MAX, f64::MIN);
        tank.run(&mut bench, DAY, |_, _| {});
        tank.run(&mut bench, DAY, |_, temp_c| {
            (lowest_c, highest_c) = (temp_c.min(lowest_c), temp_c.max(highest_c));
        });
        assert!((25.28..25.31).contains(&lowest_c), "{lowest_c}");
        assert!((25.69..25.72).contains(&highest_c), "{highest_c}");
        ends.push((tank.temp_c.to_bits(), bench.closings[0]));
    }
    assert_eq!(ends[0], ends[2]);
    assert_eq!(ends[1], ends[2]);
}

/// Whoever asks for the time is asked anew each time, so that the two differ in nothing but that.
#[test]
fn a_decision_that_is_remembered_is_the_one_that_would_be_worked_out() {
    let memories = [
        "this.warm = temperature != () && temperature > 25.4; if this.warm { 0.2 } else { 0.7 }",
        "this.seen += if temperature == 25.4 { 1 } else { 0 }; this.seen % 3 == 0",
        "if temperature == () { alert(\"silent\"); } this.seen = 0.0 * this.seen; temperature != ()",
        "if temperature == 25.5 { this.seen = -this.seen; } 1.0 / this.seen > 0.0",
    ];
    for law in memories {
        let asked = |arguments: &str| {
            let text =
                format!("fn start() {{ #{{ warm: false, seen: 0.0 }} }} fn decide({arguments}) {{ {law} }}");
            let mut bound = script(&text).bind(&wiring(TWO_HEATERS)).expect("it applies");
            let mut said = Vec::new();
            let readings_c = [
                Some(25.4),
                Some(25.3),
                Some(25.5),
                Some(25.4),
                Some(25.3),
                None,
                Some(25.3),
            ];
            for (step, reading_c) in (0..).zip(readings_c.iter().copied().cycle().take(400)) {
                let mut commands = Commands::default();
                let seen = seen(step * 10 * SECOND, reading_c);
                bound.decide(&seen, &mut commands).expect("a decision");
                said.push((commands.list().to_vec(), commands.alerts().to_vec()));
            }
            said
        };
        assert!(asked("temperature") == asked("temperature, now"), "{law}");
    }
}
