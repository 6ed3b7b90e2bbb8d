//! Longest on and staggered return.

use crate::scripted::{CLOSED, INTERVAL_MS, OPEN, Stack, control, guard, set};
use crate::support::wiring::wiring;
use tepid_sim::scenario::Role;
use tepid_sim::time::{HOUR, Millis, SECOND};
use tepid_strategies::values::Value;

const HEAT: Option<Role> = Some(Role::Heat);

fn longest_on(longest_ms: Millis, rest_ms: Millis) -> Stack {
    let given = [
        ("longest_on", Value::Time(longest_ms)),
        ("rest", Value::Time(rest_ms)),
    ];
    Stack::new(&wiring(&[HEAT, HEAT]), vec![guard("longest-on", &given)])
}

/// Seconds from the start at which a contact is closed.
fn closed_seconds(
    stack: &mut Stack,
    steps: usize,
    contact: usize,
    first: Vec<tepid_sim::strategy::Command>,
) -> Vec<usize> {
    (0..steps)
        .flat_map(|step| {
            let commands = if step == 0 { first.clone() } else { Vec::new() };
            stack.step(&control(25.0), &commands).outside
        })
        .enumerate()
        .filter(|(_, states)| states[contact].is_closed())
        .map(|(second, _)| second)
        .collect()
}

#[test]
fn a_contact_closed_for_too_long_rests_to_the_second_and_heats_again() {
    let mut stack = longest_on(95 * SECOND, 63 * SECOND);
    let closed = closed_seconds(&mut stack, 26, 0, vec![set(0, 3 * SECOND, CLOSED)]);
    let expected: Vec<usize> = (3..98).chain(161..256).collect();
    assert_eq!(closed, expected);
    assert_eq!(stack.alerts.len(), 2);
    assert!(stack.alerts[0].contains("contact 0"), "{:?}", stack.alerts);
}

#[test]
fn a_contact_that_opens_in_time_is_left_alone() {
    let mut stack = longest_on(60 * SECOND, 60 * SECOND);
    for step in 0..100 {
        let commands = if step % 5 == 0 {
            vec![set(0, 0, CLOSED), set(0, 9 * SECOND, OPEN)]
        } else {
            vec![set(0, 0, CLOSED)]
        };
        let seconds = stack.step(&control(25.0), &commands);
        assert_eq!(seconds.outside, seconds.inside);
    }
    assert!(stack.alerts.is_empty());
}

#[test]
fn contacts_close_one_after_another_after_a_restart() {
    let given = [("apart", Value::Time(25 * SECOND))];
    let contacts = wiring(&[HEAT, HEAT, HEAT]);
    let mut stack = Stack::new(&contacts, vec![guard("staggered-return", &given)]);
    for _ in 0..2 {
        let mut firsts: [Option<usize>; 3] = [None; 3];
        for step in 0..8 {
            let all = [set(0, 0, CLOSED), set(1, 0, CLOSED), set(2, 4 * SECOND, CLOSED)];
            let commands = if step == 0 { &all[..] } else { &[] };
            for (second, states) in stack.step(&control(25.0), commands).outside.iter().enumerate() {
                for (first, state) in firsts.iter_mut().zip(states) {
                    if state.is_closed() {
                        first.get_or_insert(step * 10 + second);
                    }
                }
            }
        }
        assert_eq!(firsts, [Some(0), Some(25), Some(50)]);
        stack.outage(HOUR);
    }
}

#[test]
fn a_contact_that_had_its_turn_is_free() {
    let given = [("apart", Value::Time(HOUR))];
    let mut stack = Stack::new(&wiring(&[HEAT, HEAT]), vec![guard("staggered-return", &given)]);
    stack.step(&control(25.0), &[set(0, 0, CLOSED)]);
    stack.step(&control(25.0), &[set(0, 0, OPEN)]);
    assert_eq!(
        stack.step(&control(25.0), &[set(0, 0, CLOSED)]).outside[0][0],
        CLOSED
    );
    assert_eq!(
        stack.step(&control(25.0), &[set(1, 0, CLOSED)]).outside[9][1],
        OPEN
    );
    assert!(stack.now_ms == 4 * INTERVAL_MS);
}
