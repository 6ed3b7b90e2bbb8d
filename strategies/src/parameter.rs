//! What a strategy's parameter is: name, kind, default, range and doc line, each stated once.

use std::fmt;

use tepid_sim::quantity::{Kind, System, print, print_millis, print_time_of_day};
use tepid_sim::time::{DAY, Millis};

use crate::values::Value;
use crate::wording::rate_text;

/// One parameter of a strategy or guard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Param {
    /// Key in files: `deadband`.
    pub name: &'static str,
    /// What its values are.
    pub kind: ParamKind,
    /// What holds if it is left out.
    pub default: ParamDefault,
    /// What it may be; `None`: anything of its kind.
    pub range: Option<ParamRange>,
    /// One plain line.
    pub doc: &'static str,
    /// What more or less of it is bought with; `None`: it trades nothing, as the name of a probe does.
    pub trade: Option<&'static str>,
}

impl Param {
    /// The same parameter with what it trades.
    pub(crate) const fn trading(self, trade: &'static str) -> Self {
        Self {
            trade: Some(trade),
            ..self
        }
    }
}

/// What the values of a parameter are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ParamKind {
    /// A quantity: [`Value::Time`] in ms for [`Kind::Time`], else [`Value::Number`] in the unit the kind has
    /// inside (°C for temperatures, K for differences).
    Quantity(Kind),
    /// A time of day: [`Value::Time`], ms after midnight, less than a day.
    TimeOfDay,
    /// One of these words: [`Value::Text`].
    Choice(&'static [&'static str]),
    /// The name of a probe: [`Value::Text`].
    ProbeName,
    /// Names of probes, at least one, none twice: [`Value::Names`].
    ProbeNames,
    /// Names of contacts, at least one, none twice: [`Value::Names`].
    ContactNames,
    /// Names of events, at least one, none twice: [`Value::Names`].
    EventNames,
}

/// What holds where a file leaves a parameter out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ParamDefault {
    /// This number, in the unit the kind has inside.
    Number(f64),
    /// This length of time, or time after midnight, ms.
    Time(Millis),
    /// This word.
    Word(&'static str),
    /// Something of the scenario, in words: "the scenario's target".
    OfScenario(&'static str),
}

/// Smallest and largest value, both allowed, in the unit the kind has inside (ms for times).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ParamRange {
    /// Smallest.
    pub from: f64,
    /// Largest.
    pub to: f64,
}

/// Why a value of a parameter is refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ParamError {
    /// The strategy has no such parameter.
    #[error("no parameter `{param}`")]
    NoSuchParameter {
        /// The name asked for.
        param: String,
    },
    /// A value of another kind.
    #[error("`{param}` takes {expected}")]
    WrongKind {
        /// The parameter.
        param: &'static str,
        /// What it takes, in words.
        expected: String,
    },
    /// Outside the range.
    #[error("`{param}` is {found}, but may be {range}")]
    OutOfRange {
        /// The parameter.
        param: &'static str,
        /// What was given, with its unit.
        found: String,
        /// What it may be, with units.
        range: String,
    },
    /// Not one of the words.
    #[error("`{param}` is `{found}`, but may be {}", words.join(", "))]
    UnknownWord {
        /// The parameter.
        param: &'static str,
        /// What was given.
        found: String,
        /// What it may be.
        words: &'static [&'static str],
    },
    /// A name stands twice in a list, or a list is empty.
    #[error("`{param}` {wrong}")]
    BadList {
        /// The parameter.
        param: &'static str,
        /// What is wrong with the list, in words: "names `relay left` twice".
        wrong: String,
    },
    /// The value does not fit another parameter.
    #[error("`{param}` {wrong}")]
    DoesNotFit {
        /// The parameter to change.
        param: &'static str,
        /// What is wrong, in words, with the other parameter's name and both values.
        wrong: String,
    },
}

impl ParamError {
    /// The parameter to change.
    #[must_use]
    pub fn param(&self) -> &str {
        match self {
            Self::NoSuchParameter { param } => param,
            Self::WrongKind { param, .. }
            | Self::OutOfRange { param, .. }
            | Self::UnknownWord { param, .. }
            | Self::BadList { param, .. }
            | Self::DoesNotFit { param, .. } => param,
        }
    }
}

impl Param {
    /// The default for people: "0.4 K", "5 min", "22:00", "the scenario's target".
    #[must_use]
    pub fn default_text(&self) -> String {
        match self.default {
            ParamDefault::Number(number) => self.kind.show_number(number),
            ParamDefault::Time(time_ms) if self.kind == ParamKind::TimeOfDay => print_time_of_day(time_ms),
            ParamDefault::Time(length_ms) => print_millis(length_ms),
            ParamDefault::Word(word) | ParamDefault::OfScenario(word) => word.to_owned(),
        }
    }

    /// The range for people: "0.02 K to 5 K"; the words of a choice; `None`: anything of its kind.
    #[must_use]
    pub fn range_text(&self) -> Option<String> {
        if let ParamKind::Choice(words) = self.kind {
            return Some(words.join(" | "));
        }
        self.range.map(|range| {
            format!(
                "{} to {}",
                self.kind.show_number(range.from),
                self.kind.show_number(range.to)
            )
        })
    }

    /// Whether a value may stand for this parameter.
    ///
    /// # Errors
    /// [`ParamError`] if it is of another kind, not finite, out of range or not one of the words.
    pub fn check(&self, value: &Value) -> Result<(), ParamError> {
        match (self.kind, value) {
            (ParamKind::Quantity(Kind::Time), Value::Time(length)) => self.check_range(*length as f64),
            (ParamKind::Quantity(kind), Value::Number(number)) if kind != Kind::Time => {
                self.check_range(*number)
            }
            (ParamKind::TimeOfDay, Value::Time(time_ms)) if (0..DAY).contains(time_ms) => Ok(()),
            (ParamKind::Choice(words), Value::Text(found)) => {
                if words.contains(&found.as_str()) {
                    Ok(())
                } else {
                    Err(ParamError::UnknownWord {
                        param: self.name,
                        found: found.clone(),
                        words,
                    })
                }
            }
            (ParamKind::ProbeName, Value::Text(_)) => Ok(()),
            (
                ParamKind::ProbeNames | ParamKind::ContactNames | ParamKind::EventNames,
                Value::Names(names),
            ) => self.check_names(names),
            _ => Err(ParamError::WrongKind {
                param: self.name,
                expected: self.kind.to_string(),
            }),
        }
    }

    fn check_range(&self, number: f64) -> Result<(), ParamError> {
        let range = self.range.unwrap_or(ParamRange {
            from: f64::MIN,
            to: f64::MAX,
        });
        if (range.from..=range.to).contains(&number) {
            return Ok(());
        }
        Err(ParamError::OutOfRange {
            param: self.name,
            found: self.kind.show_number(number),
            range: self
                .range_text()
                .unwrap_or_else(|| "any finite number".to_owned()),
        })
    }

    fn check_names(&self, names: &[String]) -> Result<(), ParamError> {
        let wrong = if names.is_empty() {
            "names nothing".to_owned()
        } else if let Some((_, twice)) = names
            .iter()
            .enumerate()
            .find(|(position, name)| names[..*position].contains(name))
        {
            format!("names `{twice}` twice")
        } else {
            return Ok(());
        };
        Err(ParamError::BadList {
            param: self.name,
            wrong,
        })
    }
}

impl ParamKind {
    /// A default or a bound of a range in words.
    pub(crate) fn show_number(self, number: f64) -> String {
        match self {
            Self::Quantity(Kind::Time) => print_millis(number as Millis),
            // Strategies ramp by the hour.
            Self::Quantity(Kind::TemperatureRate) => rate_text(number),
            Self::Quantity(kind) => print(kind, number, System::Metric),
            Self::TimeOfDay
            | Self::Choice(_)
            | Self::ProbeName
            | Self::ProbeNames
            | Self::ContactNames
            | Self::EventNames => number.to_string(),
        }
    }
}

/// What a parameter of this kind takes, in words.
impl fmt::Display for ParamKind {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Quantity(kind) => write!(formatter, "{}, such as {}", kind.words(), kind.example()),
            Self::TimeOfDay => formatter.write_str("a time of day, such as 22:00"),
            Self::Choice(words) => write!(formatter, "one of {}", words.join(", ")),
            Self::ProbeName => formatter.write_str("the name of a probe"),
            Self::ProbeNames => formatter.write_str("a list of names of probes"),
            Self::ContactNames => formatter.write_str("a list of names of contacts"),
            Self::EventNames => formatter.write_str("a list of names of events"),
        }
    }
}
