//! People whom alerts reach: when they hear, when they are at home, and how long they take.
//!
//! # Equation
//! Somebody told at t hears it at t, or at the end of quiet hours; sets out a response time later; and is at the tank then, or when next at
//! home. The response time is lognormal: T = m · s^z with the median m, the spread s and z standard normal, so that 68 % of all responses lie
//! between m / s and m · s.
//!
//! # Units
//! ms; the spread is a factor.
//!
//! # Source
//! That response times are skewed to the right and near lognormal is common practice, no source. Medians and spreads are statements of a file.
//!
//! # Valid for
//! One person at a time; whoever comes first acts.
//!
//! # Left out
//! People who do not believe an alert, and who forget what they have heard.
//!
//! # Checked by
//! The tests of `run/people.rs`; `tests/behaviour/alerts`.

use super::{ActKind, DailyHours};
use crate::time::Millis;

/// Somebody whom alerts reach.
#[derive(Debug, Clone, PartialEq)]
pub struct Person {
    /// Name, unique among people.
    pub name: String,
    /// When they can be at the tank; `None`: at any hour.
    pub at_home: Option<DailyHours>,
    /// When they are away for days, from and to, ms.
    pub away: Vec<(Millis, Millis)>,
    /// When they hear no alert; it waits until then.
    pub quiet: Option<DailyHours>,
    /// How long they take; the first whose hours hold counts, without one they never answer.
    pub responses: Vec<Response>,
    /// What they can do; `None`: everything.
    pub can: Option<Vec<ActKind>>,
}

/// How long somebody takes from hearing an alert to setting to work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Response {
    /// At which hours it holds; `None`: at any.
    pub hours: Option<DailyHours>,
    /// The time.
    pub time: ResponseTime,
}

/// A response time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ResponseTime {
    /// They do not answer.
    Never,
    /// Lognormal.
    Lognormal {
        /// Half of all are shorter, ms.
        median_ms: Millis,
        /// 68 % lie within this factor of the median, ≥ 1; 1 = always the median.
        spread: f64,
    },
}

impl ResponseTime {
    /// The response time at a standard normal deviate, ms; `None`: never.
    #[must_use]
    pub fn at_deviate_ms(self, deviate: f64) -> Option<Millis> {
        match self {
            Self::Never => None,
            Self::Lognormal { median_ms, spread } => {
                let factor = libm::exp(deviate * libm::log(spread));
                Some(libm::round(median_ms as f64 * factor) as Millis)
            }
        }
    }
}

impl Person {
    /// Somebody of whom nothing is known but the name: hears at any hour, is at home, takes no time.
    #[must_use]
    pub fn at_hand(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            at_home: None,
            away: Vec::new(),
            quiet: None,
            responses: vec![Response {
                hours: None,
                time: ResponseTime::Lognormal {
                    median_ms: 0,
                    spread: 1.0,
                },
            }],
            can: None,
        }
    }

    /// When they hear an alert that is sent at an instant, ms.
    #[must_use]
    pub fn hears_at_ms(&self, told_ms: Millis) -> Millis {
        match self.quiet {
            Some(quiet) if quiet.holds(told_ms) => quiet.next_change_ms(told_ms),
            _ => told_ms,
        }
    }

    /// How long they take where they hear of it at an instant, ms, at a standard normal deviate; `None`: they never answer.
    #[must_use]
    pub fn response_ms(&self, heard_ms: Millis, deviate: f64) -> Option<Millis> {
        let holds = |response: &&Response| response.hours.is_none_or(|hours| hours.holds(heard_ms));
        let response = self.responses.iter().find(holds)?;
        response.time.at_deviate_ms(deviate)
    }

    /// The first instant from `from_ms` on at which they can be at the tank, ms.
    #[must_use]
    pub fn at_the_tank_ms(&self, from_ms: Millis) -> Millis {
        let mut at_ms = from_ms;
        loop {
            let before_ms = at_ms;
            for (left_ms, back_ms) in &self.away {
                if (*left_ms..*back_ms).contains(&at_ms) {
                    at_ms = *back_ms;
                }
            }
            if let Some(hours) = self.at_home.filter(|hours| !hours.holds(at_ms)) {
                at_ms = hours.next_change_ms(at_ms);
            }
            if at_ms == before_ms {
                return at_ms;
            }
        }
    }

    /// Whether they can do this.
    #[must_use]
    pub fn can_do(&self, kind: ActKind) -> bool {
        self.can.as_ref().is_none_or(|can| can.contains(&kind))
    }
}
