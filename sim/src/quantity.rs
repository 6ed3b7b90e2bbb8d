//! Kinds of quantity and their units: one table ([`Kind::units`]), reading ([`parse`]) and printing ([`print()`]).
//!
//! Quantities carry their unit in files and options ("300 L", "78 °F", "2 h 30 min"); inside, everything is SI
//! `f64` (temperatures in °C, differences in K) and whole milliseconds for times. A bare number is an error.
//! A temperature difference is another kind than a temperature: "1 °F" as a difference is 5/9 K.

mod clock;
mod error;
mod kind;
mod number;
mod parse;
mod print;
mod salinity;
mod units;

pub use clock::{parse_day_of_year, parse_moment, parse_time_of_day, print_time_of_day};
pub use error::{QuantityError, QuantityProblem};
pub use kind::Kind;
pub use parse::{parse, parse_millis};
pub use print::{System, print, print_millis};
pub use units::Unit;
