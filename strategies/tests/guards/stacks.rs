//! What no stack of guards ever does.

use crate::scripted::{CLOSED, INTERVAL_MS, OPEN, Stack, guard, set};
use crate::support::wiring::{TARGET_C, wiring};
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{ProbePurpose, Role};
use tepid_sim::strategy::{Announced, AnnouncedKind, Command, WiredProbe, Wiring};
use tepid_sim::time::{HOUR, MINUTE, SECOND};
use tepid_strategies::guard::{GuardRecipe, guards};
use tepid_strategies::values::Value;

const CONTACTS: [Option<Role>; 4] = [None, Some(Role::Heat), Some(Role::Heat), Some(Role::Cool)];

/// A reproducible sequence of numbers (xorshift64, Marsaglia 2003; from memory), so that a failing stack can be
/// found again by its number.
pub struct Draws(u64);

impl Draws {
    pub fn nth(number: u64) -> Self {
        Self(number.wrapping_mul(0x9E37_79B9_7F4A_7C15))
    }

    pub fn below(&mut self, bound: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) % bound
    }

    pub fn one_in(&mut self, bound: u64) -> bool {
        self.below(bound) == 0
    }
}

/// Three probes in one tank.
pub fn three_probes() -> Wiring {
    let mut wiring = wiring(&CONTACTS);
    wiring.probes.push(WiredProbe {
        name: "third".to_owned(),
        tank: Some("sump".to_owned()),
        purpose: ProbePurpose::Monitor,
    });
    wiring
}

/// Guards in a drawn order, with times short enough to act within the run.
pub fn stack_of(draws: &mut Draws, with_fans: bool) -> Vec<Box<dyn GuardRecipe>> {
    let mut names: Vec<&str> = guards()
        .iter()
        .map(|entry| entry.name)
        .filter(|name| with_fans || *name != "fan-on-limit")
        .collect();
    let mut stack = Vec::new();
    for _ in 0..=draws.below(names.len() as u64) {
        if names.is_empty() {
            break;
        }
        let name = names.swap_remove(draws.below(names.len() as u64) as usize);
        let given: &[(&str, Value)] = match name {
            "longest-on" => &[
                ("longest_on", Value::Time(MINUTE + 3 * SECOND)),
                ("rest", Value::Time(MINUTE + 14 * SECOND)),
            ],
            "rate-of-rise" => &[
                ("within", Value::Time(2 * MINUTE)),
                ("settle", Value::Time(MINUTE)),
                ("pause", Value::Time(MINUTE + 5 * SECOND)),
            ],
            "staggered-return" => &[("apart", Value::Time(33 * SECOND))],
            _ => &[],
        };
        stack.push(guard(name, given));
    }
    stack
}

/// Commands of one decision: contacts left out, set, set later, set twice.
fn commands(draws: &mut Draws) -> Vec<Command> {
    let count = [0, 0, 1, 2, 4][draws.below(5) as usize];
    let mut list: Vec<Command> = (0..count)
        .map(|_| {
            let state = if draws.one_in(3) { OPEN } else { CLOSED };
            let delay_ms = if draws.one_in(2) {
                0
            } else {
                draws.below(14) as i64 * SECOND
            };
            set(1 + draws.below(3) as usize, delay_ms, state)
        })
        .collect();
    list.sort_by_key(|command| command.contact);
    list
}

/// Runs stacks on drawn commands and readings, with what was done inside and outside in every second.
fn each_second(with_fans: bool, mut look: impl FnMut(u64, &[bool], &[bool])) {
    let wiring = three_probes();
    for number in 1..=400_u64 {
        let mut draws = Draws::nth(number);
        let guards = stack_of(&mut draws, with_fans);
        let mut stack = Stack::new(&wiring, guards);
        let mut temp_c = TARGET_C;
        for _ in 0..250 {
            if draws.one_in(60) {
                stack.outage(INTERVAL_MS * (1 + draws.below(400) as i64));
            }
            if draws.one_in(50) {
                let start_ms = stack.now_ms + draws.below(60) as i64 * SECOND;
                stack.announced = vec![Announced {
                    name: "feeding pause".to_owned(),
                    kind: AnnouncedKind::PumpStopped,
                    start_ms,
                    end_ms: (!draws.one_in(4)).then_some(start_ms + HOUR / 20),
                    new_water: None,
                }];
            }
            temp_c += [-0.2, -0.02, 0.0, 0.02, 0.2][draws.below(5) as usize];
            let probes_c: Vec<Option<f64>> = (0..3)
                .map(|_| match draws.below(12) {
                    0 => None,
                    1 => Some(85.0),
                    _ => Some(temp_c + 0.05 * draws.below(3) as f64),
                })
                .collect();
            let seconds = stack.step(&probes_c, &commands(&mut draws));
            for (inside, outside) in seconds.inside.iter().zip(&seconds.outside) {
                let closed = |states: &[_]| -> Vec<bool> {
                    states
                        .iter()
                        .map(|state: &tepid_sim::strategy::ContactState| state.is_closed())
                        .collect()
                };
                look(number, &closed(inside), &closed(outside));
            }
        }
    }
}

#[test]
fn no_stack_of_guards_closes_a_contact_that_the_strategy_left_open() {
    let mut opened = 0_u64;
    each_second(false, |number, inside, outside| {
        for (contact, (inside, outside)) in inside.iter().zip(outside).enumerate() {
            assert!(
                *inside || !outside,
                "stack {number} closed {:?}",
                ContactId(contact)
            );
            opened += u64::from(*inside && !outside);
        }
    });
    assert!(opened > 10_000, "the stacks opened something in {opened} s only");
}

#[test]
fn with_a_fan_on_limit_only_what_cools_is_ever_closed() {
    let mut blown = 0_u64;
    each_second(true, |number, inside, outside| {
        for contact in 0..3 {
            assert!(
                inside[contact] || !outside[contact],
                "stack {number} closed {:?}",
                ContactId(contact)
            );
        }
        blown += u64::from(outside[3] && !inside[3]);
    });
    assert!(blown > 1000, "the fan was turned on for {blown} s only");
}
