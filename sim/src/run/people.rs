//! Who hears an alert when, and who is at the tank first.
//!
//! Everything is drawn and decided when the alert gets out, each person's response by (seed, replicate, person, watch, how many alerts of that
//! watch went before), so that strategies compared meet the same people in the same mood. Whoever comes acts only if the watch's rule still
//! holds then.

use crate::ids::PersonId;
use crate::noise::Stream;
use crate::scenario::{ActsBy, Person, Scenario, Watch};
use crate::time::Millis;

/// All people of a run, and what they are about to do.
#[derive(Debug, Clone)]
pub(super) struct People {
    persons: Vec<Person>,
    seed: u64,
    replicate: u64,
    due: Vec<Due>,
}

/// Something that is due at a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Due {
    pub(super) at_ms: Millis,
    /// The watch it is about.
    pub(super) watch: usize,
    pub(super) what: DueWhat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DueWhat {
    /// Somebody hears of it.
    Heard(PersonId),
    /// An act of the watch, by position, is done: by somebody, or by itself.
    Acts { act: usize, by: Option<PersonId> },
}

impl People {
    pub(super) fn new(scenario: &Scenario, seed: u64, replicate: u64) -> Self {
        Self {
            persons: scenario.persons.clone(),
            seed,
            replicate,
            due: Vec::new(),
        }
    }

    pub(super) fn name(&self, person: PersonId) -> &str {
        &self.persons[person.0].name
    }

    /// The n-th alert of a watch gets out now.
    pub(super) fn told(&mut self, now_ms: Millis, at: usize, watch: &Watch, nth: i64) {
        let mut coming: Vec<(Millis, PersonId)> = Vec::new();
        for (position, id) in watch.reaches.iter().enumerate() {
            let told_ms = now_ms + watch.passed_on_ms.unwrap_or(0) * position as Millis;
            let somebody_is_there = coming.iter().any(|(there_ms, _)| *there_ms <= told_ms);
            if watch.passed_on_ms.is_some() && somebody_is_there {
                break;
            }
            let person = &self.persons[id.0];
            let heard_ms = person.hears_at_ms(told_ms);
            self.due.push(Due {
                at_ms: heard_ms,
                watch: at,
                what: DueWhat::Heard(*id),
            });
            let purpose = format!("response to {}", watch.name);
            let deviate = Stream::new(self.seed, self.replicate, &person.name, &purpose).normal(nth);
            if let Some(response_ms) = person.response_ms(heard_ms, deviate) {
                coming.push((person.at_the_tank_ms(heard_ms + response_ms), *id));
            }
        }
        coming.sort_by_key(|(there_ms, _)| *there_ms);
        for (act, wanted) in watch.acts.iter().enumerate() {
            let can = |(_, id): &&(Millis, PersonId)| self.persons[id.0].can_do(wanted.kind);
            if wanted.by == ActsBy::People
                && let Some((there_ms, id)) = coming.iter().find(can)
            {
                self.due.push(Due {
                    at_ms: there_ms + wanted.after_ms,
                    watch: at,
                    what: DueWhat::Acts { act, by: Some(*id) },
                });
            }
        }
    }

    /// A watch acts by itself.
    pub(super) fn acts_itself(&mut self, now_ms: Millis, at: usize, watch: &Watch) {
        for (act, wanted) in watch.acts.iter().enumerate() {
            if wanted.by == ActsBy::Itself {
                self.due.push(Due {
                    at_ms: now_ms + wanted.after_ms,
                    watch: at,
                    what: DueWhat::Acts { act, by: None },
                });
            }
        }
    }

    /// The next instant at which somebody hears or does something.
    pub(super) fn next_ms(&self) -> Option<Millis> {
        self.due.iter().map(|due| due.at_ms).min()
    }

    /// What is due by now, in the order in which it was decided.
    pub(super) fn take_due(&mut self, now_ms: Millis) -> Vec<Due> {
        self.due.extract_if(.., |due| due.at_ms <= now_ms).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::ResponseTime;
    use crate::time::MINUTE;

    /// The closed form of a lognormal distribution: the share of responses that are shorter, by libm's erfc.
    fn shorter_frac(time_ms: f64, median_ms: f64, spread: f64) -> f64 {
        let z = libm::log(time_ms / median_ms) / libm::log(spread);
        0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
    }

    #[test]
    fn response_times_follow_the_lognormal_distribution_at_every_quantile() {
        let (median_ms, spread) = (20 * MINUTE, 2.5);
        let time = ResponseTime::Lognormal { median_ms, spread };
        let stream = Stream::new(7, 0, "keeper", "response to too warm");
        let count = 40_000_i64;
        let times: Vec<Millis> = (0..count)
            .filter_map(|index| time.at_deviate_ms(stream.normal(index)))
            .collect();
        assert_eq!(times.len(), count as usize);
        for minutes in [2, 5, 10, 20, 40, 80, 160] {
            let line_ms = minutes * MINUTE;
            let shorter = times.iter().filter(|time_ms| **time_ms < line_ms).count();
            let expected = shorter_frac(line_ms as f64, median_ms as f64, spread);
            let found = shorter as f64 / count as f64;
            // Four standard errors of a share.
            let allowed = 4.0 * (expected * (1.0 - expected) / count as f64).sqrt();
            assert!(
                (found - expected).abs() < allowed,
                "{minutes} min: {found} and {expected}"
            );
        }
    }

    #[test]
    fn a_spread_of_one_is_always_the_median() {
        let time = ResponseTime::Lognormal {
            median_ms: 20 * MINUTE,
            spread: 1.0,
        };
        assert_eq!(time.at_deviate_ms(-3.0), Some(20 * MINUTE));
        assert_eq!(time.at_deviate_ms(3.0), Some(20 * MINUTE));
        assert_eq!(ResponseTime::Never.at_deviate_ms(0.0), None);
    }
}
