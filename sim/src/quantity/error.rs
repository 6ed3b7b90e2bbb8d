//! What can be wrong with a quantity, and where in its text.

use std::ops::Range;

use super::Kind;

/// A text is not the quantity that was expected.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{problem}")]
pub struct QuantityError {
    /// What was expected.
    pub kind: Kind,
    /// Where in the text, in bytes.
    pub span: Range<usize>,
    /// What is wrong there.
    pub problem: QuantityProblem,
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityProblem {
    /// Nothing is there.
    #[error("nothing is written here")]
    Empty,
    /// No number where one belongs.
    #[error("`{found}` is not a number")]
    NotANumber {
        /// What stands there.
        found: String,
    },
    /// A decimal comma or a thousands separator.
    #[error("`{found}` has a comma; write a point for decimals and no separator for thousands")]
    Comma {
        /// What stands there.
        found: String,
    },
    /// Infinite, not a number, or too large to be represented.
    #[error("`{found}` is not a finite number")]
    NotFinite {
        /// What stands there.
        found: String,
    },
    /// A bare number.
    #[error("`{number}` has no unit")]
    NoUnit {
        /// The number.
        number: String,
    },
    /// A word that is no unit at all.
    #[error("`{found}` is not a unit")]
    UnknownUnit {
        /// The number before it.
        number: String,
        /// What stands there.
        found: String,
    },
    /// A unit of another kind.
    #[error("`{unit}` is a unit of {}, not of {}", other.words(), expected.words())]
    WrongKind {
        /// The number before it.
        number: String,
        /// The unit.
        unit: String,
        /// The kind it belongs to.
        other: Kind,
        /// The kind that was expected.
        expected: Kind,
    },
    /// Units of a compound that do not descend, or more than one number where one belongs.
    #[error("`{found}` does not belong here")]
    Trailing {
        /// What stands there.
        found: String,
    },
    /// Not a time of day.
    #[error("`{found}` is not a time of day")]
    NotATimeOfDay {
        /// What stands there.
        found: String,
    },
    /// Not a moment of the run.
    #[error("`{found}` is not a moment of the run")]
    NotAMoment {
        /// What stands there.
        found: String,
    },
    /// Not a day of the year.
    #[error("`{found}` is not a day of the year")]
    NotADay {
        /// What stands there.
        found: String,
    },
    /// A specific gravity without its reference temperatures, or one that no water has.
    #[error("{why}")]
    SpecificGravity {
        /// Why, in words.
        why: String,
    },
}

impl QuantityError {
    pub(super) fn new(kind: Kind, span: Range<usize>, problem: QuantityProblem) -> Self {
        Self { kind, span, problem }
    }
}
