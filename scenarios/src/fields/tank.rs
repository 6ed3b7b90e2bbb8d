//! `[[tank]]`: water bodies, their panes, covers and cabinets.

use tepid_sim::quantity::Kind;

use super::{Field, FieldKind, Section};

/// Words for covers.
pub(crate) const COVERS: &[&str] = &["open", "mesh", "lid"];

pub(crate) static TANK: Section = Section {
    name: "tank",
    doc: "a body of water: display, sump, barrel, one tank of a rack",
    fields: &[
        Field::required("name", FieldKind::Text, "\"display\"", "its name"),
        Field::optional(
            "volume",
            FieldKind::Quantity(Kind::Volume),
            "give `inside` and `water_height`",
            "\"300 L\"",
            "full inside volume, if you know no dimensions: usual proportions are assumed",
        )
        .above("0 L")
        .most("100 m³"),
        Field::optional(
            "inside",
            FieldKind::Quantities(Kind::Length, 3),
            "give `volume`",
            "[\"120 cm\", \"50 cm\", \"50 cm\"]",
            "inner length, width (front to back) and height",
        )
        .above("0 cm")
        .most("20 m"),
        Field::optional(
            "water_height",
            FieldKind::Quantity(Kind::Length),
            "nine tenths of the height",
            "\"45 cm\"",
            "height of the water over the bottom",
        )
        .above("0 cm")
        .most("20 m"),
        Field::optional(
            "pane",
            FieldKind::Table(&PANE),
            "glass, its thickness by the length of the tank",
            "{ material = \"glass\", thickness = \"12 mm\" }",
            "what the walls are made of",
        ),
        Field::default(
            "cover",
            FieldKind::Choice(COVERS),
            "open",
            "\"open\"",
            "what covers the water",
        ),
        Field::optional(
            "lid",
            FieldKind::Table(&LID),
            "4 mm, no blanket",
            "{ thickness = \"4 mm\", blanket = \"0 m² K/W\" }",
            "what the lid is like, where the cover is \"lid\"",
        ),
        Field::default(
            "rock",
            FieldKind::Quantity(Kind::Mass),
            "0 kg",
            "\"30 kg\"",
            "rock and sand in it",
        )
        .least("0 kg"),
        Field::default(
            "in_cabinet",
            FieldKind::FlagOrTable(&CABINET),
            "false",
            "true",
            "it stands in a cabinet with warmer, damper air; true, false or a table",
        ),
        Field::optional(
            "livestock",
            FieldKind::Flag,
            "true for the only tank, else false",
            "true",
            "livestock is in it: only such tanks are judged",
        ),
        Field::default(
            "agitation",
            FieldKind::Number,
            "1",
            "1.0",
            "factor on evaporation into still air: 1 = undisturbed; no source for a value",
        )
        .least("0.1")
        .most("10"),
        Field::default(
            "surroundings",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "0 K",
            "\"0 K\"",
            "how much warmer the walls of the room are than its air (negative = colder)",
        )
        .least("-20 K")
        .most("20 K"),
        Field::default(
            "copies",
            FieldKind::Whole,
            "1",
            "8",
            "so many tanks like this one, each with its own copy of all that belongs to it; \"rack\" becomes \"rack 1\", \"rack 2\" and so on",
        )
        .least("1")
        .most("64"),
        Field::default(
            "spread",
            FieldKind::Quantity(Kind::Share),
            "0 %",
            "\"5 %\"",
            "the copies differ in length by at most this share, either way: each by its name",
        )
        .least("0 %")
        .most("20 %"),
    ],
};

/// Most copies of a tank. A choice; the limit of `copies`.
pub(crate) const MOST_COPIES: u64 = 64;

pub(crate) static PANE: Section = Section {
    name: "pane",
    doc: "the walls of a tank",
    fields: &[
        Field::default(
            "material",
            FieldKind::Choice(&["glass", "acrylic"]),
            "glass",
            "\"glass\"",
            "what it is made of",
        ),
        Field::optional(
            "thickness",
            FieldKind::Quantity(Kind::Length),
            "by the length of the tank",
            "\"12 mm\"",
            "thickness",
        )
        .above("0 mm")
        .most("20 cm"),
        Field::default(
            "wrap",
            FieldKind::Quantity(Kind::ThermalResistance),
            "0 m² K/W",
            "\"0.5 m² K/W\"",
            "insulation on the sides (20 mm of foam: about 0.5 m² K/W)",
        )
        .least("0 m² K/W")
        .most("20 m² K/W"),
        Field::default(
            "under",
            FieldKind::Quantity(Kind::ThermalResistance),
            "0 m² K/W",
            "\"0.3 m² K/W\"",
            "stand or foam under the bottom",
        )
        .least("0 m² K/W")
        .most("20 m² K/W"),
        Field::default(
            "free_sides",
            FieldKind::Quantity(Kind::Share),
            "100 %",
            "\"75 %\"",
            "share of the sides that meets the air; the rest leans on a wall",
        )
        .least("0 %")
        .most("100 %"),
        Field::default(
            "free_bottom",
            FieldKind::Quantity(Kind::Share),
            "100 %",
            "\"100 %\"",
            "share of the bottom that loses heat",
        )
        .least("0 %")
        .most("100 %"),
    ],
};

pub(crate) static LID: Section = Section {
    name: "lid",
    doc: "a lid with a small gap",
    fields: &[
        Field::default(
            "thickness",
            FieldKind::Quantity(Kind::Length),
            "4 mm",
            "\"4 mm\"",
            "thickness",
        )
        .above("0 mm")
        .most("10 cm"),
        Field::default(
            "blanket",
            FieldKind::Quantity(Kind::ThermalResistance),
            "0 m² K/W",
            "\"0.5 m² K/W\"",
            "insulation on it",
        )
        .least("0 m² K/W")
        .most("20 m² K/W"),
    ],
};

pub(crate) static CABINET: Section = Section {
    name: "in_cabinet",
    doc: "the air of the cabinet, beside the room's",
    fields: &[
        Field::default(
            "warmer",
            FieldKind::Quantity(Kind::TemperatureDifference),
            "2 K",
            "\"2 K\"",
            "warmer than the room by (no source)",
        )
        .least("0 K")
        .most("15 K"),
        Field::default(
            "more_humid",
            FieldKind::Quantity(Kind::SharePoints),
            "20 points",
            "\"20 points\"",
            "relative humidity above the room's (no source)",
        )
        .least("0 points")
        .most("100 points"),
    ],
};
