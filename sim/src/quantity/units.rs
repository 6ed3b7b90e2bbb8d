//! The table of units. Factors are exact by definition unless the line says otherwise.

use super::Kind;

/// A unit of one kind: inside = (number + shift) × numerator / denominator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// As printed and as messages name it.
    pub name: &'static str,
    /// Other accepted spellings.
    pub also: &'static [&'static str],
    shift: f64,
    numerator: f64,
    denominator: f64,
}

impl Unit {
    const fn new(
        name: &'static str,
        also: &'static [&'static str],
        numerator: f64,
        denominator: f64,
    ) -> Self {
        Self {
            name,
            also,
            shift: 0.0,
            numerator,
            denominator,
        }
    }

    /// Into the inside unit of its kind.
    #[must_use]
    pub fn to_inside(self, number: f64) -> f64 {
        (number + self.shift) * self.numerator / self.denominator
    }

    /// From the inside unit of its kind.
    #[must_use]
    pub fn from_inside(self, inside: f64) -> f64 {
        inside * self.denominator / self.numerator - self.shift
    }

    /// Every accepted spelling, the printed one first.
    pub fn spellings(&self) -> impl Iterator<Item = &'static str> + use<> {
        std::iter::once(self.name).chain(self.also.iter().copied())
    }
}

const fn unit(name: &'static str, also: &'static [&'static str], numerator: f64, denominator: f64) -> Unit {
    Unit::new(name, also, numerator, denominator)
}

/// US gallon, L. Exact by definition: 231 cubic inches.
const US_GALLON_L: f64 = 3.785_411_784;
/// Imperial gallon, L. Exact by definition.
const IMPERIAL_GALLON_L: f64 = 4.546_09;
/// International table BTU per hour, W: 1055.055 852 62 J in 3600 s, as `scipy` 1.17.1 and `pint` 0.25.3 define it
/// (source). Valid as that BTU; the thermochemical one is 0.07 % less.
const BTU_PER_HOUR_W: f64 = 0.293_071_070_172_222;
/// Litres in a cubic metre, L/m³. Exact.
const L_PER_M3: f64 = 1e3;
/// Seconds in a minute, s/min. Exact.
const SECONDS_PER_MINUTE: f64 = 60.0;
/// Seconds in an hour, s/h. Exact.
const SECONDS_PER_HOUR: f64 = 3600.0;
/// Seconds in a day, s/d. Exact: no leap seconds.
const SECONDS_PER_DAY: f64 = 86_400.0;
/// Litres an hour in a cubic metre a second, (L/h)/(m³/s). Exact.
const L_PER_HOUR: f64 = L_PER_M3 * SECONDS_PER_HOUR;

const TEMPERATURE: &[Unit] = &[
    unit("°C", &["C", "degC", "deg C", "℃", "º C", "ºC"], 1.0, 1.0),
    Unit {
        name: "°F",
        also: &["F", "degF", "deg F", "℉", "º F", "ºF"],
        shift: -32.0,
        numerator: 5.0,
        denominator: 9.0,
    },
];
const TEMPERATURE_DIFFERENCE: &[Unit] = &[
    unit("K", &["kelvin"], 1.0, 1.0),
    unit("°C", &["C", "degC", "deg C", "℃", "ºC"], 1.0, 1.0),
    unit("°F", &["F", "degF", "deg F", "℉", "ºF"], 5.0, 9.0),
];
const TEMPERATURE_RATE: &[Unit] = &[
    unit("K/h", &["°C/h", "C/h", "K per hour"], 1.0, SECONDS_PER_HOUR),
    unit(
        "K/d",
        &["°C/d", "C/d", "K/day", "K per day"],
        1.0,
        SECONDS_PER_DAY,
    ),
    unit("K/min", &["°C/min"], 1.0, SECONDS_PER_MINUTE),
    unit("°F/h", &["F/h"], 5.0, 9.0 * SECONDS_PER_HOUR),
    unit("°F/d", &["F/d", "°F/day"], 5.0, 9.0 * SECONDS_PER_DAY),
];
const POWER: &[Unit] = &[
    unit("W", &["watt", "watts"], 1.0, 1.0),
    unit("kW", &["kilowatt", "kilowatts"], 1e3, 1.0),
    unit("mW", &[], 1.0, 1e3),
    unit("BTU/h", &["Btu/h", "BTU/hr"], BTU_PER_HOUR_W, 1.0),
];
const ENERGY: &[Unit] = &[
    unit("Wh", &[], SECONDS_PER_HOUR, 1.0),
    unit("kWh", &[], 3.6e6, 1.0),
    unit("J", &["Ws"], 1.0, 1.0),
    unit("kJ", &[], 1e3, 1.0),
    unit("MJ", &[], 1e6, 1.0),
];
const LENGTH: &[Unit] = &[
    unit("cm", &[], 1.0, 100.0),
    unit("mm", &[], 1.0, 1000.0),
    unit("m", &["meter", "meters", "metre", "metres"], 1.0, 1.0),
    unit("in", &["inch", "inches", "\"", "″"], 254.0, 1e4),
    unit("ft", &["foot", "feet", "'", "′"], 3048.0, 1e4),
];
const AREA: &[Unit] = &[
    unit("m²", &["m2", "m^2"], 1.0, 1.0),
    unit("cm²", &["cm2", "cm^2"], 1.0, 1e4),
    unit("ft²", &["ft2", "sq ft", "ft^2"], 3048.0 * 3048.0, 1e8),
    unit("in²", &["in2", "sq in", "in^2"], 254.0 * 254.0, 1e8),
];
const VOLUME: &[Unit] = &[
    unit("L", &["l", "liter", "liters", "litre", "litres"], 1.0, L_PER_M3),
    unit("mL", &["ml"], 1.0, 1e6),
    unit("m³", &["m3", "m^3"], 1.0, 1.0),
    unit(
        "gal",
        &["US gal", "gallon", "gallons", "US gallon", "US gallons"],
        US_GALLON_L,
        L_PER_M3,
    ),
    unit(
        "imp gal",
        &["UK gal", "imperial gallon", "imperial gallons"],
        IMPERIAL_GALLON_L,
        L_PER_M3,
    ),
    unit("qt", &["quart", "quarts"], US_GALLON_L, 4.0 * L_PER_M3),
    unit("ft³", &["ft3", "cu ft", "ft^3"], 0.028_316_846_592, 1.0),
];
const VOLUME_FLOW: &[Unit] = &[
    unit("L/h", &["l/h", "L/hr", "l/hr"], 1.0, L_PER_HOUR),
    unit("L/min", &["l/min"], 1.0, L_PER_M3 * SECONDS_PER_MINUTE),
    unit("L/s", &["l/s"], 1.0, L_PER_M3),
    unit("L/d", &["l/d", "L/day", "l/day"], 1.0, L_PER_M3 * SECONDS_PER_DAY),
    unit("mL/min", &["ml/min"], 1.0, 1e6 * SECONDS_PER_MINUTE),
    unit("m³/h", &["m3/h"], 1.0, SECONDS_PER_HOUR),
    unit("m³/s", &["m3/s"], 1.0, 1.0),
    unit(
        "gal/h",
        &["gph", "GPH", "US gal/h", "gal/hr"],
        US_GALLON_L,
        L_PER_HOUR,
    ),
    unit("imp gal/h", &["UK gal/h"], IMPERIAL_GALLON_L, L_PER_HOUR),
    unit(
        "gal/min",
        &["gpm", "GPM"],
        US_GALLON_L,
        L_PER_M3 * SECONDS_PER_MINUTE,
    ),
    unit(
        "gal/d",
        &["gpd", "GPD", "US gal/d", "gal/day"],
        US_GALLON_L,
        L_PER_M3 * SECONDS_PER_DAY,
    ),
];
const MASS: &[Unit] = &[
    unit("kg", &[], 1.0, 1.0),
    unit("g", &[], 1.0, 1e3),
    unit("t", &["tonne", "tonnes"], 1e3, 1.0),
    unit("lb", &["lbs", "pound", "pounds"], 0.453_592_37, 1.0),
    unit("oz", &["ounce", "ounces"], 0.453_592_37, 16.0),
];
const TIME: &[Unit] = &[
    unit("d", &["day", "days"], SECONDS_PER_DAY, 1.0),
    unit("h", &["hour", "hours", "hr", "hrs"], SECONDS_PER_HOUR, 1.0),
    unit("min", &["minute", "minutes", "mins"], SECONDS_PER_MINUTE, 1.0),
    unit("s", &["second", "seconds", "sec"], 1.0, 1.0),
    unit("ms", &["millisecond", "milliseconds"], 1.0, 1e3),
    unit("week", &["weeks", "wk"], 7.0 * SECONDS_PER_DAY, 1.0),
];
const SALINITY: &[Unit] = &[unit("g/kg", &["ppt", "‰", "permille"], 1.0, 1.0)];
const SHARE: &[Unit] = &[unit("%", &["percent", "per cent"], 1.0, 100.0)];
const SHARE_POINTS: &[Unit] = &[unit(
    "points",
    &["point", "percentage points", "%-points"],
    1.0,
    100.0,
)];
const SPEED: &[Unit] = &[
    unit("m/s", &[], 1.0, 1.0),
    unit("cm/s", &[], 1.0, 100.0),
    unit("km/h", &[], 1.0, 3.6),
    unit("cm/h", &[], 1.0, 100.0 * SECONDS_PER_HOUR),
    unit("m/h", &[], 1.0, SECONDS_PER_HOUR),
    unit("m/d", &["m/day"], 1.0, SECONDS_PER_DAY),
    unit("ft/s", &["fps"], 3048.0, 1e4),
    unit("ft/min", &["fpm"], 3048.0, 1e4 * SECONDS_PER_MINUTE),
    unit("mph", &["mi/h"], 0.447_04, 1.0),
];
const THERMAL_RESISTANCE: &[Unit] = &[
    unit(
        "m² K/W",
        &["m2 K/W", "m²K/W", "m2K/W", "m² · K/W", "m^2 K/W"],
        1.0,
        1.0,
    ),
    // BTU (international table), foot and °F from their definitions: 9/5 and 0.3048² fold into one figure, as `pint` 0.25.3 works it
    // out.
    unit(
        "ft² °F h/BTU",
        &["ft2 °F h/BTU", "ft2 F h/BTU"],
        0.176_110_183_7,
        1.0,
    ),
];
const HEAT_CAPACITY: &[Unit] = &[unit("J/K", &[], 1.0, 1.0), unit("kJ/K", &[], 1e3, 1.0)];
const CONDUCTANCE: &[Unit] = &[unit("W/K", &["W/°C"], 1.0, 1.0)];
const MASS_FLOW: &[Unit] = &[
    unit("g/h", &[], 1.0, 1e3 * SECONDS_PER_HOUR),
    unit("kg/h", &[], 1.0, SECONDS_PER_HOUR),
    unit("g/d", &["g/day"], 1.0, 1e3 * SECONDS_PER_DAY),
    unit("kg/d", &["kg/day"], 1.0, SECONDS_PER_DAY),
    unit("mg/h", &[], 1.0, 1e6 * SECONDS_PER_HOUR),
];
const EXCHANGE_RATE: &[Unit] = &[
    unit("per hour", &["per h", "/h", "1/h"], 1.0, SECONDS_PER_HOUR),
    unit("per day", &["per d", "/d", "1/d"], 1.0, SECONDS_PER_DAY),
];
const PRESSURE: &[Unit] = &[
    unit("hPa", &["mbar"], 100.0, 1.0),
    unit("Pa", &[], 1.0, 1.0),
    unit("kPa", &[], 1e3, 1.0),
    unit("bar", &[], 1e5, 1.0),
    // Conventional inch of mercury at 0 °C: 3386.38864 Pa by `pint` 0.25.3, rounded as NIST prints it.
    unit("inHg", &["in Hg"], 3_386.389, 1.0),
];
const VOLTAGE: &[Unit] = &[unit("V", &["volt", "volts"], 1.0, 1.0)];
const CURRENT: &[Unit] = &[
    unit("A", &["amp", "amps", "ampere", "amperes"], 1.0, 1.0),
    unit("mA", &[], 1.0, 1e3),
];
const PRICE_PER_KWH: &[Unit] = &[unit(
    "per kWh",
    &[
        "/kWh", "EUR/kWh", "€/kWh", "USD/kWh", "$/kWh", "GBP/kWh", "£/kWh", "CHF/kWh",
    ],
    1.0,
    1.0,
)];
const CLOSINGS: &[Unit] = &[unit("closings", &["closing", "operations"], 1.0, 1.0)];

impl Kind {
    /// The units of this kind, the one to suggest first. Empty for a plain number.
    #[must_use]
    pub fn units(self) -> &'static [Unit] {
        match self {
            Self::Temperature => TEMPERATURE,
            Self::TemperatureDifference => TEMPERATURE_DIFFERENCE,
            Self::TemperatureRate => TEMPERATURE_RATE,
            Self::Power => POWER,
            Self::Energy => ENERGY,
            Self::Length => LENGTH,
            Self::Area => AREA,
            Self::Volume => VOLUME,
            Self::VolumeFlow => VOLUME_FLOW,
            Self::Mass => MASS,
            Self::Time => TIME,
            Self::Salinity => SALINITY,
            Self::Share => SHARE,
            Self::SharePoints => SHARE_POINTS,
            Self::Speed => SPEED,
            Self::ThermalResistance => THERMAL_RESISTANCE,
            Self::HeatCapacity => HEAT_CAPACITY,
            Self::Conductance => CONDUCTANCE,
            Self::MassFlow => MASS_FLOW,
            Self::ExchangeRate => EXCHANGE_RATE,
            Self::Pressure => PRESSURE,
            Self::Voltage => VOLTAGE,
            Self::Current => CURRENT,
            Self::PricePerKwh => PRICE_PER_KWH,
            Self::Closings => CLOSINGS,
            Self::Number => &[],
        }
    }

    /// The unit of this kind with that printed name.
    #[must_use]
    pub fn unit(self, name: &str) -> Option<&'static Unit> {
        self.units().iter().find(|unit| unit.name == name)
    }
}
