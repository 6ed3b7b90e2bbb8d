//! A figure, and what it should be.

use std::fmt;
use std::time::{Duration, Instant};

/// One line of the table.
#[derive(Debug)]
pub(crate) struct Row {
    pub(crate) what: String,
    reached: String,
    target: Option<Target>,
}

#[derive(Debug)]
struct Target {
    text: String,
    reached: f64,
    limit: f64,
    wanted: Wanted,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wanted {
    AtMost,
    AtLeast,
}

impl Row {
    /// A figure that nothing is asked of.
    pub(crate) fn told(what: impl Into<String>, reached: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            reached: reached.into(),
            target: None,
        }
    }

    /// Asks that `value` be at most this, both in `unit`.
    pub(crate) fn at_most(self, value: f64, limit: f64, unit: &str) -> Self {
        self.wanting(value, limit, unit, Wanted::AtMost)
    }

    /// Asks that `value` be at least this, both in `unit`.
    pub(crate) fn at_least(self, value: f64, limit: f64, unit: &str) -> Self {
        self.wanting(value, limit, unit, Wanted::AtLeast)
    }

    fn wanting(mut self, reached: f64, limit: f64, unit: &str, wanted: Wanted) -> Self {
        let sign = match wanted {
            Wanted::AtMost => "≤",
            Wanted::AtLeast => "≥",
        };
        self.target = Some(Target {
            text: format!("{sign} {limit} {unit}"),
            reached,
            limit,
            wanted,
        });
        self
    }

    /// Whether it has a target and is not there.
    pub(crate) fn falls_short(&self) -> bool {
        self.target.as_ref().is_some_and(|target| match target.wanted {
            Wanted::AtMost => target.reached > target.limit,
            Wanted::AtLeast => target.reached < target.limit,
        })
    }
}

impl fmt::Display for Row {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{:<52} {:>44}", self.what, self.reached)?;
        let Some(target) = &self.target else {
            return Ok(());
        };
        write!(formatter, "   {:<14}", target.text)?;
        if self.falls_short() {
            let times = match target.wanted {
                Wanted::AtMost => target.reached / target.limit,
                Wanted::AtLeast => target.limit / target.reached,
            };
            write!(formatter, " short by {times:.2} times")
        } else {
            write!(formatter, " reached")
        }
    }
}

/// The quickest of some rounds, s.
pub(crate) fn quickest_s(rounds: u32, mut work: impl FnMut()) -> f64 {
    let mut quickest = Duration::MAX;
    for _ in 0..rounds {
        let begun = Instant::now();
        work();
        quickest = quickest.min(begun.elapsed());
    }
    quickest.as_secs_f64()
}
