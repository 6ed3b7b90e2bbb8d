//! What every strategy in the registry must bear. A new strategy gets its line in `conformance!`.

mod support;

use support::bench::Bench;
use support::wiring::{TARGET_C, with_room_probe};
use support::{recipe, text};
use tepid_sim::scenario::{ProbePurpose, Role};
use tepid_sim::strategy::{BindError, Command, ContactState, StrategyRecipe, Wiring};
use tepid_sim::time::{DAY, HOUR, Millis};
use tepid_strategies::parameter::ParamKind;
use tepid_strategies::values::Value;
use tepid_strategies::{find, registry};

const HEAT: Option<Role> = Some(Role::Heat);
const COOL: Option<Role> = Some(Role::Cool);
const HEAT_ROOM: Option<Role> = Some(Role::HeatRoom);
const COOL_ROOM: Option<Role> = Some(Role::CoolRoom);

macro_rules! conformance {
    ($($file:ident: $name:literal commands $roles:expr,)*) => {
        const HARNESSED: &[&str] = &[$($name),*];
        $(mod $file {
            use super::*;

            #[test]
            fn opens_everything_while_the_probe_is_silent_or_reads_none() {
                super::opens_everything_while_the_probe_is_silent_or_reads_none($name);
            }
            #[test]
            fn takes_no_number_for_a_missing_reading() {
                super::takes_no_number_for_a_missing_reading($name);
            }
            #[test]
            fn bears_a_jump_of_the_clock() {
                super::bears_a_jump_of_the_clock($name);
            }
            #[test]
            fn decides_like_another_fresh_one() {
                super::decides_like_another_fresh_one($name);
            }
            #[test]
            fn can_be_doubled() {
                super::can_be_doubled($name);
            }
            #[test]
            fn commands_only_contacts_of_its_roles() {
                super::commands_only_contacts_of_its_roles($name, $roles);
            }
            #[test]
            fn binds_or_says_what_is_missing() {
                super::binds_or_says_what_is_missing($name);
            }
            #[test]
            fn refuses_names_that_are_not_there() {
                super::refuses_names_that_are_not_there($name, $roles);
            }
            #[test]
            fn has_its_page() {
                super::has_its_page(include_str!(concat!("../src/", stringify!($file), ".rs")));
            }
        })*
    };
}

conformance! {
    heater_dial: "heater-dial" commands &[Role::Heat],
    timer: "timer" commands &[Role::Heat],
    on_off: "on-off" commands &[Role::Heat],
    proportional: "proportional" commands &[Role::Heat],
    pi: "pi" commands &[Role::Heat],
    pid: "pid" commands &[Role::Heat],
    feed_forward: "feed-forward" commands &[Role::Heat],
    predictive: "predictive" commands &[Role::Heat],
    staggered_pair: "staggered-pair" commands &[Role::Heat],
    lead_lag: "lead-lag" commands &[Role::Heat],
    set_back: "set-back" commands &[Role::Heat],
    warm_back: "warm-back" commands &[Role::Heat],
    fan_cooling: "fan-cooling" commands &[Role::Cool],
    fan_stages: "fan-stages" commands &[Role::Cool],
    chiller: "chiller" commands &[Role::Cool],
    heat_and_fan: "heat-and-fan" commands &[Role::Heat, Role::Cool],
    room_first: "room-first" commands &[Role::Heat, Role::HeatRoom, Role::CoolRoom],
}

#[test]
fn every_registry_entry_is_harnessed() {
    let names: Vec<&str> = registry().iter().map(|entry| entry.name).collect();
    assert_eq!(names, HARNESSED);
}

/// What every strategy may need, on contacts with these roles.
fn wiring(roles: &[Option<Role>]) -> Wiring {
    with_room_probe(support::wiring::wiring(roles))
}

/// A dial, two relays that heat, one of a fan and one of a chiller, and two of the room: every strategy applies.
fn full_wiring() -> Wiring {
    wiring(&[None, HEAT, HEAT, COOL, COOL, HEAT_ROOM, COOL_ROOM])
}

/// What is told of the contacts that are not the room's: those rest closed, and so they stay in a silence.
fn of_tank<T>(by_contact: &[T]) -> &[T] {
    &by_contact[..5]
}

/// A course of readings that takes every strategy through all its states, °C: cold, warm, and 0.02 K of ripple.
fn course_c(step: usize) -> f64 {
    let swing = [-2.0, -0.6, -0.25, -0.1, 0.0, 0.1, 0.3, 0.7, 2.0, 0.4, 0.05, -0.2];
    TARGET_C + swing[(step / 40) % swing.len()] + 0.02 * (step % 3) as f64
}

fn reads_a_probe(name: &str) -> bool {
    find(name).expect("an entry").param("probe").is_some()
}

/// The recipe of that name with this for `without_reading`, if it reads a probe.
fn recipe_without(name: &str, without: &str) -> Box<dyn StrategyRecipe> {
    if reads_a_probe(name) {
        recipe(name, &[("without_reading", text(without))])
    } else {
        recipe(name, &[])
    }
}

fn any_closed(bench: &Bench) -> bool {
    of_tank(&bench.states).iter().any(|state| state.is_closed())
}

/// The readings, far off on either side, at which the strategy closes something.
fn closing_readings(name: &str) -> Vec<f64> {
    let closing: Vec<f64> = [TARGET_C - 5.0, TARGET_C + 5.0]
        .into_iter()
        .filter(|reading_c| {
            let mut bench = Bench::new(&*recipe(name, &[]), &full_wiring());
            bench.run(HOUR, Some(*reading_c));
            of_tank(&bench.closed_ms).iter().any(|closed_ms| *closed_ms > 0)
        })
        .collect();
    assert!(!closing.is_empty(), "{name} never closes anything");
    closing
}

fn opens_everything_while_the_probe_is_silent_or_reads_none(name: &str) {
    if !reads_a_probe(name) {
        let closed_ms = |reading_c| {
            let mut bench = Bench::new(&*recipe(name, &[]), &full_wiring());
            bench.run(DAY, reading_c);
            bench.closed_ms
        };
        assert_eq!(closed_ms(None), closed_ms(Some(TARGET_C + 5.0)), "{name}");
        return;
    }
    for reading_c in closing_readings(name) {
        let mut bench = Bench::new(&*recipe(name, &[]), &full_wiring());
        bench.run(HOUR, Some(reading_c));
        let before_ms = bench.closed_ms.clone();
        bench.run(6 * HOUR, None);
        assert_eq!(
            of_tank(&bench.closed_ms),
            of_tank(&before_ms),
            "{name}: closed during the silence after {reading_c} °C"
        );
        bench.run(HOUR, Some(reading_c));
        assert!(
            any_closed(&bench),
            "{name}: does not work again after the silence"
        );
    }
    for without in ["off", "hold", "last duty"] {
        let mut bench = Bench::new(&*recipe_without(name, without), &full_wiring());
        bench.run(6 * HOUR, None);
        assert_eq!(
            of_tank(&bench.closed_ms),
            [0; 5],
            "{name}, {without}: closed before there was any reading"
        );
    }
}

fn takes_no_number_for_a_missing_reading(name: &str) {
    for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for reading_c in closing_readings(name) {
            let mut silent = Bench::new(&*recipe(name, &[]), &full_wiring());
            let mut not_a_number = Bench::new(&*recipe(name, &[]), &full_wiring());
            for step in 0..200 {
                let reading = (step / 50 % 2 == 0).then_some(reading_c);
                silent.step(reading, |_, _| {});
                not_a_number.step(reading.or(Some(odd)), |_, _| {});
                assert_eq!(
                    silent.commands.list(),
                    not_a_number.commands.list(),
                    "{name}: {odd} °C acted"
                );
            }
        }
    }
    let mut bench = Bench::new(&*recipe(name, &[]), &full_wiring());
    for finite in [f64::MAX, f64::MIN, -273.15, 0.0, 1e-300] {
        bench.step(Some(finite), |_, _| {});
    }
}

fn bears_a_jump_of_the_clock(name: &str) {
    for jump_ms in [3 * HOUR, 30 * DAY, 7, -1, -HOUR, -30 * DAY] {
        for reading_c in closing_readings(name) {
            let mut jumped = Bench::new(&*recipe(name, &[]), &full_wiring());
            jumped.run(HOUR, Some(reading_c));
            jumped.outage(jump_ms);
            let before_ms = jumped.closed_ms.clone();
            jumped.run(HOUR, Some(reading_c));
            let mut steady = Bench::new(&*recipe(name, &[]), &full_wiring());
            let mut steady_before_ms = steady.closed_ms.clone();
            steady.run(HOUR, Some(reading_c));
            if jump_ms == -1 {
                // Within an interval nobody can tell it from no jump: the second hour is like a second hour.
                steady_before_ms = steady.closed_ms.clone();
                steady.run(HOUR, Some(reading_c));
            }
            let in_the_hour_ms = |bench: &Bench, before_ms: &[Millis]| {
                let hour = bench.closed_ms.iter().zip(before_ms);
                let mut closed_ms: Vec<Millis> = hour.map(|(after, before)| after - before).collect();
                // Which of several alike leads may differ: that is what is remembered of the first hour.
                closed_ms.sort_unstable();
                closed_ms
            };
            assert_eq!(
                in_the_hour_ms(&jumped, &before_ms),
                in_the_hour_ms(&steady, &steady_before_ms),
                "{name}: {jump_ms} ms, then {reading_c} °C"
            );
            for command in jumped.commands.list() {
                assert!(
                    (0..=HOUR).contains(&command.delay_ms),
                    "{name}: {command:?} after {jump_ms} ms"
                );
            }
        }
    }
}

fn decides_like_another_fresh_one(name: &str) {
    let one_recipe = recipe_without(name, "last duty");
    let course = || -> Vec<Command> {
        let mut bench = Bench::new(&*one_recipe, &full_wiring());
        let mut all = Vec::new();
        for step in 0..2000 {
            if step == 1200 {
                bench.outage(2 * HOUR);
            }
            bench.step((step % 700 < 600).then(|| course_c(step)), |_, _| {});
            all.extend_from_slice(bench.commands.list());
        }
        all
    };
    let first = course();
    assert!(first.iter().any(|command| command.state.is_closed()));
    let opens = first.iter().any(|command| !command.state.is_closed());
    assert!(opens || !reads_a_probe(name));
    assert_eq!(first, course());
}

/// Without it a page could tell no scores on the way. That twins decide alike: `tests/determinism/branches.rs`.
fn can_be_doubled(name: &str) {
    let bound = recipe(name, &[]).bind(&full_wiring()).expect("it applies");
    assert!(bound.twin().is_some());
}

fn commands_only_contacts_of_its_roles(name: &str, roles: &[Role]) {
    let wiring = wiring(&[None, COOL, HEAT, HEAT_ROOM, None, HEAT, COOL_ROOM, COOL, None]);
    for without in ["off", "hold", "last duty"] {
        let mut bench = Bench::new(&*recipe_without(name, without), &wiring);
        for step in 0..1500 {
            bench.step((step % 300 < 200).then(|| course_c(step)), |_, _| {});
            for command in bench.commands.list() {
                let role = wiring.contacts[command.contact.0].role;
                assert!(
                    role.is_some_and(|role| roles.contains(&role)),
                    "{name}: {command:?} to {role:?}"
                );
            }
        }
    }
}

fn binds_or_says_what_is_missing(name: &str) {
    let mut bound = 0;
    for roles in [
        &[][..],
        &[None],
        &[HEAT],
        &[COOL],
        &[HEAT, COOL],
        &[HEAT, HEAT_ROOM],
        &[None, HEAT, HEAT],
        &[HEAT, HEAT, HEAT, COOL, COOL],
    ] {
        let complete = wiring(roles);
        let mut no_control = complete.clone();
        for probe in &mut no_control.probes {
            probe.purpose = ProbePurpose::Monitor;
        }
        let mut no_probe = complete.clone();
        no_probe.probes.clear();
        for (wiring, has_probe) in [(complete, true), (no_control, false), (no_probe, false)] {
            match recipe(name, &[]).bind(&wiring) {
                Ok(_) => {
                    assert!(
                        has_probe || !reads_a_probe(name),
                        "{name} binds without a control probe"
                    );
                    bound += 1;
                }
                Err(BindError::DoesNotApply { missing }) => assert!(!missing.is_empty()),
                Err(other) => panic!("{name} on {roles:?}: {other}"),
            }
        }
    }
    assert!(bound > 0, "{name} binds to nothing");
}

fn refuses_names_that_are_not_there(name: &str, roles: &[Role]) {
    let wiring = full_wiring();
    let unknown = |param: &str, value: Value, wrong: &str| match recipe(name, &[(param, value)]).bind(&wiring)
    {
        Err(BindError::Unknown {
            name: found, known, ..
        }) => {
            assert_eq!(found, wrong);
            assert!(!known.is_empty() && !known.contains(&found), "{name}: {known:?}");
        }
        Err(other) => panic!("{name}, {param} = {wrong}: {other}"),
        Ok(_) => panic!("{name}, {param} = {wrong}: bound"),
    };
    let of_kind = |kind| {
        let params = find(name).expect("an entry").params.iter();
        params.filter(move |param| param.kind == kind)
    };
    for param in of_kind(ParamKind::ProbeName) {
        unknown(param.name, text("mian"), "mian");
    }
    for param in of_kind(ParamKind::ContactNames) {
        let role = match roles {
            [only] => *only,
            _ if param.name.starts_with("cooling") => Role::Cool,
            _ if param.name.starts_with("room_coolers") => Role::CoolRoom,
            _ if param.name.starts_with("room") => Role::HeatRoom,
            _ => Role::Heat,
        };
        let right = wiring
            .contacts
            .iter()
            .find(|contact| contact.role == Some(role))
            .expect("one");
        let wrong_ones = wiring
            .contacts
            .iter()
            .filter(|contact| contact.role != Some(role));
        for wrong in wrong_ones.map(|contact| contact.name.as_str()).chain(["no such"]) {
            let names = Value::Names(vec![right.name.clone(), wrong.to_owned()]);
            unknown(param.name, names, wrong);
        }
    }
}

fn has_its_page(source: &str) {
    let page: Vec<&str> = source
        .lines()
        .take_while(|line| line.starts_with("//!"))
        .collect();
    let mut place = 0;
    for heading in [
        "Law",
        "Reads",
        "Commands",
        "Memory and reset",
        "Parameters",
        "When the probe is silent",
        "Known weakness",
        "Source",
    ] {
        let found = page.iter().position(|line| *line == format!("//! # {heading}"));
        assert!(
            found.is_some_and(|at| at > place),
            "no heading `{heading}` in its order"
        );
        place = found.unwrap_or(place);
    }
}

#[test]
fn a_bench_counts_what_a_contact_does() {
    let mut bench = Bench::new(&*recipe("on-off", &[]), &full_wiring());
    bench.run(HOUR, Some(TARGET_C - 1.0));
    bench.run(HOUR, Some(TARGET_C + 1.0));
    bench.run(HOUR, Some(TARGET_C - 1.0));
    assert_eq!(of_tank(&bench.closings), [0, 2, 2, 0, 0]);
    assert_eq!(of_tank(&bench.closed_ms), [0, 2 * HOUR, 2 * HOUR, 0, 0]);
    assert_eq!(bench.states[1], ContactState::Closed);
}
