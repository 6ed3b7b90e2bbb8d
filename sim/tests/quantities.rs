//! What people write for quantities, and what it means.

use approx::assert_relative_eq;
use proptest::prelude::*;
use tepid_sim::quantity::{
    Kind, QuantityProblem, System, parse, parse_day_of_year, parse_millis, parse_moment, parse_time_of_day,
    print, print_millis,
};
use tepid_sim::time::{DAY, HOUR, MINUTE};

/// Conversions by definition of the units (inch 25.4 mm, US gallon 231 cubic inches, pound 0.453 592 37 kg,
/// imperial gallon 4.546 09 L).
#[test]
fn units_mean_what_they_are_defined_as() {
    for (kind, text, inside) in [
        (Kind::Volume, "300 L", 0.3),
        (Kind::Volume, "75 gal", 75.0 * 231.0 * 0.0254 * 0.0254 * 0.0254),
        (Kind::Volume, "10 imp gal", 0.045_460_9),
        (Kind::Volume, "0.5 m³", 0.5),
        (Kind::Length, "57 cm", 0.57),
        (Kind::Length, "1 1/2 in", 0.0381),
        (Kind::Length, "1½ in", 0.0381),
        (Kind::Length, "3/8 in", 0.009_525),
        (Kind::Length, "2 ft 6 in", 0.762),
        (Kind::Length, "2 ft 6 1/2 in", 0.7747),
        (Kind::Temperature, "77 °F", 25.0),
        (Kind::Temperature, "-40 F", -40.0),
        (Kind::Temperature, "25.5°C", 25.5),
        (Kind::TemperatureDifference, "9 °F", 5.0),
        (Kind::TemperatureDifference, "0.4 K", 0.4),
        (Kind::TemperatureDifference, "1 °C", 1.0),
        (Kind::Time, "2 h 30 min", 9000.0),
        (Kind::Time, "2h30min", 9000.0),
        (Kind::Time, "0.5 d", 43_200.0),
        (Kind::Time, "1 week", 604_800.0),
        (Kind::Mass, "2 lb 8 oz", 2.5 * 0.453_592_37),
        (Kind::Power, "0.2 kW", 200.0),
        (Kind::VolumeFlow, "1500 L/h", 1.5 / 3600.0),
        (Kind::VolumeFlow, "400 gph", 400.0 * 3.785_411_784e-3 / 3600.0),
        (Kind::VolumeFlow, "5 L/d", 5e-3 / 86_400.0),
        (Kind::VolumeFlow, "1 gal/d", 3.785_411_784e-3 / 86_400.0),
        (Kind::MassFlow, "60 g/h", 0.06 / 3600.0),
        (Kind::Conductance, "60 W/K", 60.0),
        (Kind::ExchangeRate, "0.5 per hour", 0.5 / 3600.0),
        (Kind::ExchangeRate, "0.5 1/h", 0.5 / 3600.0),
        (Kind::ExchangeRate, "12/d", 0.5 / 3600.0),
        (Kind::Share, "45 %", 0.45),
        (Kind::SharePoints, "20 points", 0.2),
        (Kind::Salinity, "35 ppt", 35.0),
        (Kind::Speed, "10 ft/s", 3.048),
        (Kind::Energy, "1 kWh", 3.6e6),
        (Kind::ThermalResistance, "0.5 m2 K/W", 0.5),
        (Kind::PricePerKwh, "0.32 per kWh", 0.32),
        (Kind::Closings, "100000 closings", 1e5),
        (Kind::Number, "1e-3", 1e-3),
    ] {
        let found = parse(kind, text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert_relative_eq!(found, inside, max_relative = 1e-14);
    }
}

/// Sea water of practical salinity 35 at 25 °C against fresh water at 25 °C: 1023.343/997.048 = 1.026373 (equation of
/// state 1980), so this gravity is absolute salinity 35.165 g/kg.
#[test]
fn a_specific_gravity_with_its_temperatures_is_a_salinity() {
    let found = parse(Kind::Salinity, "sg 1.026373 at 25/25 °C").unwrap();
    assert!((found - 35.165).abs() < 0.005, "{found}");
    let same_in_fahrenheit = parse(Kind::Salinity, "sg 1.026373 at 77/77 °F").unwrap();
    assert_relative_eq!(found, same_in_fahrenheit, epsilon = 1e-9);
    let cold_reference = parse(Kind::Salinity, "sg 1.026373 at 25/4 °C").unwrap();
    assert!(cold_reference > found + 3.0, "{cold_reference}");
}

#[test]
fn a_specific_gravity_without_its_temperatures_is_refused() {
    for text in [
        "sg 1.025",
        "sg 1.025 at 25 °C",
        "sg 1.3 at 25/25 °C",
        "sg at 25/25 °C",
    ] {
        assert!(parse(Kind::Salinity, text).is_err(), "{text}");
    }
}

#[test]
fn errors_point_at_what_is_wrong() {
    for (kind, text, at) in [
        (Kind::Power, "300", "300"),
        (Kind::Power, "300 Wt", "Wt"),
        (Kind::Power, "300 L", "L"),
        (Kind::Volume, "300 L/h", "L/h"),
        (Kind::Power, "much", "much"),
        (Kind::Power, "inf W", "inf"),
        (Kind::Power, "NaN W", "NaN"),
        (Kind::Power, "1e999 W", "1e999"),
        (Kind::Temperature, "25,5 °C", "25,5"),
        (Kind::Temperature, "0.5 K", "K"),
        (Kind::Power, "200 W 30", "30"),
        (Kind::Time, "30 min 2 h", "2 h"),
        (Kind::Time, "2 h 30", "30"),
        (Kind::Number, "3 W", "W"),
    ] {
        let error = parse(kind, text).unwrap_err();
        assert_eq!(&text[error.span.clone()], at, "{text}: {error}");
    }
}

#[test]
fn a_bare_number_has_no_unit_and_a_difference_is_no_temperature() {
    assert!(matches!(
        parse(Kind::Volume, "300").unwrap_err().problem,
        QuantityProblem::NoUnit { .. }
    ));
    assert!(matches!(
        parse(Kind::Temperature, "1 K").unwrap_err().problem,
        QuantityProblem::WrongKind {
            other: Kind::TemperatureDifference,
            ..
        }
    ));
}

#[test]
fn the_clock_reads_as_people_write_it() {
    assert_eq!(parse_time_of_day("18:30"), Ok(18 * HOUR + 30 * MINUTE));
    assert_eq!(parse_time_of_day("07:05:10"), Ok(7 * HOUR + 5 * MINUTE + 10_000));
    for text in ["24:00", "18:60", "18", "half past six", "1:2:3:4", "+1:00", ""] {
        assert!(parse_time_of_day(text).is_err(), "{text}");
    }
    assert_eq!(parse_moment("day 2 18:00"), Ok(DAY + 18 * HOUR));
    assert_eq!(parse_moment("day 1"), Ok(0));
    assert_eq!(parse_moment("42 h"), Ok(42 * HOUR));
    assert!(parse_moment("day 0 12:00").is_err());
    assert_eq!(parse_millis("2 h 30 min"), Ok(150 * MINUTE));
    assert_eq!(parse_day_of_year("1 January"), Ok(0));
    assert_eq!(parse_day_of_year("25 Jul"), Ok(205));
    assert_eq!(parse_day_of_year("07-25"), Ok(205));
    for text in ["31 June", "06-31", "13-01", "00-10", "1-8"] {
        assert!(parse_day_of_year(text).is_err(), "{text}");
    }
}

#[test]
fn printed_quantities_are_short_and_in_the_reader_s_units() {
    for (kind, inside, metric, us) in [
        (Kind::Temperature, 25.5, "25.5 °C", "77.9 °F"),
        (Kind::TemperatureDifference, 1.0, "1 K", "1.8 °F"),
        (Kind::Volume, 0.3, "300 L", "79.25 gal"),
        (Kind::Length, 0.45, "45 cm", "17.72 in"),
        (Kind::Length, 0.012, "12 mm", "0.4724 in"),
        (Kind::VolumeFlow, 1.5 / 3600.0, "1500 L/h", "396.3 gal/h"),
        (Kind::Power, 224.123, "224.1 W", "224.1 W"),
        (Kind::Share, 0.45, "45 %", "45 %"),
    ] {
        assert_eq!(print(kind, inside, System::Metric), metric);
        assert_eq!(print(kind, inside, System::UsCustomary), us);
    }
    assert_eq!(print_millis(150 * MINUTE), "2 h 30 min");
    assert_eq!(print_millis(0), "0 s");
}

proptest! {
    #[test]
    fn what_is_printed_reads_back(position in 0..Kind::ALL.len(), inside in -1e4_f64..1e4, us: bool) {
        let kind = Kind::ALL[position];
        let system = if us { System::UsCustomary } else { System::Metric };
        let text = print(kind, inside, system);
        let back = parse(kind, &text).map_err(|error| TestCaseError::fail(format!("{text}: {error}")))?;
        // Four significant digits (temperatures 0.01), or a millisecond.
        prop_assert!((back - inside).abs() <= 1e-3 * inside.abs() + 6e-3, "{} -> {} -> {}", inside, text, back);
    }

    #[test]
    fn no_text_makes_the_reader_panic_or_point_outside(text in "\\PC{0,24}") {
        for kind in Kind::ALL {
            if let Err(error) = parse(kind, &text) {
                prop_assert!(text.get(error.span.clone()).is_some());
            }
        }
        let _ = (parse_millis(&text).is_ok(), parse_moment(&text).is_ok(), parse_time_of_day(&text).is_ok());
        let _ = parse_day_of_year(&text).is_ok();
    }

    #[test]
    fn texts_close_to_a_quantity_never_panic(text in "[-+−0-9.,/½ e]{0,8}( ?(sg|at|°C|°F|K|L/h|m2 K/W|ft|in|imp gal|'|\")){0,3}[0-9½/ ]{0,3}") {
        for kind in Kind::ALL {
            if let Err(error) = parse(kind, &text) {
                prop_assert!(text.get(error.span.clone()).is_some());
            }
        }
    }
}
