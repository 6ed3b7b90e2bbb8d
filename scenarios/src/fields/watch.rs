//! `[[watch]]`.

use tepid_sim::quantity::Kind;

use super::act::ACTS;
use super::{Field, FieldKind, Of, Section};

/// Fields of which a watch has exactly one: its rule.
pub(crate) const RULES: &[&str] = &[
    "above",
    "below",
    "faster",
    "apart",
    "no_reading",
    "draws_above",
    "draws_below",
    "drawn",
    "no_sign_of_life",
];

/// What else belongs to a rule.
pub(crate) fn used_by(rule: &str) -> &'static [&'static str] {
    match rule {
        "above" | "below" | "no_reading" => &["probe"],
        "faster" => &["probe", "over"],
        "apart" => &["probe", "other"],
        "no_sign_of_life" => &[],
        _ => &["heater"],
    }
}

/// Fields whose meaning depends on the rule.
pub(crate) const PARTICULAR: &[&str] = &["probe", "other", "heater", "over"];

/// What an alert may need beside circuits.
pub(crate) const NEEDS: &[&str] = &["power", "router", "network", "controller"];

/// Heater drawing against its commands.
pub(crate) const MISMATCHES: &[&str] = &["though not commanded", "not though commanded"];

const ONE_RULE: &str = "another rule";

pub(crate) static WATCH: Section = Section {
    name: "watch",
    doc: "an alert rule, the way its alert takes, and what is done about it",
    fields: &[
        Field::optional(
            "name",
            FieldKind::Text,
            "made from its rule",
            "\"too warm\"",
            "its name",
        ),
        Field::optional(
            "probe",
            FieldKind::Reference(Of::Probe),
            "must be stated for a rule on a reading",
            "\"main\"",
            "the probe it reads",
        ),
        Field::optional(
            "above",
            FieldKind::Quantity(Kind::Temperature),
            ONE_RULE,
            "\"27 °C\"",
            "alerts above this reading",
        )
        .least("-20 °C")
        .most("100 °C"),
        Field::optional(
            "below",
            FieldKind::Quantity(Kind::Temperature),
            ONE_RULE,
            "\"24 °C\"",
            "alerts below this reading",
        )
        .least("-20 °C")
        .most("100 °C"),
        Field::optional(
            "faster",
            FieldKind::Quantity(Kind::TemperatureRate),
            ONE_RULE,
            "\"1.5 K/h\"",
            "alerts where the reading rises or falls faster than this",
        )
        .above("0 K/h")
        .most("100 K/h"),
        Field::default(
            "over",
            FieldKind::Quantity(Kind::Time),
            "30 min",
            "\"30 min\"",
            "faster: measured over this stretch, in whole minutes",
        )
        .least("1 min")
        .most("24 h"),
        Field::optional(
            "apart",
            FieldKind::Quantity(Kind::TemperatureDifference),
            ONE_RULE,
            "\"0.8 K\"",
            "alerts where two probes disagree by more than this",
        )
        .above("0 K")
        .most("40 K"),
        Field::optional(
            "other",
            FieldKind::Reference(Of::Probe),
            "must be stated for `apart`",
            "\"display check\"",
            "apart: the other probe",
        ),
        Field::default(
            "no_reading",
            FieldKind::Flag,
            "false",
            "true",
            "alerts without a reading",
        ),
        Field::optional(
            "heater",
            FieldKind::Reference(Of::Heater),
            "must be stated for a rule on a current",
            "\"left\"",
            "the heater whose current it reads",
        ),
        Field::optional(
            "draws_above",
            FieldKind::Quantity(Kind::Power),
            ONE_RULE,
            "\"10 W\"",
            "alerts while the heater draws more than this; with `lasting` on for too long",
        )
        .least("0 W")
        .most("10 kW"),
        Field::optional(
            "draws_below",
            FieldKind::Quantity(Kind::Power),
            ONE_RULE,
            "\"10 W\"",
            "alerts while the heater draws less than this; with `lasting` off for too long",
        )
        .above("0 W")
        .most("10 kW"),
        Field::optional(
            "drawn",
            FieldKind::Choice(MISMATCHES),
            ONE_RULE,
            "\"though not commanded\"",
            "alerts where the heater's current and its commands contradict each other",
        ),
        Field::default(
            "no_sign_of_life",
            FieldKind::Flag,
            "false",
            "true",
            "something outside the house alerts when the box no longer reports",
        ),
        Field::default(
            "lasting",
            FieldKind::Quantity(Kind::Time),
            "5 min",
            "\"5 min\"",
            "it must hold for this long first",
        )
        .least("0 s")
        .most("30 d"),
        Field::optional(
            "needs",
            FieldKind::Texts,
            "nothing: it gets out without power too; no_sign_of_life: all four",
            "[\"power\", \"network\"]",
            "what must be alive for the alert to get out: power, router, network, controller, or a circuit by name",
        ),
        Field::default(
            "battery",
            FieldKind::Quantity(Kind::Time),
            "0 s",
            "\"4 h\"",
            "for this long without electricity, box and router live on a battery of their own",
        )
        .least("0 s")
        .most("365 d"),
        Field::optional(
            "reaches",
            FieldKind::Texts,
            "everybody of [[person]], else the keeper",
            "[\"keeper\", \"sitter\"]",
            "whom the alert reaches, in this order",
        ),
        Field::optional(
            "passed_on",
            FieldKind::Quantity(Kind::Time),
            "all are told at once",
            "\"15 min\"",
            "the next one is told after this, unless somebody is at the tank",
        )
        .above("0 s")
        .most("30 d"),
        Field::optional(
            "acts",
            FieldKind::TableOrTables(&ACTS),
            "nobody acts",
            "{ after = \"2 h\", does = \"unplug heaters\" }",
            "what is done about it; several as [[watch.acts]]",
        ),
    ],
};
