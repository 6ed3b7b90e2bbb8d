//! Software limit and fan-on limit.

use crate::scripted::{CLOSED, OPEN, Stack, control, guard, set};
use crate::support::wiring::wiring;
use tepid_sim::scenario::Role;
use tepid_sim::time::SECOND;
use tepid_strategies::values::Value;

const HEAT: Option<Role> = Some(Role::Heat);
const COOL: Option<Role> = Some(Role::Cool);

fn limited() -> Stack {
    let given = [
        ("opens_above", Value::Number(27.0)),
        ("closes_below", Value::Number(26.0)),
    ];
    Stack::new(
        &wiring(&[HEAT, HEAT, COOL]),
        vec![guard("software-limit", &given)],
    )
}

#[test]
fn a_software_limit_opens_what_was_closed_and_closes_it_again_without_a_new_command() {
    let mut stack = limited();
    let closing = [set(0, 0, CLOSED), set(2, 0, CLOSED)];
    assert_eq!(
        stack.step(&control(25.0), &closing).outside[9],
        [CLOSED, OPEN, CLOSED]
    );
    assert_eq!(stack.step(&control(27.0), &[]).outside[0], [OPEN, OPEN, CLOSED]);
    assert_eq!(stack.step(&control(26.1), &[]).outside[0], [OPEN, OPEN, CLOSED]);
    assert_eq!(
        stack.step(&control(26.0), &[]).outside[0],
        [CLOSED, OPEN, CLOSED],
        "what the strategy left as it was comes back, and nothing else"
    );
}

#[test]
fn a_software_limit_never_closes_what_was_opened_meanwhile() {
    let mut stack = limited();
    stack.step(&control(25.0), &[set(0, 0, CLOSED)]);
    stack.step(&control(28.0), &[]);
    stack.step(&control(28.0), &[set(0, 0, OPEN)]);
    assert_eq!(stack.step(&control(25.0), &[]).outside[9], [OPEN, OPEN, OPEN]);
}

#[test]
fn a_contact_held_open_gets_no_delayed_closing() {
    let mut stack = limited();
    stack.step(&control(25.0), &[]);
    let seconds = stack.step(
        &control(28.0),
        &[
            set(0, 3 * SECOND, CLOSED),
            set(1, 0, CLOSED),
            set(1, 5 * SECOND, OPEN),
        ],
    );
    assert!(seconds.outside.iter().all(|states| states[..2] == [OPEN, OPEN]));
    let seconds = stack.step(&control(25.0), &[]);
    assert_eq!(
        seconds.outside[0][..2],
        [CLOSED, OPEN],
        "the delayed closing came true inside, and holds when the limit lets go"
    );
}

#[test]
fn without_a_reading_a_software_limit_stays_as_it_was() {
    let mut stack = limited();
    stack.step(&control(28.0), &[set(0, 0, CLOSED)]);
    assert_eq!(stack.step(&[None, None], &[]).outside[0][0], OPEN);
    stack.step(&control(25.0), &[]);
    assert_eq!(stack.step(&[None, None], &[]).outside[0][0], CLOSED);
    assert_eq!(stack.step(&control(f64::NAN), &[]).outside[0][0], CLOSED);
}

#[test]
fn after_an_outage_a_limit_gives_back_nothing_that_fell_open() {
    let mut stack = limited();
    stack.step(&control(28.0), &[set(0, 0, CLOSED)]);
    stack.outage(3600 * SECOND);
    assert_eq!(stack.step(&control(25.0), &[]).outside[9][0], OPEN);
}

#[test]
fn unless_told_a_software_limit_opens_one_kelvin_above_the_band() {
    let mut stack = Stack::new(&wiring(&[HEAT]), vec![guard("software-limit", &[])]);
    assert_eq!(
        stack.step(&control(26.99), &[set(0, 0, CLOSED)]).outside[0],
        [CLOSED]
    );
    assert_eq!(stack.step(&control(27.0), &[]).outside[0], [OPEN]);
    assert_eq!(stack.step(&control(26.01), &[]).outside[0], [OPEN]);
    assert_eq!(stack.step(&control(26.0), &[]).outside[0], [CLOSED]);
}

#[test]
fn a_fan_on_limit_turns_the_cooling_on_and_gives_it_back() {
    let mut stack = Stack::new(&wiring(&[HEAT, COOL]), vec![guard("fan-on-limit", &[])]);
    assert_eq!(
        stack.step(&control(27.0), &[set(1, 0, OPEN)]).outside[9],
        [OPEN, CLOSED]
    );
    assert_eq!(
        stack.step(&control(26.6), &[set(1, SECOND, OPEN)]).outside[9],
        [OPEN, CLOSED]
    );
    assert_eq!(stack.step(&control(26.5), &[]).outside[0], [OPEN, OPEN]);
}
