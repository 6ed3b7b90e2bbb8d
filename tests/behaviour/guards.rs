//! Guards on a tank: what each is worth, and what it is not.

use crate::support::{scenario_of, worst};
use tepid::compare::Silent;
use tepid::explain::{Subject, explain};
use tepid_scenarios::{Loaded, fault_set, load_str};
use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Outputs, Restart, Scenario, When};
use tepid_sim::scores::Scores;
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};
use tepid_sim::trace::{Mark, MarkKind, TraceRow, TraceSink};
use tepid_strategies::guard::find_guard;

/// 200 L under a lid with one strong heater behind a relay, in a mild room, with so many probes in the water.
fn tank(probes: usize, more: &str) -> Scenario {
    let probes: String = ["main", "second", "third"][..probes]
        .iter()
        .map(|name| {
            let purpose = if *name == "main" { "control" } else { "monitor" };
            format!(
                "[[probe]]\nname = \"{name}\"\ntank = \"display\"\nfor = \"{purpose}\"\nnoise = \"0.02 K\"\n"
            )
        })
        .collect();
    scenario_of(&format!(
        r#"
title = "One strong heater"
duration = "3 d"
warm_up = "12 h"
[water]
salinity = "35 g/kg"
target = "25.5 °C"
band = ["25.0 °C", "26.0 °C"]
[livestock]
kind = "reef"
source = "common practice, no source"
used_to = "25.5 °C"
danger_hot = [["28.5 °C", "3 d"], ["30 °C", "12 h"]]
danger_cold = [["22 °C", "2 d"], ["20 °C", "12 h"]]
[[tank]]
name = "display"
inside = ["100 cm", "50 cm", "50 cm"]
water_height = "40 cm"
pane = {{ material = "glass", thickness = "10 mm" }}
cover = "lid"
livestock = true
[room]
temperature = "21 °C"
humidity = "55 %"
[[heater]]
name = "main"
power = "400 W"
tank = "display"
chain = ["relay"]
[[contact]]
name = "relay"
kind = "relay"
role = "heat"
{probes}{more}"#
    ))
}

fn on_off_with(guards: &[&str]) -> Box<dyn StrategyRecipe> {
    let tables: String = guards
        .iter()
        .map(|guard| format!("[[guard]]\n{guard}\n"))
        .collect();
    strategy(&format!("strategy = \"on-off\"\n{tables}"))
}

fn strategy(text: &str) -> Box<dyn StrategyRecipe> {
    match load_str("mine.toml", text) {
        Ok(Loaded::Strategy(file)) => file.recipe,
        Ok(_) => panic!("no strategy"),
        Err(report) => panic!("{}", report.plain()),
    }
}

const VOTING: &str = "guard = \"probe-voting\"";
const SOFTWARE_LIMIT: &str = "guard = \"software-limit\"\nopens_above = \"27 °C\"";
const RATE_OF_RISE: &str = "guard = \"rate-of-rise\"";

fn fault(when: When, effect: Effect) -> Happening {
    Happening {
        name: "fault".to_owned(),
        when,
        lasts: Lasts::ToTheEnd,
        effect,
        origin: Origin::Fault,
    }
}

/// When each alert was raised, by its text.
#[derive(Default)]
struct Alerts(Vec<(Millis, String)>);

impl TraceSink for Alerts {
    fn row(&mut self, _: &TraceRow<'_>) {}
    fn mark(&mut self, mark: &Mark<'_>) {
        if mark.what == MarkKind::Alert {
            self.0.push((mark.at_ms, mark.name.to_owned()));
        }
    }
}

fn run_of(scenario: &Scenario, recipe: &dyn StrategyRecipe, faults: &[Happening]) -> (Scores, Alerts) {
    let mut alerts = Alerts::default();
    let request = RunRequest {
        faults,
        ..RunRequest::new(scenario, recipe, 7)
    };
    let scores = run(&request, Some(&mut alerts)).expect("runs");
    (scores, alerts)
}

fn highest_c(scenario: &Scenario, recipe: &dyn StrategyRecipe, faults: &[Happening]) -> f64 {
    worst(&run_of(scenario, recipe, faults).0).highest_c
}

#[test]
fn a_probe_that_reads_low_cooks_the_tank_unless_two_others_outvote_it() {
    let scenario = tank(3, "");
    let low = [fault(
        When::At(DAY),
        Effect::ProbeReads {
            probe: ProbeId(0),
            reading_c: 24.0,
        },
    )];
    let alone = highest_c(&scenario, on_off_with(&[]).as_ref(), &low);
    let (scores, alerts) = run_of(&scenario, on_off_with(&[VOTING]).as_ref(), &low);
    assert!(alone > 32.0, "{alone} °C under on-off alone");
    assert!(worst(&scores).highest_c < 26.2, "{} °C", worst(&scores).highest_c);
    assert_eq!(alerts.0.len(), 1, "{:?}", alerts.0);
    assert_eq!(alerts.0[0].0, DAY);
}

#[test]
fn a_stuck_probe_is_outvoted_as_soon_as_the_water_has_moved_away_from_it() {
    let scenario = tank(3, "");
    // Stuck where it reads cold: the relay has just closed.
    let stuck = [fault(
        When::Closing {
            contact: ContactId(0),
            nth: 3,
            from_ms: 0,
        },
        Effect::ProbeStuck(ProbeId(0)),
    )];
    let alone = highest_c(&scenario, on_off_with(&[]).as_ref(), &stuck);
    let voted = highest_c(&scenario, on_off_with(&[VOTING]).as_ref(), &stuck);
    assert!(alone > 32.0, "{alone} °C under on-off alone");
    assert!(voted < 27.0, "{voted} °C");
}

#[test]
fn a_welded_contact_is_announced_by_its_rise_and_not_stopped_by_it() {
    let scenario = tank(1, "");
    let weld = [fault(When::At(DAY), Effect::ContactWelded(ContactId(0)))];
    let (bare, _) = run_of(&scenario, on_off_with(&[]).as_ref(), &weld);
    let (guarded, alerts) = run_of(&scenario, on_off_with(&[RATE_OF_RISE]).as_ref(), &weld);
    let (first_ms, text) = alerts.0.first().expect("an alert");
    assert!(text.contains("not heating"), "{text}");
    assert!(
        (DAY..DAY + 3 * HOUR).contains(first_ms),
        "after {} min",
        (first_ms - DAY) / MINUTE
    );
    let (bare_c, guarded_c) = (worst(&bare).highest_c, worst(&guarded).highest_c);
    assert!(bare_c > 32.0, "{bare_c} °C");
    assert!(
        (guarded_c - bare_c).abs() < 0.01,
        "{guarded_c} °C with, {bare_c} °C without"
    );
}

#[test]
fn a_dead_heater_is_announced_and_a_healthy_week_is_quiet() {
    let scenario = tank(1, "");
    let recipe = on_off_with(&[RATE_OF_RISE]);
    let (_, quiet) = run_of(&scenario, recipe.as_ref(), &[]);
    assert!(quiet.0.is_empty(), "{:?}", quiet.0);
    let dead = [fault(
        When::At(DAY),
        Effect::HeaterDead(tepid_sim::ids::HeaterId(0)),
    )];
    let (_, alerts) = run_of(&scenario, recipe.as_ref(), &dead);
    let (_, text) = alerts.0.first().expect("an alert");
    assert!(text.contains("no rise"), "{text}");
}

#[test]
fn a_software_limit_stops_a_wrong_setpoint() {
    let scenario = tank(1, "");
    let wrong = "strategy = \"on-off\"\nsetpoint = \"31 °C\"\n";
    let bare = highest_c(&scenario, strategy(wrong).as_ref(), &[]);
    let limited = format!("{wrong}[[guard]]\n{SOFTWARE_LIMIT}\n");
    let limited = highest_c(&scenario, strategy(&limited).as_ref(), &[]);
    assert!(bare > 30.5, "{bare} °C");
    assert!(limited < 27.3, "{limited} °C");
}

#[test]
fn a_software_limit_does_not_help_where_the_controller_hangs_closed() {
    let scenario = tank(1, "");
    let hangs = [fault(
        When::Closing {
            contact: ContactId(0),
            nth: 3,
            from_ms: 0,
        },
        Effect::ControllerHung {
            outputs: Outputs::Hold,
            restart: Restart::Kept,
        },
    )];
    let bare = highest_c(&scenario, on_off_with(&[]).as_ref(), &hangs);
    let limited = highest_c(&scenario, on_off_with(&[SOFTWARE_LIMIT]).as_ref(), &hangs);
    assert!(bare > 32.0, "{bare} °C");
    assert!(
        (bare - limited).abs() < 1e-9,
        "{limited} °C with, {bare} °C without"
    );
}

#[test]
fn nothing_heats_in_a_feeding_pause_with_a_hold_off() {
    let pause = "[[event]]\nwhat = \"feeding pause\"\ndaily = \"08:00\"\nlasts = \"6 h\"\n[[pump]]\nname = \"stream\"\npower = \"5 W\"\ntank = \"display\"\n";
    let scenario = tank(1, pause);
    let bare = run_of(&scenario, on_off_with(&[]).as_ref(), &[]).0;
    let held = run_of(&scenario, on_off_with(&["guard = \"hold-off\""]).as_ref(), &[]).0;
    let lowest_c = |scores: &Scores| worst(scores).lowest_c;
    assert!(lowest_c(&bare) > 25.2, "{} °C", lowest_c(&bare));
    assert!(lowest_c(&held) < lowest_c(&bare) - 0.3, "{} °C", lowest_c(&held));
}

#[test]
fn what_an_explanation_says_of_a_guard_is_what_it_does() {
    let subject = Subject::Guard(find_guard("probe-voting").expect("a guard"));
    let scenario = tank(1, "");
    let sets = [
        "probe stuck",
        "probe reads 85 or 0",
        "one contact welded",
        "probe noisy",
    ]
    .map(|name| fault_set(&scenario, name).expect("a fault set"));
    let record = explain(subject, &scenario, 7, sets.to_vec(), &Silent).expect("explained");
    assert_eq!(record.added.as_deref(), Some("two more probes beside `main`"));
    let coverage = record.coverage.expect("tried");
    let of = |name: &str| {
        let found = coverage.sets.iter().find(|set| set.set == name);
        found.unwrap_or_else(|| panic!("no set {name}"))
    };
    for covered in ["probe stuck", "probe reads 85 or 0"] {
        let set = of(covered);
        assert!(set.past.is_none() && set.past_without_guard.is_some(), "{set:?}");
    }
    let welded = of("one contact welded");
    assert!(
        welded.past.is_some() && welded.past_without_guard.is_some(),
        "{welded:?}"
    );
    let noisy = of("probe noisy");
    assert!(
        noisy.past.is_none() && noisy.past_without_guard.is_none(),
        "{noisy:?}"
    );
    let kinds: Vec<&str> = record.way.iter().map(|step| step.kind.as_str()).collect();
    assert_eq!(kinds, ["probe", "guard", "strategy", "contact"]);
}
