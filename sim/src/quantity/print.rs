//! Printing quantities in metric or US customary units, with as many digits as are of use.

use super::{Kind, Unit};
use crate::time::{DAY, HOUR, MINUTE, Millis, SECOND};

/// Which units people want to read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum System {
    /// °C, L, cm.
    #[default]
    Metric,
    /// °F, US gal, in.
    UsCustomary,
}

/// Prints a value given in the kind's inside unit: "25.5 °C", "300 L", "79.3 gal". Four significant digits,
/// temperatures and differences to 0.01; [`super::parse`] reads it back.
#[must_use]
pub fn print(kind: Kind, inside: f64, system: System) -> String {
    if kind == Kind::Time {
        return print_millis((inside * SECOND as f64).round() as Millis);
    }
    let Some(unit) = shown_unit(kind, inside, system) else {
        return significant(inside);
    };
    let number = unit.from_inside(inside);
    let written = match kind {
        Kind::Temperature | Kind::TemperatureDifference => trimmed(format!("{number:.2}")),
        _ => significant(number),
    };
    format!("{written} {}", unit.name)
}

/// Prints a length of time: "2 h 30 min", "45 s", "7 d", "0 s".
#[must_use]
pub fn print_millis(length_ms: Millis) -> String {
    let sign = if length_ms < 0 { "-" } else { "" };
    let mut rest = length_ms.unsigned_abs();
    let mut parts = Vec::new();
    for (size, name) in [(DAY, "d"), (HOUR, "h"), (MINUTE, "min"), (SECOND, "s"), (1, "ms")] {
        let size = size.unsigned_abs();
        if rest >= size {
            parts.push(format!("{} {name}", rest / size));
            rest %= size;
        }
    }
    if parts.is_empty() {
        "0 s".to_owned()
    } else {
        format!("{sign}{}", parts.join(" "))
    }
}

/// The unit to show: the first of the kind's list whose least shown value is reached, else the last.
fn shown_unit(kind: Kind, inside: f64, system: System) -> Option<&'static Unit> {
    let choices = shown_units(kind, system);
    let (name, _) = choices
        .iter()
        .find(|(_, least)| inside.abs() >= *least)
        .or(choices.last())?;
    kind.unit(name)
}

/// Units in use, each with the least value (inside unit) it is shown for.
fn shown_units(kind: Kind, system: System) -> &'static [(&'static str, f64)] {
    let us = system == System::UsCustomary;
    match kind {
        Kind::Temperature if us => &[("°F", 0.0)],
        Kind::Temperature => &[("°C", 0.0)],
        Kind::TemperatureDifference if us => &[("°F", 0.0)],
        Kind::TemperatureDifference => &[("K", 0.0)],
        Kind::TemperatureRate if us => &[("°F/d", 0.0)],
        Kind::TemperatureRate => &[("K/d", 0.0)],
        Kind::Power => &[("kW", 2e3), ("W", 0.0)],
        Kind::Energy => &[("kWh", 3.6e5), ("Wh", 0.0)],
        Kind::Length if us => &[("in", 0.0)],
        Kind::Length => &[("cm", 0.03), ("mm", 0.0)],
        Kind::Area if us => &[("ft²", 0.0)],
        Kind::Area => &[("m²", 0.1), ("cm²", 0.0)],
        Kind::Volume if us => &[("gal", 0.0)],
        Kind::Volume => &[("L", 5e-4), ("mL", 0.0)],
        Kind::VolumeFlow if us => &[("gal/h", 0.0)],
        Kind::VolumeFlow => &[("L/h", 0.0)],
        Kind::Mass if us => &[("lb", 0.1), ("oz", 0.0)],
        Kind::Mass => &[("kg", 0.5), ("g", 0.0)],
        Kind::Speed if us => &[("ft/s", 0.0)],
        Kind::Speed => &[("m/s", 0.0)],
        Kind::ThermalResistance if us => &[("ft² °F h/BTU", 0.0)],
        Kind::ThermalResistance => &[("m² K/W", 0.0)],
        Kind::Salinity => &[("g/kg", 0.0)],
        Kind::Share => &[("%", 0.0)],
        Kind::SharePoints => &[("points", 0.0)],
        Kind::HeatCapacity => &[("J/K", 0.0)],
        Kind::Conductance => &[("W/K", 0.0)],
        Kind::MassFlow => &[("g/h", 0.0)],
        Kind::ExchangeRate => &[("per hour", 0.0)],
        Kind::Pressure => &[("hPa", 0.0)],
        Kind::Voltage => &[("V", 0.0)],
        Kind::Current => &[("A", 0.0)],
        Kind::PricePerKwh => &[("per kWh", 0.0)],
        Kind::Closings => &[("closings", 0.0)],
        Kind::Time | Kind::Number => &[],
    }
}

/// Four significant digits, whole numbers in full, no exponent.
fn significant(number: f64) -> String {
    if number == 0.0 || !number.is_finite() {
        return if number == 0.0 {
            "0".to_owned()
        } else {
            "–".to_owned()
        };
    }
    let before_point = (libm::log10(number.abs()).floor() as i32) + 1;
    let decimals = usize::try_from((4 - before_point).clamp(0, 12)).unwrap_or(0);
    trimmed(format!("{number:.decimals$}"))
}

fn trimmed(written: String) -> String {
    let short = if written.contains('.') {
        written.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        written
    };
    if short == "-0" { "0".to_owned() } else { short }
}
