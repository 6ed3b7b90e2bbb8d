//! How long parts last.
//!
//! # Equation
//! ```text
//! S(t) = e^(−(t/η)^β)                                   share that is still alive at t
//! t(p) = η (−ln(1 − p))^(1/β)                           by when a share p has failed
//! t(p | a) = η ((a/η)^β − ln(1 − p))^(1/β)              the same of those that reached age a
//! mean = η Γ(1 + 1/β)
//! ```
//! Weibull; with β = 1 it is the exponential of rate 1/η, which knows no age.
//!
//! # Units
//! η, t and a alike: years, or closings of a contact ([`Counted`]). p and β unitless.
//!
//! # Source
//! W. Weibull, Journal of Applied Mechanics 18 (1951) 293–297 (from memory).
//!
//! # Valid for
//! Any positive η and β.
//!
//! # Left out
//! Early failures beside wear-out in one part (a bathtub): state two lives.
//!
//! # Checked by
//! `tests/verification/failure_quantiles.rs` against scipy.

use crate::ids::{CircuitId, ContactId};
use crate::scenario::Effect;
use crate::time::Millis;

/// A distribution of lives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Life {
    /// Characteristic life η > 0: 63 % have failed by then.
    pub characteristic: f64,
    /// Shape β > 0: 1 = chance alone, above 1 = wear-out.
    pub shape: f64,
}

impl Life {
    /// Failures by chance alone, at this rate per unit of life.
    #[must_use]
    pub fn exponential(rate: f64) -> Self {
        Self {
            characteristic: 1.0 / rate,
            shape: 1.0,
        }
    }

    /// By when a share `p` in (0, 1) of new ones has failed.
    #[must_use]
    pub fn quantile(self, p: f64) -> f64 {
        self.quantile_from_age(p, 0.0)
    }

    /// The age by which a share `p` in (0, 1) of those that reached `age` ≥ 0 has failed.
    #[must_use]
    pub fn quantile_from_age(self, p: f64, age: f64) -> f64 {
        let reached = libm::pow(age / self.characteristic, self.shape);
        self.characteristic * libm::pow(reached - libm::log1p(-p), 1.0 / self.shape)
    }

    /// Mean life of new ones.
    #[must_use]
    pub fn mean(self) -> f64 {
        self.characteristic * libm::tgamma(1.0 + 1.0 / self.shape)
    }

    /// The same, this many times as long.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self {
            characteristic: self.characteristic * factor,
            ..self
        }
    }
}

/// What a life is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counted {
    /// Years.
    Years,
    /// Closings of this contact.
    Closings(ContactId),
}

/// A life, what it is counted in, and how much of it is over at time zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hazard {
    /// How long such parts last.
    pub life: Life,
    /// In what.
    pub counted: Counted,
    /// How old it is at time zero, ≥ 0.
    pub age: f64,
}

impl Hazard {
    /// What is left of it at time zero, for a uniform number in (0, 1).
    #[must_use]
    pub fn left(&self, uniform: f64) -> f64 {
        (self.life.quantile_from_age(uniform, self.age) - self.age).max(0.0)
    }
}

/// What fails when a part's life is over.
#[derive(Debug, Clone, PartialEq)]
pub enum Fails {
    /// A contact, or all of one box at once: they weld, or they stay open.
    Contacts {
        /// The contacts.
        contacts: Vec<ContactId>,
        /// Share of failures that weld, 0..=1.
        welds_frac: f64,
    },
    /// A breaker or residual-current device: it cannot trip any more, or it trips for nothing.
    Guard {
        /// Which.
        guard: Guard,
        /// Share of failures after which it cannot trip, 0..=1.
        cannot_trip_frac: f64,
    },
    /// Something else.
    By(Effect),
    /// No alert gets out any more.
    Alerts,
}

/// Where a breaker or residual-current device sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Guard {
    /// It is a contact of chains.
    Contact(ContactId),
    /// It guards a circuit.
    Circuit(CircuitId),
}

/// The life of one part, and what is done about its end: for studies that reckon with years.
#[derive(Debug, Clone, PartialEq)]
pub struct PartLife {
    /// The part's name: "relay left".
    pub part: String,
    /// What kind of part, in the words of `[[life]]`: "relay".
    pub kind: String,
    /// What fails.
    pub fails: Fails,
    /// When.
    pub hazard: Hazard,
    /// A failure that shows nothing is looked for this often, ms; `None`: never.
    pub tested_every_ms: Option<Millis>,
    /// Share of tests that find it, 0..=1.
    pub test_finds_frac: f64,
    /// From the moment it shows, or a test finds it, to the part's replacement, ms, ≥ 0.
    pub replaced_after_ms: Millis,
    /// Where the figures come from, or that they are assumed.
    pub source: String,
}
