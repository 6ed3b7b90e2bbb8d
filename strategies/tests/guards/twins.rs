//! A guarded strategy that is doubled: both decide alike, and neither knows what the other saw since.

use std::collections::BTreeSet;

use crate::scripted::INTERVAL_MS;
use crate::stacks::{Draws, stack_of, three_probes};
use crate::support::recipe;
use crate::support::wiring::TARGET_C;
use tepid_sim::strategy::{Announced, AnnouncedKind, Commands, Readings, Strategy, StrategyRecipe};
use tepid_sim::time::{HOUR, Millis, SECOND};
use tepid_strategies::guard::{Guarded, guards};

/// Readings drawn around the target, now and then none, wild ones, and an announced event.
fn seen(draws: &mut Draws, now_ms: Millis, temp_c: f64) -> Readings {
    let mut read = |_| match draws.below(12) {
        0 => None,
        1 => Some(85.0),
        _ => Some(temp_c + 0.05 * draws.below(3) as f64),
    };
    let probes_c: Vec<Option<f64>> = (0..3).map(&mut read).collect();
    let start_ms = now_ms + draws.below(60) as i64 * SECOND;
    let announced = draws.one_in(50).then(|| Announced {
        name: "feeding pause".to_owned(),
        kind: AnnouncedKind::PumpStopped,
        start_ms,
        end_ms: Some(start_ms + HOUR / 20),
        new_water: None,
    });
    Readings {
        now_ms,
        probes_c,
        drawn_w: Vec::new(),
        announced: announced.into_iter().collect(),
    }
}

fn decided(strategy: &mut dyn Strategy, seen: &Readings) -> Commands {
    let mut commands = Commands::default();
    strategy.decide(seen, &mut commands).expect("a decision");
    commands
}

/// At drawn instants the one under test is replaced by its twin, and the one left behind goes on with other readings for a while: were
/// anything not copied, or shared, the twin would soon decide otherwise than the one that was never doubled.
#[test]
fn a_twin_decides_as_its_original_and_neither_touches_the_other() {
    let wiring = three_probes();
    let mut met = BTreeSet::new();
    let mut held = 0_u64;
    for number in 1..=200_u64 {
        let mut draws = Draws::nth(number);
        let stack = stack_of(&mut draws, true);
        met.extend(stack.iter().map(|guard| guard.name()));
        let guarded = Guarded::new(recipe("on-off", &[]), stack);
        let alone = recipe("on-off", &[]);
        let mut original = guarded.bind(&wiring).expect("guards that apply");
        let mut doubled = guarded.bind(&wiring).expect("guards that apply");
        let mut bare = alone.bind(&wiring).expect("on-off applies");
        let (mut now_ms, mut temp_c) = (0, TARGET_C);
        for _ in 0..300 {
            now_ms += INTERVAL_MS * if draws.one_in(60) { 400 } else { 1 };
            temp_c += [-0.2, -0.02, 0.0, 0.02, 0.2][draws.below(5) as usize];
            let seen = seen(&mut draws, now_ms, temp_c);
            let (commands, of_twin) = (decided(&mut *original, &seen), decided(&mut *doubled, &seen));
            assert_eq!(commands.list(), of_twin.list(), "stack {number} at {now_ms} ms");
            assert_eq!(
                commands.alerts(),
                of_twin.alerts(),
                "stack {number} at {now_ms} ms"
            );
            held += u64::from(commands.list() != decided(&mut *bare, &seen).list());
            if draws.one_in(4) {
                let twin = doubled.twin().expect("it can be doubled");
                let mut left_behind = std::mem::replace(&mut doubled, twin);
                for step in 1..4 {
                    let other = self::seen(&mut draws, now_ms + step * INTERVAL_MS, TARGET_C + 3.0);
                    decided(&mut *left_behind, &other);
                }
            }
        }
    }
    assert_eq!(met.len(), guards().len(), "every guard was met: {met:?}");
    assert!(held > 1000, "the guards changed only {held} decisions");
}
