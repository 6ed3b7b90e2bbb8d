//! Strategies as outside programs, in any language: a command is run and talked to over its standard streams, one line of
//! JSON each way for each decision, in the simulation's time. The page of the protocol is `docs/program.md`.
//!
//! Every run has a program of its own, started at its first decision and ended with the run however that ends. Only here
//! does the crate touch processes, threads and a clock: the clock ends the wait for an answer and decides nothing else.

mod bound;
mod child;
mod device;
mod message;

use std::fmt;
use std::path::PathBuf;

use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::strategy::{BindError, Strategy, StrategyRecipe, Wiring};
use tepid_sim::time::{HOUR, MINUTE, Millis, SECOND};

use crate::control_loop::{INTERVAL, SETPOINT};
use crate::duty_cycle::{CYCLE, Pulses, SHORTEST_PULSE};
use crate::outputs::{CONTACTS, Chosen, SWITCHES};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;
use device::{Converter, Device, Form};
pub use message::PROTOCOL;

/// How the failure of a program that keeps silent begins: whoever asks again waits again.
pub const NO_ANSWER: &str = "it gave no answer";

/// The parameters of every program.
pub const PARAMS: &[Param] = &[
    SETPOINT,
    CYCLE,
    SHORTEST_PULSE,
    SWITCHES,
    CONTACTS,
    INTERVAL,
    READINGS,
    CONVERTER,
    LATE,
    SAMPLED_EVERY,
    ANSWER_WITHIN,
];

const READINGS: Param = Param {
    name: "readings",
    kind: ParamKind::Choice(&["celsius", "counts", "bus"]),
    default: ParamDefault::Word("celsius"),
    range: None,
    doc: "readings as °C, as a converter's counts behind a thermistor, or as a bus sensor gives them",
    trade: None,
};

const CONVERTER: Param = Param {
    name: "converter",
    kind: ParamKind::Choice(&["10 bit", "12 bit"]),
    default: ParamDefault::Word("12 bit"),
    range: None,
    doc: "the converter behind `readings = \"counts\"`",
    trade: None,
};

const LATE: Param = Param {
    name: "late",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(0),
    range: Some(ParamRange {
        from: 0.0,
        to: 10.0 * MINUTE as f64,
    }),
    doc: "how old a reading is when the program sees it",
    trade: None,
};

const SAMPLED_EVERY: Param = Param {
    name: "sampled_every",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(0),
    range: Some(ParamRange {
        from: 0.0,
        to: HOUR as f64,
    }),
    doc: "time between two samples; in between the last one is repeated; 0 s: a new one for each decision",
    trade: None,
};

const ANSWER_WITHIN: Param = Param {
    name: "answer_within",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(10 * SECOND),
    range: Some(ParamRange {
        from: 100.0,
        to: 10.0 * MINUTE as f64,
    }),
    doc: "longest wait for an answer, on the wall clock; a longer one ends the run as failed",
    trade: None,
};

/// A command to run.
#[derive(Clone, PartialEq, Eq)]
pub struct Program {
    /// The program and its arguments, at least one.
    pub command: Vec<String>,
    /// The folder it is run in; empty: the current one.
    pub folder: PathBuf,
}

/// Without the folder: where a checkout lies says nothing about what is run.
impl fmt::Debug for Program {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Program({:?})", self.command)
    }
}

impl Program {
    /// Makes a recipe; `strategy` is its name in results. Nothing is started yet.
    ///
    /// # Errors
    /// [`ParamError`] where values do not fit together.
    pub fn build(&self, strategy: &str, values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
        let form = match values.get_word(READINGS.name)? {
            "counts" => Form::Counts(match values.get_word(CONVERTER.name)? {
                "10 bit" => Converter { full_scale: 1023 },
                _ => Converter { full_scale: 4095 },
            }),
            "bus" => Form::Bus,
            _ => Form::Celsius,
        };
        Ok(Box::new(ProgramRecipe {
            strategy: strategy.to_owned(),
            program: self.clone(),
            setpoint_c: values.get_number(SETPOINT.name).ok(),
            interval_ms: values.get_time_ms(INTERVAL.name)?,
            answer_within_ms: values.get_time_ms(ANSWER_WITHIN.name)?,
            pulses: Pulses::from_values(values)?,
            chosen: Chosen::from_values(values)?,
            device: Device::new(
                form,
                values.get_time_ms(LATE.name)?,
                values.get_time_ms(SAMPLED_EVERY.name)?,
            ),
        }))
    }
}

#[derive(Debug)]
struct ProgramRecipe {
    strategy: String,
    program: Program,
    setpoint_c: Option<f64>,
    interval_ms: Millis,
    answer_within_ms: Millis,
    pulses: Pulses,
    chosen: Chosen,
    device: Device,
}

impl StrategyRecipe for ProgramRecipe {
    fn name(&self) -> &str {
        &self.strategy
    }

    fn settings(&self) -> String {
        format!(
            "program {}, {}, decides every {}{}",
            self.program.command.join(" "),
            self.pulses.settings_text(),
            print_millis(self.interval_ms),
            self.device.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(bound::Bound::new(self, wiring)?))
    }
}
