//! `[room]`.

use tepid_sim::quantity::Kind;

use super::building::BUILDING;
use super::{Field, FieldKind, Section};

pub(crate) static ROOM: Section = Section {
    name: "room",
    doc: "the air around the tanks",
    fields: &[
        Field::optional(
            "temperature",
            FieldKind::QuantityOrTable(Kind::Temperature, &ROOM_TEMPERATURE),
            "give `weather`",
            "{ mean = \"20 °C\", swing = \"3 K\", warmest = \"16:00\" }",
            "one temperature, or a table of its course; with `building`: of the air outdoors",
        )
        .least("-30 °C")
        .most("50 °C"),
        Field::default(
            "humidity",
            FieldKind::QuantityOrTable(Kind::Share, &HUMIDITY),
            "50 %",
            "\"45 %\"",
            "relative humidity at the room's mean temperature; with `building`: of the air outdoors",
        )
        .least("0 %")
        .most("100 %"),
        Field::optional(
            "weather",
            FieldKind::Table(&WEATHER),
            "give `temperature`",
            "{ file = \"my-town.epw\", from = \"01-08\" }",
            "the course of the air from a weather file; with `building`: of the air outdoors",
        ),
        Field::optional(
            "building",
            FieldKind::Table(&BUILDING),
            "the room's air is as stated, whatever stands in it",
            "{ volume = \"45 m³\", envelope = \"60 W/K\" }",
            "the room warms and cools with what is in it; what else [room] says is then the air OUTDOORS",
        ),
        Field::optional(
            "year",
            FieldKind::Table(&YEAR),
            "the scenario's own coldest and warmest room; with `building`: its setpoints",
            "{ coldest = \"16 °C\", warmest = \"29 °C\" }",
            "the year's coldest and warmest room: verdicts are given for these too",
        ),
    ],
};

pub(crate) static WEATHER: Section = Section {
    name: "weather",
    doc: "a file with hourly weather: TMY3, EPW, or a CSV with time and temperature",
    fields: &[
        Field::required(
            "file",
            FieldKind::Text,
            "\"my-town.epw\"",
            "its path, from this file's folder on",
        ),
        Field::optional(
            "from",
            FieldKind::DayOfYear,
            "the day of `start_date`",
            "\"01-08\"",
            "the run's time zero is 00:00 of this day (month-day), in the file's local standard time",
        ),
    ],
};

pub(crate) static ROOM_TEMPERATURE: Section = Section {
    name: "temperature",
    doc: "course of the room temperature",
    fields: &[
        Field::optional(
            "mean",
            FieldKind::Quantity(Kind::Temperature),
            "give `points`",
            "\"20 °C\"",
            "mean temperature",
        )
        .least("-30 °C")
        .most("50 °C"),
        Field::optional(
            "points",
            FieldKind::Course,
            "give `mean`",
            "[[\"0 h\", \"20 °C\"], [\"24 h\", \"16 °C\"]]",
            "course of the mean: time and temperature, straight lines between; two at one time = a step",
        )
        .least("-30 °C")
        .most("50 °C"),
        Field::default(
            "swing",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0 K",
            "\"3 K\"",
            "coldest to warmest within a day",
        )
        .least("0 K")
        .most("20 K"),
        Field::default(
            "warmest",
            FieldKind::TimeOfDay,
            "16:00",
            "\"16:00\"",
            "time of the day's warmest moment",
        ),
        Field::default(
            "season_swing",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0 K",
            "\"8 K\"",
            "coldest to warmest daily mean within a year; needs `start_date`",
        )
        .least("0 K")
        .most("60 K"),
        Field::default(
            "warmest_day",
            FieldKind::DayOfYear,
            "25 July",
            "\"25 July\"",
            "the year's warmest day",
        ),
        Field::default(
            "drift",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0 K",
            "\"0.5 K\"",
            "standard deviation of random drift",
        )
        .least("0 K")
        .most("20 K"),
        Field::default(
            "drift_time",
            FieldKind::Quantity(Kind::Time),
            "6 h",
            "\"6 h\"",
            "how long a drift keeps up",
        )
        .above("0 s")
        .most("100 d"),
    ],
};

pub(crate) static HUMIDITY: Section = Section {
    name: "humidity",
    doc: "humidity of the room",
    fields: &[
        Field::required(
            "relative",
            FieldKind::Quantity(Kind::Share),
            "\"45 %\"",
            "relative humidity at the mean temperature",
        )
        .least("0 %")
        .most("100 %"),
        Field::default(
            "constant",
            FieldKind::Choice(&["ratio", "relative"]),
            "ratio",
            "\"ratio\"",
            "what stays as the room warms: the water in the air, or the relative humidity",
        ),
    ],
};

pub(crate) static YEAR: Section = Section {
    name: "year",
    doc: "the coldest and warmest room of the year",
    fields: &[
        Field::optional(
            "coldest",
            FieldKind::Quantity(Kind::Temperature),
            "the scenario's coldest",
            "\"16 °C\"",
            "the coldest room of the year",
        )
        .least("-30 °C")
        .most("50 °C"),
        Field::optional(
            "warmest",
            FieldKind::Quantity(Kind::Temperature),
            "the scenario's warmest",
            "\"29 °C\"",
            "the warmest room of the year",
        )
        .least("-30 °C")
        .most("50 °C"),
        Field::optional(
            "coldest_humidity",
            FieldKind::Quantity(Kind::Share),
            "the scenario's",
            "\"35 %\"",
            "relative humidity of the coldest room",
        )
        .least("0 %")
        .most("100 %"),
        Field::optional(
            "warmest_humidity",
            FieldKind::Quantity(Kind::Share),
            "the scenario's",
            "\"55 %\"",
            "relative humidity of the warmest room",
        )
        .least("0 %")
        .most("100 %"),
    ],
};
