//! Failures by hazard: the instant, or the closing, at which a life is over.

use crate::noise::Stream;
use crate::scenario::{Counted, Happening, When};
use crate::scores::DAYS_PER_YEAR_D;
use crate::time::{DAY, Millis};

/// Later than any run, ms. A choice: a hundred thousand years and more. Valid for runs of up to 3660 days, the longest that a file may ask for.
const LATEST_MS: f64 = 4e15;

/// What a seed and replicate make of lives: every failure by hazard becomes one at an instant or at a closing. The draw belongs to the happening's
/// name (and place among those of one name), so that it stays the same whatever else happens and whoever controls.
pub(super) fn resolved(happenings: Vec<Happening>, seed: u64, replicate: u64) -> Vec<Happening> {
    let mut resolved: Vec<Happening> = Vec::with_capacity(happenings.len());
    for happening in happenings {
        let When::Hazard(hazard) = happening.when else {
            resolved.push(happening);
            continue;
        };
        let same_name = resolved.iter().filter(|earlier| earlier.name == happening.name);
        let index = i64::try_from(same_name.count()).unwrap_or(i64::MAX);
        let left = hazard.left(Stream::new(seed, replicate, &happening.name, "life").uniform(index));
        let when = match hazard.counted {
            Counted::Years => {
                When::At((left * DAYS_PER_YEAR_D * DAY as f64).min(LATEST_MS).round() as Millis)
            }
            Counted::Closings(contact) => When::Closing {
                contact,
                nth: left.ceil().clamp(1.0, f64::from(u32::MAX)) as u32,
                from_ms: 0,
            },
        };
        resolved.push(Happening { when, ..happening });
    }
    resolved
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::ContactId;
    use crate::scenario::{Effect, Hazard, Lasts, Life, Origin};

    fn by(life: Life, counted: Counted) -> Happening {
        Happening {
            name: "relay welded".to_owned(),
            when: When::Hazard(Hazard {
                life,
                counted,
                age: 0.0,
            }),
            lasts: Lasts::ToTheEnd,
            effect: Effect::ContactWelded(ContactId(0)),
            origin: Origin::Fault,
        }
    }

    fn struck(happening: &Happening, replicate: u64) -> When {
        resolved(vec![happening.clone()], 7, replicate)[0].when
    }

    #[test]
    fn a_rate_of_one_a_year_strikes_63_of_100_replicates_within_the_first() {
        let yearly = by(Life::exponential(1.0), Counted::Years);
        let year_ms = (DAYS_PER_YEAR_D * DAY as f64) as Millis;
        let struck = (0..10_000)
            .filter(|replicate| matches!(struck(&yearly, *replicate), When::At(at_ms) if at_ms <= year_ms))
            .count();
        // 1 − 1/e of ten thousand, within four standard deviations of 48.
        assert!(struck.abs_diff(6321) < 4 * 48, "{struck}");
    }

    #[test]
    fn a_life_in_closings_ends_at_a_closing_of_its_contact() {
        let contact = ContactId(3);
        let life = Life {
            characteristic: 1000.0,
            shape: 2.0,
        };
        let worn = by(life, Counted::Closings(contact));
        let total: u64 = (0..4000)
            .map(|replicate| match struck(&worn, replicate) {
                When::Closing { contact: of, nth, .. } if of == contact => u64::from(nth),
                other => panic!("{other:?}"),
            })
            .sum();
        // The mean of the closed form and half a closing for rounding up; its standard error is 463/√4000 = 7.3.
        assert!((total as f64 / 4000.0 - life.mean() - 0.5).abs() < 4.0 * 7.3);
    }

    #[test]
    fn two_parts_of_one_name_do_not_fail_together() {
        let yearly = by(Life::exponential(1.0), Counted::Years);
        let both = resolved(vec![yearly.clone(), yearly], 7, 0);
        assert_ne!(both[0].when, both[1].when);
    }
}
