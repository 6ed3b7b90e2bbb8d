//! Values of a strategy's parameters, checked as they are given.

use std::collections::BTreeMap;

use tepid_sim::quantity::print_millis;
use tepid_sim::time::Millis;

use crate::parameter::{Param, ParamDefault, ParamError};

/// A value of a parameter.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A quantity other than a time, in the unit its kind has inside.
    Number(f64),
    /// A length of time, or a time of day after midnight, ms.
    Time(Millis),
    /// A word or a name.
    Text(String),
    /// A list of names.
    Names(Vec<String>),
}

/// What is given for a strategy's parameters; what is not given has its default.
#[derive(Debug, Clone, PartialEq)]
pub struct Values {
    params: &'static [Param],
    given: BTreeMap<&'static str, Value>,
}

impl Values {
    /// Nothing given yet.
    #[must_use]
    pub fn new(params: &'static [Param]) -> Self {
        Self {
            params,
            given: BTreeMap::new(),
        }
    }

    /// Gives a value; a second one for the same parameter replaces the first.
    ///
    /// # Errors
    /// [`ParamError`] if there is no such parameter or the value may not stand for it ([`Param::check`]).
    pub fn set(&mut self, name: &str, value: Value) -> Result<(), ParamError> {
        let param = self.param(name).ok_or_else(|| none_such(name))?;
        param.check(&value)?;
        self.given.insert(param.name, value);
        Ok(())
    }

    /// The number given or else its default, in the unit its kind has inside.
    ///
    /// # Errors
    /// [`ParamError::NoSuchParameter`] if no parameter of that name has a number.
    pub fn get_number(&self, name: &str) -> Result<f64, ParamError> {
        match (self.given.get(name), self.default_of(name)) {
            (Some(&Value::Number(number)), _) | (None, Some(ParamDefault::Number(number))) => Ok(number),
            _ => Err(none_such(name)),
        }
    }

    /// The length of time or time of day given or else its default, ms.
    ///
    /// # Errors
    /// [`ParamError::NoSuchParameter`] if no parameter of that name has a time.
    pub fn get_time_ms(&self, name: &str) -> Result<Millis, ParamError> {
        match (self.given.get(name), self.default_of(name)) {
            (Some(&Value::Time(length)), _) | (None, Some(ParamDefault::Time(length))) => Ok(length),
            _ => Err(none_such(name)),
        }
    }

    /// The word given or else its default.
    ///
    /// # Errors
    /// [`ParamError::NoSuchParameter`] if no parameter of that name has a word.
    pub fn get_word(&self, name: &str) -> Result<&str, ParamError> {
        match (self.given.get(name), self.default_of(name)) {
            (Some(Value::Text(word)), _) => Ok(word),
            (None, Some(ParamDefault::Word(word))) => Ok(word),
            _ => Err(none_such(name)),
        }
    }

    /// The number given; `None`: the scenario's own holds.
    #[must_use]
    pub fn given_number(&self, name: &str) -> Option<f64> {
        match self.given.get(name) {
            Some(Value::Number(number)) => Some(*number),
            _ => None,
        }
    }

    /// The name given; `None`: the scenario's own holds.
    #[must_use]
    pub fn given_name(&self, name: &str) -> Option<&str> {
        match self.given.get(name) {
            Some(Value::Text(text)) => Some(text),
            _ => None,
        }
    }

    /// The names given; `None`: the scenario's own hold.
    #[must_use]
    pub fn given_names(&self, name: &str) -> Option<&[String]> {
        match self.given.get(name) {
            Some(Value::Names(names)) => Some(names),
            _ => None,
        }
    }

    /// Whether it was given.
    #[must_use]
    pub fn is_given(&self, name: &str) -> bool {
        self.given.contains_key(name)
    }

    /// What holds, for people: "0.4 K"; `None`: something of the scenario holds, or there is no such parameter.
    #[must_use]
    pub fn text(&self, name: &str) -> Option<String> {
        let param = self.param(name)?;
        match (self.given.get(name), param.default) {
            (Some(Value::Number(number)), _) => Some(param.kind.show_number(*number)),
            (Some(Value::Time(length)), _) => Some(print_millis(*length)),
            (Some(Value::Text(text)), _) => Some(text.clone()),
            (Some(Value::Names(names)), _) => Some(names.join(" and ")),
            (None, ParamDefault::OfScenario(_)) => None,
            (None, _) => Some(param.default_text()),
        }
    }

    fn default_of(&self, name: &str) -> Option<ParamDefault> {
        self.param(name).map(|param| param.default)
    }

    fn param(&self, name: &str) -> Option<&'static Param> {
        self.params.iter().find(|param| param.name == name)
    }
}

fn none_such(name: &str) -> ParamError {
    ParamError::NoSuchParameter {
        param: name.to_owned(),
    }
}
