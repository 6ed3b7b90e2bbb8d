//! The built-in strategies, one file each, and the registry that lists them by name.
//!
//! A strategy knows no physics: it sees readings and gives commands. Each is made by a recipe from checked
//! parameter values:
//!
//! - [`registry()`], [`find`]: which strategies there are, with their tables of parameters.
//! - [`parameter`], [`values`]: what a parameter may be, and values checked against it.
//! - [`on_off`], [`proportional`], [`pi`], [`staggered_pair`], [`fan_cooling`], [`heat_and_fan`]: the laws.
//! - [`page`]: what each says about itself, in parts.
//! - [`guard`]: what can be put around any of them.
//! - `ControlLoop`, `Switch`, `DutyCycle`, `DecisionClock` (private): what several laws are built of.

mod control_loop;
mod decision_clock;
mod duty_cycle;
pub mod fan_cooling;
pub mod guard;
pub mod heat_and_fan;
pub mod on_off;
pub mod page;
pub mod parameter;
pub mod pi;
pub mod proportional;
mod registry;
pub mod staggered_pair;
mod switch;
pub mod values;
mod wording;

pub use registry::{Entry, find, registry};
