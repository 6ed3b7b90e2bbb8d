//! A guard with nothing to say is not there.

use crate::scripted::{CLOSED, OPEN, Stack, control, guard, set};
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::{TARGET_C, wiring, with_room_probe};
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Readings, StrategyRecipe, Wiring};
use tepid_sim::time::{HOUR, MINUTE, Millis, SECOND};
use tepid_strategies::guard::{Guard, GuardRecipe, Guarded, Verdict, Wanted};
use tepid_strategies::registry;

const HEAT: Option<Role> = Some(Role::Heat);
const COOL: Option<Role> = Some(Role::Cool);

#[test]
fn commands_pass_as_they_are_where_no_guard_has_anything_to_say() {
    let mut stack = Stack::new(
        &wiring(&[HEAT, COOL]),
        vec![
            guard("software-limit", &[]),
            guard("longest-on", &[]),
            guard("rate-of-rise", &[]),
            guard("fan-on-limit", &[]),
            guard("hold-off", &[]),
        ],
    );
    let commands = [
        set(0, 0, CLOSED),
        set(0, 4 * SECOND, OPEN),
        set(1, 7 * SECOND, CLOSED),
        set(0, 40 * SECOND, CLOSED),
    ];
    stack.step(&control(25.0), &commands);
    assert_eq!(stack.commands, commands);
    stack.step(&control(25.0), &[]);
    assert!(stack.commands.is_empty());
}

#[test]
fn every_strategy_decides_the_same_inside_a_guard_that_never_acts() {
    let room = Some(Role::HeatRoom);
    let wiring = with_room_probe(wiring(&[None, HEAT, HEAT, COOL, COOL, room]));
    for entry in registry() {
        let guarded = Guarded::new(
            recipe(entry.name, &[]),
            vec![guard("software-limit", &[]), guard("hold-off", &[])],
        );
        let (mut bare, mut inside) = (
            Bench::new(&*recipe(entry.name, &[]), &wiring),
            Bench::new(&guarded, &wiring),
        );
        for step in 0..3000 {
            if step == 1500 {
                bare.outage(2 * HOUR);
                inside.outage(2 * HOUR);
            }
            let swing_k = [-1.0, -0.3, 0.0, 0.2, 0.6, 1.0, 0.1, -0.1][(step / 37) % 8];
            let reading_c = (step % 500 < 450).then_some(TARGET_C + swing_k);
            bare.step(reading_c, |_, _| {});
            inside.step(reading_c, |_, _| {});
            assert_eq!(
                bare.commands.list(),
                inside.commands.list(),
                "{} at {step}",
                entry.name
            );
        }
        bare.run(HOUR, Some(TARGET_C - 1.0));
        inside.run(HOUR, Some(TARGET_C - 1.0));
        assert_eq!(bare.closed_ms, inside.closed_ms);
    }
}

#[test]
fn settings_name_the_guards_from_the_inside_out() {
    let guarded = Guarded::new(
        recipe("on-off", &[]),
        vec![
            guard(
                "software-limit",
                &[("opens_above", tepid_strategies::values::Value::Number(27.0))],
            ),
            guard(
                "longest-on",
                &[("rest", tepid_strategies::values::Value::Time(10 * MINUTE))],
            ),
        ],
    );
    assert_eq!(
        guarded.settings(),
        "0.4 K deadband, centred on the target; with software-limit (opens above 27 °C, closes again 1 K below); \
         with longest-on (open for 10 min after 3 h)"
    );
}

/// Wants to hold every contact closed.
#[derive(Debug, Clone, Copy)]
struct ClosesAll;

impl GuardRecipe for ClosesAll {
    fn name(&self) -> &'static str {
        "closes-all"
    }
    fn settings(&self) -> String {
        String::new()
    }
    fn bind(&self, _: &Wiring, _: Millis) -> Result<Box<dyn Guard>, BindError> {
        Ok(Box::new(*self))
    }
}

impl Guard for ClosesAll {
    fn check(&mut self, _: &Readings, _: &Wanted, verdict: &mut Verdict) {
        (0..3).for_each(|contact| verdict.hold_closed(ContactId(contact)));
    }

    fn twin(&self) -> Box<dyn Guard> {
        Box::new(*self)
    }
}

#[test]
fn even_a_guard_that_wants_to_cannot_close_what_heats() {
    let mut stack = Stack::new(&wiring(&[HEAT, COOL, None]), vec![Box::new(ClosesAll)]);
    assert_eq!(stack.step(&control(20.0), &[]).outside[0], [OPEN, CLOSED, OPEN]);
}
