//! Values in plain words, metric, for settings, ranges and errors.

use tepid_sim::quantity::{Kind, System, print};

/// A temperature: "25.5 °C".
pub(crate) fn temperature_text(temp_c: f64) -> String {
    print(Kind::Temperature, temp_c, System::Metric)
}

/// A temperature difference: "0.4 K".
pub(crate) fn difference_text(difference_k: f64) -> String {
    print(Kind::TemperatureDifference, difference_k, System::Metric)
}
