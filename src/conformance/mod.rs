//! One suite for every strategy, built-in, script, program or one's own in Rust: does it bear what happens to a controller?
//!
//! [`conformance`] fills the record; a test of one's own asks [`Conformance::failures`]. The strategy is tried on a bench (readings
//! that are made up, commands that are looked at) and on a tank of the library.

mod bench;
mod checks;
mod settling;

use std::panic::{AssertUnwindSafe, catch_unwind};

use tepid_output::records::{Check, CheckVerdict, Conformance, FORMAT_VERSION, RecordKind};
use tepid_sim::strategy::{StrategyRecipe, Wiring};
use tepid_strategies::program::NO_ANSWER;

use bench::bench_wiring;

/// What a check finds: what was seen, where it holds; what is wrong, where it does not.
type Found = Result<String, NotHeld>;

/// Why a check does not hold.
#[derive(Debug)]
enum NotHeld {
    /// It fails, and how.
    Fails(String),
    /// It could not be tried, and why.
    NotTried(String),
}

impl From<String> for NotHeld {
    fn from(why: String) -> Self {
        Self::Fails(why)
    }
}

/// A check: what must hold, in words, and how it is tried.
type Tried<'a> = (&'static str, &'a dyn Fn() -> Found);

/// Tries a strategy in every way; `name` is what it is called.
#[must_use]
pub fn conformance(name: &str, recipe: &dyn StrategyRecipe) -> Conformance {
    let wiring = bench_wiring(recipe);
    let on_bench = |check: fn(&dyn StrategyRecipe, &Wiring) -> Found| {
        let wiring = wiring.as_ref().map_err(|why| NotHeld::NotTried(why.clone()))?;
        check(recipe, wiring)
    };
    let checks: [Tried<'_>; 10] = [
        ("applies to a tank with all it may need", &|| match &wiring {
            Ok(wiring) => Ok(format!("it does, among {} contacts", wiring.contacts.len())),
            Err(why) => Err(NotHeld::Fails(why.clone())),
        }),
        ("survives absent readings", &|| on_bench(checks::absent_readings)),
        ("survives outages and a clock set back", &|| {
            on_bench(checks::jumps_of_the_clock)
        }),
        ("survives any reading, finite or not", &|| {
            on_bench(checks::any_reading)
        }),
        ("commands only what it may", &|| on_bench(checks::known_contacts)),
        ("keeps its declared minimum times", &|| {
            on_bench(checks::minimum_times)
        }),
        ("never heats and cools at once", &|| {
            on_bench(checks::heat_against_cooling)
        }),
        ("decides like another fresh one", &|| {
            on_bench(checks::fresh_ones_alike)
        }),
        ("decides the same at two speeds", &|| on_bench(checks::two_speeds)),
        ("settles in the reference tank", &|| {
            on_bench(|recipe, wiring| settling::settles(recipe, &checks::roles_closed(recipe, wiring)?))
        }),
    ];
    Conformance {
        format: RecordKind::Conformance,
        version: FORMAT_VERSION,
        strategy: name.to_owned(),
        settings: recipe.settings(),
        checks: told_once(one_after_another(&checks)),
    }
}

/// Tries the checks until one finds that there is no answer: in each further one somebody would sit and wait for nothing.
fn one_after_another(checks: &[Tried<'_>]) -> Vec<Check> {
    let mut done: Vec<Check> = Vec::new();
    for one in checks {
        let silent = done.iter().find(|check| check.reason.contains(NO_ANSWER));
        let next = match silent {
            None => tried(one),
            Some(silent) => Check {
                check: one.0.to_owned(),
                verdict: CheckVerdict::NotTried,
                reason: format!("it gave no answer to \"{}\"", silent.check),
            },
        };
        done.push(next);
    }
    done
}

/// A mistake that ends one check ends others too, before they see what they look for: it is told where it shows first.
fn told_once(mut checks: Vec<Check>) -> Vec<Check> {
    let mut told: Vec<(String, String)> = Vec::new();
    for check in checks
        .iter_mut()
        .filter(|check| check.verdict == CheckVerdict::Fails)
    {
        let mistake = without_figures(&check.reason);
        match told.iter().find(|(known, _)| *known == mistake) {
            Some((_, first)) => {
                check.verdict = CheckVerdict::NotTried;
                check.reason = format!("the mistake of \"{first}\" ends it before");
            }
            None => told.push((mistake, check.check.clone())),
        }
    }
    checks
}

/// What went wrong, without when it did and with which figures.
fn without_figures(reason: &str) -> String {
    let what = reason.rsplit_once(" h: ").map_or(reason, |(_, what)| what);
    what.chars()
        .filter(|c| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '`')))
        .collect()
}

fn tried((check, try_it): &Tried<'_>) -> Check {
    let found = catch_unwind(AssertUnwindSafe(try_it)).unwrap_or_else(|panic| {
        let said = panic
            .downcast_ref::<String>()
            .map(String::as_str)
            .or_else(|| panic.downcast_ref::<&str>().copied());
        Err(NotHeld::Fails(format!(
            "it panicked: {}",
            said.unwrap_or("without a word")
        )))
    });
    let (verdict, reason) = match found {
        Ok(seen) => (CheckVerdict::Holds, seen),
        Err(NotHeld::Fails(why)) => (CheckVerdict::Fails, why),
        Err(NotHeld::NotTried(why)) => (CheckVerdict::NotTried, why),
    };
    Check {
        check: (*check).to_owned(),
        verdict,
        reason,
    }
}
