//! The checks on the bench.

use std::time::Duration;

use tepid_sim::quantity::print_millis;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{Command, StrategyRecipe, Wiring};
use tepid_sim::time::{DAY, HOUR, Millis};

use super::Found;
use super::bench::{Bench, TARGET_C, course_c};

/// Decisions of one course: every level of it once and a bit more.
const COURSE: usize = 900;
/// Decisions of a silence.
const SILENCE: usize = 400;

/// Readings that no probe should give, °C.
const ODD_C: [f64; 9] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    f64::MAX,
    f64::MIN,
    -273.15,
    -127.0,
    85.0,
    1e-300,
];

/// Without readings from the start, then in the middle of heating and of cooling.
pub(super) fn absent_readings(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Found {
    let mut bench = Bench::new(recipe, wiring)?;
    let mut still_closed = Vec::new();
    let rests_closed = |name: &str| {
        let named = wiring.contacts.iter().find(|contact| contact.name == name);
        named.is_some_and(|contact| contact.role.is_some_and(Role::is_of_room))
    };
    for reading_c in [TARGET_C, TARGET_C - 8.0, TARGET_C + 8.0] {
        for _ in 0..SILENCE {
            bench.step(None)?;
        }
        for name in bench.closed() {
            if !rests_closed(name) && !still_closed.contains(&name.to_owned()) {
                still_closed.push(name.to_owned());
            }
        }
        for _ in 0..SILENCE {
            bench.step(Some(reading_c))?;
        }
    }
    for _ in 0..SILENCE {
        bench.step(None)?;
    }
    let length = print_millis(SILENCE as Millis * recipe.interval_ms());
    Ok(if still_closed.is_empty() {
        let resting = bench.closed_roles().any(Role::is_of_room);
        let apart = if resting {
            ", but for the room's, which rest closed"
        } else {
            ""
        };
        format!("after {length} of silence everything is open{apart}")
    } else {
        format!(
            "but after {length} of silence still closed: {}",
            still_closed.join(", ")
        )
    })
}

pub(super) fn jumps_of_the_clock(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Found {
    let jumps_ms = [3 * HOUR, 30 * DAY, 7, -1, -HOUR];
    for jump_ms in jumps_ms {
        let mut bench = Bench::new(recipe, wiring)?;
        for part in [0, COURSE / 2] {
            for step in part..part + COURSE / 2 {
                bench.step(Some(course_c(step)))?;
            }
            bench.outage(jump_ms);
        }
    }
    Ok(format!("{} jumps, from 1 h back to 30 d ahead", jumps_ms.len()))
}

pub(super) fn any_reading(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Found {
    for odd_c in ODD_C {
        let mut bench = Bench::new(recipe, wiring)?;
        for step in 0..120 {
            let reading_c = if step % 3 == 0 { odd_c } else { course_c(step) };
            bench
                .step(Some(reading_c))
                .map_err(|why| format!("a reading of {odd_c} °C: {why}"))?;
        }
    }
    Ok(format!(
        "{} odd readings, infinite ones and none at all among them",
        ODD_C.len()
    ))
}

/// Every step on the bench looks; here the strategy goes through a whole course.
pub(super) fn known_contacts(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Found {
    let mut bench = Bench::new(recipe, wiring)?;
    let mut commands = 0;
    for step in 0..COURSE {
        bench.step(Some(course_c(step)))?;
        commands += bench.commands.list().len();
    }
    if commands == 0 {
        return Err(format!("it gives no command in {COURSE} decisions").into());
    }
    Ok(format!("{commands} commands in {COURSE} decisions"))
}

pub(super) fn minimum_times(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Found {
    let promised = recipe.minimum_times();
    let mut bench = Bench::new(recipe, wiring)?;
    for step in 0..3 * COURSE {
        bench.step(Some(course_c(step)))?;
    }
    let mut told = Vec::new();
    for (which, least_ms, word) in [(1, promised.closed_ms, "closed"), (0, promised.open_ms, "open")] {
        if least_ms == 0 {
            continue;
        }
        let stays = bench.shortest_ms.iter().zip(&wiring.contacts);
        let shortest = stays
            .filter_map(|(shortest_ms, contact)| Some((shortest_ms[which]?, contact)))
            .min_by_key(|(shortest_ms, _)| *shortest_ms);
        match shortest {
            Some((shortest_ms, contact)) if shortest_ms < least_ms => {
                return Err(format!(
                    "`{}` was {word} for {}; at least {} is declared",
                    contact.name,
                    print_millis(shortest_ms),
                    print_millis(least_ms)
                )
                .into());
            }
            Some((shortest_ms, _)) => {
                told.push(format!(
                    "{word} never for less than {} ({} declared)",
                    print_millis(shortest_ms),
                    print_millis(least_ms)
                ));
            }
            None => told.push(format!("never {word} between two changes")),
        }
    }
    if told.is_empty() {
        return Ok("it declares none".to_owned());
    }
    Ok(told.join(", "))
}

/// The water rests at every temperature around the target, up and down again, for long enough that minimum times and cycles are over.
///
/// A fight of heaters and fan holds the water and shows in nothing but electricity, so nobody finds it on a tank.
pub(super) fn heat_against_cooling(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Found {
    const AT_REST: usize = 180;
    const LOOKED_AT: usize = 60;
    const STEPS: i32 = 4;
    const STEP_K: f64 = 0.5;
    let mut bench = Bench::new(recipe, wiring)?;
    let (mut heats, mut cools) = (false, false);
    for level in (-STEPS..=STEPS).chain((-STEPS..STEPS).rev()) {
        let reading_c = TARGET_C + f64::from(level) * STEP_K;
        for step in 0..AT_REST {
            bench.step(Some(reading_c))?;
            let heating = bench.closed_roles().any(|role| role == Role::Heat);
            let cooling = bench.closed_roles().any(|role| role == Role::Cool);
            (heats, cools) = (heats || heating, cools || cooling);
            if step >= AT_REST - LOOKED_AT && heating && cooling {
                return Err(format!(
                    "with the water resting at {reading_c} °C, where its target is {TARGET_C} °C, heaters and cooling are on at once"
                )
                .into());
            }
        }
    }
    Ok(match (heats, cools) {
        (true, true) => format!(
            "never, with the water at rest up to {} K from its target",
            f64::from(STEPS) * STEP_K
        ),
        (true, false) => "it does not cool".to_owned(),
        (false, true) => "it does not heat".to_owned(),
        (false, false) => "it does neither".to_owned(),
    })
}

/// What one decision did: commands and alerts.
type Done = (Vec<Command>, Vec<String>);

/// Everything a strategy does in a course with a silence and an outage in it.
fn all_it_does(
    recipe: &dyn StrategyRecipe,
    wiring: &Wiring,
    steps: usize,
    wait: impl Fn(usize),
) -> Result<Vec<Done>, String> {
    let mut bench = Bench::new(recipe, wiring)?;
    (0..steps)
        .map(|step| {
            wait(step);
            if step == steps * 2 / 3 {
                bench.outage(2 * HOUR);
            }
            let silent = (steps / 3..steps / 3 + 20).contains(&step);
            bench.step((!silent).then(|| course_c(step * COURSE / steps)))?;
            Ok((bench.commands.list().to_vec(), bench.commands.alerts().to_vec()))
        })
        .collect()
}

pub(super) fn fresh_ones_alike(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Found {
    let first = all_it_does(recipe, wiring, COURSE, |_| {})?;
    let second = all_it_does(recipe, wiring, COURSE, |_| {})?;
    alike(&first, &second, "a second one")?;
    Ok(format!("the same commands in {COURSE} decisions"))
}

/// The second time whoever looks at the clock sees seconds go by between decisions.
pub(super) fn two_speeds(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Found {
    const STEPS: usize = 150;
    let quick = all_it_does(recipe, wiring, STEPS, |_| {})?;
    let slow = all_it_does(recipe, wiring, STEPS, |step| {
        let wait_ms = if step == STEPS / 4 {
            1200
        } else {
            2 + step as u64 % 5
        };
        std::thread::sleep(Duration::from_millis(wait_ms));
    })?;
    alike(&quick, &slow, "at a slower pace it").map_err(|why| format!("{why}; does it look at a clock?"))?;
    Ok("the same commands, at once and with pauses of up to 1.2 s".to_owned())
}

fn alike(first: &[Done], second: &[Done], who: &str) -> Result<(), String> {
    match first.iter().zip(second).position(|(one, other)| one != other) {
        None => Ok(()),
        Some(step) => Err(format!("{who} decides otherwise from decision {} on", step + 1)),
    }
}

/// The roles of contacts that the strategy ever closes.
pub(super) fn roles_closed(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Result<Vec<Role>, String> {
    let mut bench = Bench::new(recipe, wiring)?;
    let mut roles = Vec::new();
    for step in 0..COURSE {
        bench.step(Some(course_c(step)))?;
        for role in bench.closed_roles() {
            if !roles.contains(&role) {
                roles.push(role);
            }
        }
    }
    Ok(roles)
}
