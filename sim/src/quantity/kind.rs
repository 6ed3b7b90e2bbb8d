//! What can be measured.

/// A kind of quantity. Units of one kind convert into each other; units of different kinds never do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Kind {
    /// A temperature; inside: °C.
    Temperature,
    /// A temperature difference; inside: K.
    TemperatureDifference,
    /// Change of a temperature with time; inside: K/s.
    TemperatureRate,
    /// Power; inside: W.
    Power,
    /// Energy; inside: J.
    Energy,
    /// Length; inside: m.
    Length,
    /// Area; inside: m².
    Area,
    /// Volume; inside: m³.
    Volume,
    /// Volume flow; inside: m³/s.
    VolumeFlow,
    /// Mass; inside: kg.
    Mass,
    /// A length of time; inside: s here, whole milliseconds through [`crate::quantity::parse_millis`].
    Time,
    /// Absolute salinity; inside: g/kg.
    Salinity,
    /// A share of a whole; inside: a fraction, 1 = 100 %.
    Share,
    /// A difference of two shares; inside: a fraction, 0.2 = 20 points.
    SharePoints,
    /// Speed; inside: m/s.
    Speed,
    /// Thermal resistance of an area; inside: m² K/W.
    ThermalResistance,
    /// Heat capacity of a body; inside: J/K.
    HeatCapacity,
    /// Heat flow per temperature difference; inside: W/K.
    Conductance,
    /// Mass flow; inside: kg/s.
    MassFlow,
    /// How often a volume is exchanged; inside: 1/s.
    ExchangeRate,
    /// Pressure; inside: Pa.
    Pressure,
    /// Voltage; inside: V.
    Voltage,
    /// Electric current; inside: A.
    Current,
    /// Price of electricity; inside: currency per kWh, whatever the currency.
    PricePerKwh,
    /// A number of closings of a contact.
    Closings,
    /// A plain number without a unit.
    Number,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 26] = [
        Self::Temperature,
        Self::TemperatureDifference,
        Self::TemperatureRate,
        Self::Power,
        Self::Energy,
        Self::Length,
        Self::Area,
        Self::Volume,
        Self::VolumeFlow,
        Self::Mass,
        Self::Time,
        Self::Salinity,
        Self::Share,
        Self::SharePoints,
        Self::Speed,
        Self::ThermalResistance,
        Self::HeatCapacity,
        Self::Conductance,
        Self::MassFlow,
        Self::ExchangeRate,
        Self::Pressure,
        Self::Voltage,
        Self::Current,
        Self::PricePerKwh,
        Self::Closings,
        Self::Number,
    ];

    /// In words, with its article: "a temperature difference".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Temperature => "a temperature",
            Self::TemperatureDifference => "a temperature difference",
            Self::TemperatureRate => "a temperature change per time",
            Self::Power => "a power",
            Self::Energy => "an energy",
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::VolumeFlow => "a volume flow",
            Self::Mass => "a mass",
            Self::Time => "a length of time",
            Self::Salinity => "a salinity",
            Self::Share => "a share",
            Self::SharePoints => "a difference of shares",
            Self::Speed => "a speed",
            Self::ThermalResistance => "a thermal resistance",
            Self::HeatCapacity => "a heat capacity",
            Self::Conductance => "a conductance",
            Self::MassFlow => "a mass flow",
            Self::ExchangeRate => "an exchange rate",
            Self::Pressure => "a pressure",
            Self::Voltage => "a voltage",
            Self::Current => "a current",
            Self::PricePerKwh => "a price of electricity",
            Self::Closings => "a number of closings",
            Self::Number => "a number",
        }
    }

    /// One well-written value, for messages.
    #[must_use]
    pub fn example(self) -> &'static str {
        match self {
            Self::Temperature => "25.5 °C",
            Self::TemperatureDifference => "0.5 K",
            Self::TemperatureRate => "0.1 K/d",
            Self::Power => "200 W",
            Self::Energy => "1.5 kWh",
            Self::Length => "45 cm",
            Self::Area => "0.5 m²",
            Self::Volume => "300 L",
            Self::VolumeFlow => "1500 L/h",
            Self::Mass => "30 kg",
            Self::Time => "2 h 30 min",
            Self::Salinity => "35 g/kg",
            Self::Share => "45 %",
            Self::SharePoints => "20 points",
            Self::Speed => "0.1 m/s",
            Self::ThermalResistance => "0.5 m² K/W",
            Self::HeatCapacity => "300 J/K",
            Self::Conductance => "60 W/K",
            Self::MassFlow => "60 g/h",
            Self::ExchangeRate => "0.5 per hour",
            Self::Pressure => "1013 hPa",
            Self::Voltage => "230 V",
            Self::Current => "16 A",
            Self::PricePerKwh => "0.32 per kWh",
            Self::Closings => "100000 closings",
            Self::Number => "1.5",
        }
    }

    /// Whether several numbers with descending units add up, as in "2 h 30 min" or "2 ft 6 in".
    #[must_use]
    pub fn is_compound(self) -> bool {
        matches!(self, Self::Time | Self::Length | Self::Mass)
    }
}
