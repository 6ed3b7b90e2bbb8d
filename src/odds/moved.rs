//! How the answer moves when assumed lives move.

use tepid_output::records::{Chance, OddsMoved};
use tepid_sim::scenario::{Effect, Fails, PartLife};
use tepid_sim::time::{DAY, HOUR, Millis};

/// Lives are moved by this factor either way: data sheets of one kind of switch differ by as much (`relay_life.csv` of the reference data).
const FACTOR: f64 = 3.0;

/// Shares of worn contacts that weld. No source was found for any.
const WELDS_FRAC: [(f64, &str); 2] = [(0.2, "20 %"), (0.8, "80 %")];

/// How soon everything but the mains is replaced once somebody knows.
const REPLACED: [(Millis, &str); 2] = [(6 * HOUR, "after 6 h"), (3 * DAY, "after 3 d")];

/// How often everything is tested.
const TESTED: [(Option<Millis>, &str); 3] = [
    (Some(30 * DAY), "every 30 d"),
    (Some(365 * DAY), "every year"),
    (None, "never"),
];

/// The same parts with other figures.
pub(super) struct Way {
    what: String,
    how: &'static str,
    pub(super) lives: Vec<PartLife>,
}

impl Way {
    pub(super) fn told(self, chance: Chance) -> OddsMoved {
        OddsMoved {
            what: self.what,
            how: self.how.to_owned(),
            chance,
        }
    }
}

/// All ways tried.
pub(super) fn ways(lives: &[PartLife]) -> Vec<Way> {
    let mut ways = Vec::new();
    let changed = |change: &dyn Fn(&mut PartLife)| {
        let mut lives = lives.to_vec();
        lives.iter_mut().for_each(change);
        lives
    };
    let mut kinds: Vec<&str> = Vec::new();
    for kind in lives.iter().map(|life| life.kind.as_str()) {
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    for kind in kinds {
        for (factor, how) in [(1.0 / FACTOR, "a third as long"), (FACTOR, "three times as long")] {
            ways.push(Way {
                what: format!("lives: {kind}"),
                how,
                lives: changed(&|one| {
                    if one.kind == kind {
                        one.hazard.life = one.hazard.life.times(factor);
                    }
                }),
            });
        }
    }
    if lives
        .iter()
        .any(|one| matches!(one.fails, Fails::Contacts { .. }))
    {
        for (share, how) in WELDS_FRAC {
            ways.push(Way {
                what: "failed contacts that weld".to_owned(),
                how,
                lives: changed(&|one| {
                    if let Fails::Contacts { welds_frac, .. } = &mut one.fails {
                        *welds_frac = share;
                    }
                }),
            });
        }
    }
    for (after_ms, how) in REPLACED {
        ways.push(Way {
            what: "replaced once it shows".to_owned(),
            how,
            lives: changed(&|one| {
                if one.fails != Fails::By(Effect::PowerOut) {
                    one.replaced_after_ms = after_ms;
                }
            }),
        });
    }
    for (every_ms, how) in TESTED {
        ways.push(Way {
            what: "everything tested".to_owned(),
            how,
            lives: changed(&|one| one.tested_every_ms = every_ms),
        });
    }
    ways
}
