//! Values in plain words, metric, for settings, ranges and errors.

use tepid_sim::quantity::{Kind, System, print};

use crate::rate::SECONDS_PER_HOUR;

/// A temperature: "25.5 °C".
pub(crate) fn temperature_text(temp_c: f64) -> String {
    print(Kind::Temperature, temp_c, System::Metric)
}

/// A temperature difference: "0.4 K".
pub(crate) fn difference_text(difference_k: f64) -> String {
    print(Kind::TemperatureDifference, difference_k, System::Metric)
}

/// A temperature change per time: "0.25 K/h".
pub(crate) fn rate_text(rate_k_per_s: f64) -> String {
    format!("{}/h", difference_text(rate_k_per_s * SECONDS_PER_HOUR))
}
