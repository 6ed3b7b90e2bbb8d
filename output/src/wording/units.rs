//! Metric and US customary units, at the edge only.

use super::{MISSING, trimmed};

/// Metres in a centimetre, m/cm. Exact.
const M_PER_CM: f64 = 0.01;

/// Metres in an inch, m/in, by definition.
const M_PER_INCH: f64 = 0.0254;

/// Litres in a US gallon, by definition (231 cubic inches).
pub(super) const LITRES_PER_US_GALLON: f64 = 3.785_411_784;

/// Fahrenheit degrees in a kelvin, by definition.
pub(super) const FAHRENHEIT_PER_KELVIN: f64 = 1.8;

/// The units a person reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// °C, K, L.
    #[default]
    Metric,
    /// °F, US gallons.
    Us,
}

impl Units {
    /// A temperature, °C, with one decimal: "25.5 °C", "77.9 °F".
    #[must_use]
    pub fn temperature(self, temp_c: f64) -> String {
        if !temp_c.is_finite() {
            return MISSING.to_owned();
        }
        format!("{:.1} {}", self.degrees(temp_c), self.temperature_unit())
    }

    /// A stated temperature, °C, without needless decimals: "30 °C", "86 °F".
    #[must_use]
    pub fn line(self, temp_c: f64) -> String {
        if !temp_c.is_finite() {
            return MISSING.to_owned();
        }
        format!("{} {}", trimmed(self.degrees(temp_c), 1), self.temperature_unit())
    }

    /// A range of temperatures, °C: "18 to 21.5 °C"; one figure where both ends read the same.
    #[must_use]
    pub fn range(self, low_c: f64, high_c: f64) -> String {
        let (low, high) = (self.line(low_c), self.line(high_c));
        if low == high || low == MISSING {
            return high;
        }
        format!("{} to {high}", trimmed(self.degrees(low_c), 1))
    }

    /// A difference of temperatures, K: "0.42 K", "0.76 °F".
    #[must_use]
    pub fn difference(self, difference_k: f64) -> String {
        if !difference_k.is_finite() {
            return MISSING.to_owned();
        }
        format!("{:.2} {}", self.step(difference_k), self.difference_unit())
    }

    /// A difference of temperatures held for a while, K·h: "12.3 K·h", "22.1 °F·h".
    #[must_use]
    pub fn degree_hours(self, held_k_h: f64) -> String {
        if !held_k_h.is_finite() {
            return MISSING.to_owned();
        }
        format!("{} {}", trimmed(self.step(held_k_h), 1), self.degree_hour_unit())
    }

    /// The unit of that: "K·h", "°F·h".
    #[must_use]
    pub fn degree_hour_unit(self) -> &'static str {
        match self {
            Self::Metric => "K·h",
            Self::Us => "°F·h",
        }
    }

    /// A conductance, W/K: "44.0 W/K", "24.4 W/°F".
    #[must_use]
    pub fn conductance(self, conductance_w_per_k: f64) -> String {
        if !conductance_w_per_k.is_finite() {
            return MISSING.to_owned();
        }
        match self {
            Self::Metric => format!("{conductance_w_per_k:.1} W/K"),
            Self::Us => format!("{:.1} W/°F", conductance_w_per_k / FAHRENHEIT_PER_KELVIN),
        }
    }

    /// Power over the volume it is for, from W/L: "0.85 W per litre", "3.2 W per US gallon".
    #[must_use]
    pub fn power_per_volume(self, power_w_per_l: f64) -> String {
        match self {
            Self::Metric => format!("{power_w_per_l:.2} W per litre"),
            Self::Us => format!("{:.1} W per US gallon", power_w_per_l * LITRES_PER_US_GALLON),
        }
    }

    /// A heat capacity, J/K: "1.37 MJ/K", "0.76 MJ/°F".
    #[must_use]
    pub fn heat_capacity(self, heat_capacity_j_per_k: f64) -> String {
        if !heat_capacity_j_per_k.is_finite() {
            return MISSING.to_owned();
        }
        match self {
            Self::Metric => format!("{:.2} MJ/K", heat_capacity_j_per_k / 1e6),
            Self::Us => format!("{:.2} MJ/°F", heat_capacity_j_per_k / 1e6 / FAHRENHEIT_PER_KELVIN),
        }
    }

    /// A volume, L: "3.5 L", "0.9 gal".
    #[must_use]
    pub fn volume(self, volume_l: f64) -> String {
        if !volume_l.is_finite() {
            return MISSING.to_owned();
        }
        match self {
            // Tenths of a gallon are too coarse for what a small tank loses in a day.
            Self::Us if self.of_litres(volume_l) < 9.995 => format!("{:.2} gal", self.of_litres(volume_l)),
            Self::Metric | Self::Us => format!("{:.1} {}", self.of_litres(volume_l), self.volume_unit()),
        }
    }

    /// The figure of a volume, L, on this scale.
    #[must_use]
    pub fn of_litres(self, volume_l: f64) -> f64 {
        match self {
            Self::Metric => volume_l,
            Self::Us => volume_l / LITRES_PER_US_GALLON,
        }
    }

    /// The unit of a volume: "L", "gal".
    #[must_use]
    pub fn volume_unit(self) -> &'static str {
        match self {
            Self::Metric => "L",
            Self::Us => "gal",
        }
    }

    /// A height, m: "24.5 cm", "9.6 in".
    #[must_use]
    pub fn height(self, height_m: f64) -> String {
        if !height_m.is_finite() {
            return MISSING.to_owned();
        }
        match self {
            Self::Metric => format!("{:.1} cm", height_m / M_PER_CM),
            Self::Us => format!("{:.1} in", height_m / M_PER_INCH),
        }
    }

    /// What a command needs to be told in them: nothing, " --units us".
    #[must_use]
    pub fn option(self) -> &'static str {
        match self {
            Self::Metric => "",
            Self::Us => " --units us",
        }
    }

    /// The figure of a temperature, °C, on this scale.
    #[must_use]
    pub fn degrees(self, temp_c: f64) -> f64 {
        match self {
            Self::Metric => temp_c,
            Self::Us => temp_c * FAHRENHEIT_PER_KELVIN + 32.0,
        }
    }

    /// The temperature, °C, of a figure on this scale.
    #[must_use]
    pub fn celsius(self, degrees: f64) -> f64 {
        match self {
            Self::Metric => degrees,
            Self::Us => (degrees - 32.0) / FAHRENHEIT_PER_KELVIN,
        }
    }

    /// The figure of a difference, K, on this scale.
    #[must_use]
    pub fn step(self, difference_k: f64) -> f64 {
        match self {
            Self::Metric => difference_k,
            Self::Us => difference_k * FAHRENHEIT_PER_KELVIN,
        }
    }

    /// The unit of a temperature: "°C", "°F".
    #[must_use]
    pub fn temperature_unit(self) -> &'static str {
        match self {
            Self::Metric => "°C",
            Self::Us => "°F",
        }
    }

    /// The unit of a difference: "K", "°F".
    #[must_use]
    pub fn difference_unit(self) -> &'static str {
        match self {
            Self::Metric => "K",
            Self::Us => "°F",
        }
    }

    /// A temperature, °C, on both scales: "25.5 °C (77.9 °F)".
    #[must_use]
    pub fn both(temp_c: f64) -> String {
        format!(
            "{} ({})",
            Self::Metric.temperature(temp_c),
            Self::Us.temperature(temp_c)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_temperature_reads_on_both_scales() {
        assert_eq!(Units::both(25.5), "25.5 °C (77.9 °F)");
        assert_eq!(Units::Us.temperature(-40.0), "-40.0 °F");
        assert_eq!(Units::Us.line(30.0), "86 °F");
    }

    #[test]
    fn a_figure_of_either_scale_finds_back_to_celsius() {
        assert_eq!(Units::Us.celsius(212.0), 100.0);
        assert_eq!(Units::Metric.celsius(25.5), 25.5);
    }

    #[test]
    fn a_difference_has_no_zero_at_32() {
        assert_eq!(Units::Us.difference(0.5), "0.90 °F");
        assert_eq!(Units::Metric.difference(0.5), "0.50 K");
    }

    #[test]
    fn a_range_of_one_temperature_is_one_figure() {
        assert_eq!(Units::Metric.range(21.0, 21.02), "21 °C");
        assert_eq!(Units::Metric.range(18.0, 21.5), "18 to 21.5 °C");
    }

    #[test]
    fn a_us_gallon_is_3_785_litres() {
        assert_eq!(Units::Us.volume(37.854_117_84), "10.0 gal");
        assert_eq!(Units::Us.volume(0.9), "0.24 gal");
    }

    #[test]
    fn a_slope_per_fahrenheit_degree_is_smaller_than_per_kelvin() {
        assert_eq!(Units::Us.conductance(45.0), "25.0 W/°F");
    }
}
