//! Figures in words, in metric units; whoever prints them restates them in the reader's.

use crate::column::Unit;

/// Beyond this share only the bound is told: the danger table says nothing about it.
const SHARE_TOLD: f64 = 10.0;

/// A figure in its unit.
pub(crate) fn figure(unit: Unit, value: f64, missing: &str) -> String {
    if !value.is_finite() {
        return missing.to_owned();
    }
    match unit {
        Unit::Temperature => temperature(value),
        Unit::Difference => difference(value),
        Unit::Hours => hours(value),
        Unit::Years if value >= 10.0 => format!("{value:.0} years"),
        Unit::Years => format!("{value:.1} years"),
        Unit::Count if value < 10.0 => format!("{value:.1}"),
        Unit::Count => format!("{value:.0}"),
        Unit::Share => share(value),
        Unit::Litres => format!("{value:.1} L"),
        Unit::Energy => format!("{value:.1} kWh"),
    }
}

/// A temperature, °C: "32.9 °C".
pub(crate) fn temperature(temp_c: f64) -> String {
    format!("{temp_c:.1} °C")
}

/// A difference of temperatures, K: "2.1 K", "0.30 K".
pub(crate) fn difference(difference_k: f64) -> String {
    if difference_k.abs() < 1.0 {
        format!("{difference_k:.2} K")
    } else {
        format!("{difference_k:.1} K")
    }
}

/// A length of time, h: "45 min", "12.0 h".
pub(crate) fn hours(length_h: f64) -> String {
    if length_h == 0.0 {
        "0 h".to_owned()
    } else if length_h < 1.0 {
        format!("{:.0} min", length_h * 60.0)
    } else {
        format!("{length_h:.1} h")
    }
}

/// A share: "13 %"; of many times the whole only that it is more.
pub(crate) fn share(share: f64) -> String {
    if share > SHARE_TOLD {
        format!("over {:.0} %", SHARE_TOLD * 100.0)
    } else if share > 0.0 && share < 0.005 {
        "under 1 %".to_owned()
    } else {
        format!("{:.0} %", share * 100.0)
    }
}

/// How many times: "4.5 times".
pub(crate) fn times(ratio: f64) -> String {
    format!("{ratio:.1} times")
}
