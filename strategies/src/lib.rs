//! The built-in strategies, one file each, and the registry that lists them by name.
//!
//! A strategy knows no physics: it sees readings and gives commands. Each is made by a recipe from checked
//! parameter values:
//!
//! - [`registry()`], [`find`]: which strategies there are, with their tables of parameters.
//! - [`parameter`], [`values`]: what a parameter may be, and values checked against it.
//! - [`heater_dial`], [`timer`], [`on_off`], [`proportional`], [`pi`], [`pid`], [`feed_forward`], [`predictive`],
//!   [`staggered_pair`], [`lead_lag`], [`set_back`], [`warm_back`], [`fan_cooling`], [`fan_stages`], [`chiller`], [`heat_and_fan`],
//!   [`room_first`]: the laws.
//! - [`page`]: what each says about itself, in parts.
//! - [`guard`]: what can be put around any of them.
//! - `script`, `program` (features of the same names, on by default): strategies from outside, in a script or as a program
//!   that is run.
//! - `ControlLoop`, `Switch`, `Thermostat`, `DutyCycle`, `PiAction`, `DecisionClock`, `Night`, `Outputs`, `rate_param` (private): what several laws are built of.

#[macro_use]
pub mod page;

pub mod chiller;
mod control_loop;
mod decision_clock;
mod duty_cycle;
pub mod fan_cooling;
pub mod fan_stages;
pub mod feed_forward;
pub mod guard;
pub mod heat_and_fan;
pub mod heater_dial;
pub mod lead_lag;
mod night;
pub mod on_off;
mod output_limits;
#[cfg(any(feature = "script", feature = "program"))]
mod outputs;
pub mod parameter;
pub mod pi;
mod pi_action;
pub mod pid;
pub mod predictive;
#[cfg(feature = "program")]
pub mod program;
pub mod proportional;
mod rate;
mod registry;
pub mod room_first;
#[cfg(feature = "script")]
pub mod script;
pub mod set_back;
pub mod staggered_pair;
mod switch;
mod thermostat;
pub mod timer;
pub mod values;
pub mod warm_back;
mod wording;

pub use registry::{Entry, find, registry};
