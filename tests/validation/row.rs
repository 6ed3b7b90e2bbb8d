//! One figure from outside beside what the program says of it.

use std::fmt;

/// From one value to another; both the same where there is only one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    pub from: f64,
    pub to: f64,
}

impl Span {
    /// A single value.
    pub fn at(value: f64) -> Self {
        Self {
            from: value,
            to: value,
        }
    }

    /// Between two values, in any order.
    pub fn between(a: f64, b: f64) -> Self {
        Self {
            from: a.min(b),
            to: a.max(b),
        }
    }

    /// From the smallest to the largest of some values.
    pub fn of(values: impl IntoIterator<Item = f64>) -> Self {
        let (from, to) = values
            .into_iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), value| {
                (from.min(value), to.max(value))
            });
        assert!(from <= to, "a span of nothing");
        Self { from, to }
    }

    /// Whether `other` lies wholly in it.
    pub fn holds(self, other: Self) -> bool {
        self.from <= other.from && other.to <= self.to
    }

    /// Whether they have a value in common.
    pub fn meets(self, other: Self) -> bool {
        self.from <= other.to && other.from <= self.to
    }

    /// How far `other` lies beyond it; 0 where they meet, negative below.
    pub fn distance_to(self, other: Self) -> f64 {
        if other.from > self.to {
            other.from - self.to
        } else if other.to < self.from {
            other.to - self.from
        } else {
            0.0
        }
    }
}

impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (from, to) = (figure(self.from), figure(self.to));
        if from == to {
            f.pad(&from)
        } else {
            f.pad(&format!("{from} to {to}"))
        }
    }
}

/// Three figures or whole numbers.
pub fn figure(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 100.0 => 0,
        size if size >= 10.0 => 1,
        size if size >= 1.0 => 2,
        _ => 3,
    };
    let text = format!("{value:.decimals$}");
    let short = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if short == "-0" { "0" } else { short }.to_owned()
}

/// Where a figure from outside comes from, and so what it is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Told {
    /// Read off an instrument.
    Measured,
    /// Told by a keeper or a shop, without a record.
    Reported,
    /// Worked out by hand or by a small lumped model: a second opinion, not a measurement.
    ByHand,
    /// Printed in a paper or handbook.
    Published,
    /// A relation that must hold by arithmetic.
    Relation,
}

impl fmt::Display for Told {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Measured => "measured",
            Self::Reported => "reported",
            Self::ByHand => "by hand",
            Self::Published => "published",
            Self::Relation => "relation",
        })
    }
}

/// What the source allows one to ask.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Asked {
    /// The span over what is not known must hold the figure.
    SpanHoldsFigure,
    /// The prediction must lie in the range.
    LiesInRange,
    /// Both are ranges: they must meet.
    RangesMeet,
    /// It must come as near as this, in the row's unit; where the prediction is a span, all of it.
    Within(f64),
    /// It does not come out, and the remark says why: the row fails as soon as it does.
    KnownMiss,
}

/// One row of the table.
#[derive(Debug, Clone)]
pub struct Row {
    /// The case: what was looked at.
    pub case: &'static str,
    /// The quantity.
    pub quantity: String,
    /// Unit of all figures.
    pub unit: &'static str,
    /// What kind of figure the outside one is.
    pub told: Told,
    /// Its source.
    pub source: &'static str,
    /// The figure from outside.
    pub outside: Span,
    /// What the program says.
    pub predicted: Span,
    /// What is asked.
    pub asked: Asked,
    /// Why it misses, or what the comparison rests on.
    pub remark: &'static str,
}

/// A keeper's public report, retold; names are not given.
pub const KEEPER: &str = "a keeper's public report";

impl Row {
    /// Whether what is asked holds; a known miss must miss.
    pub fn is_as_stated(&self) -> bool {
        match self.asked {
            Asked::SpanHoldsFigure => self.predicted.holds(self.outside),
            Asked::LiesInRange => self.outside.holds(self.predicted),
            Asked::RangesMeet => self.outside.meets(self.predicted),
            Asked::Within(tolerance) => {
                let near = Span::between(self.outside.from - tolerance, self.outside.to + tolerance);
                near.holds(self.predicted)
            }
            Asked::KnownMiss => !self.outside.meets(self.predicted),
        }
    }

    /// Signed distance from the outside figure to the prediction; 0 where they meet.
    pub fn residual(&self) -> f64 {
        self.outside.distance_to(self.predicted)
    }

    /// Holds, misses, or does not do what was stated of it.
    pub fn verdict(&self) -> &'static str {
        match (self.is_as_stated(), self.asked) {
            (true, Asked::KnownMiss) => "misses",
            (true, _) => "holds",
            (false, Asked::KnownMiss) => "HOLDS NOW",
            (false, _) => "FAILS",
        }
    }

    /// The row in a line, for whom it concerns that it is not as stated.
    pub fn complaint(&self) -> String {
        format!(
            "{}, {}: {} {} {} beside {} predicted ({:?})",
            self.case, self.quantity, self.outside, self.unit, self.told, self.predicted, self.asked
        )
    }
}

#[test]
fn a_span_knows_what_lies_in_it_and_how_far_away_the_rest_is() {
    let span = Span::between(3.0, 1.0);
    assert!(span.holds(Span::at(1.0)) && !span.holds(Span::between(2.0, 4.0)));
    assert!(span.meets(Span::between(2.0, 4.0)) && !span.meets(Span::at(0.0)));
    assert_eq!(span.distance_to(Span::at(5.0)), 2.0);
    assert_eq!(span.distance_to(Span::at(0.5)), -0.5);
    assert_eq!(span.distance_to(Span::between(2.0, 9.0)), 0.0);
}

#[test]
fn figures_carry_three_digits() {
    let told: Vec<String> = [31.44, 0.2345, 473.2, 1.10, -0.0001].map(figure).to_vec();
    assert_eq!(told, ["31.4", "0.234", "473", "1.1", "0"]);
}
