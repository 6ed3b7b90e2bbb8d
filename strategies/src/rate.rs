//! A temperature change per time as a parameter, stated in K/h.

use tepid_sim::quantity::Kind;

use crate::parameter::{Param, ParamDefault, ParamKind, ParamRange};

/// Seconds in an hour, s. Exact.
pub(crate) const SECONDS_PER_HOUR: f64 = 3600.0;

/// A parameter with its default in K/h.
pub(crate) const fn rate_param(name: &'static str, default_k_per_h: f64, doc: &'static str) -> Param {
    Param {
        name,
        kind: ParamKind::Quantity(Kind::TemperatureRate),
        default: ParamDefault::Number(default_k_per_h / SECONDS_PER_HOUR),
        range: Some(ParamRange {
            from: 0.01 / SECONDS_PER_HOUR,
            to: 20.0 / SECONDS_PER_HOUR,
        }),
        doc,
        trade: None,
    }
}
