//! The fields of every kind of file: name, kind, default, range and doc line, each stated once.
//!
//! The loader, the JSON Schema, the text of `tepid new`, [`crate::explain`] and the paths of `set` and `vary` all
//! derive from these tables; one file per section.

pub(crate) mod act;
pub(crate) mod building;
pub(crate) mod chiller;
pub(crate) mod contact;
pub(crate) mod equipment;
pub(crate) mod fitted;
pub(crate) mod happening;
pub(crate) mod heater;
pub(crate) mod life;
pub(crate) mod livestock;
pub(crate) mod make_up;
pub(crate) mod oxygen;
pub(crate) mod person;
pub(crate) mod probe;
pub(crate) mod room;
pub(crate) mod scenario;
pub(crate) mod score;
pub(crate) mod strategy;
pub(crate) mod study;
pub(crate) mod sun;
pub(crate) mod supply;
pub(crate) mod tank;
pub(crate) mod uncertain;
pub(crate) mod watch;
pub(crate) mod water;

use std::borrow::Cow;

use tepid_sim::quantity::{Kind, parse};

/// A table of a file: its fields and what it is for.
#[derive(Debug)]
pub struct Section {
    /// Its key in words of the trade: "heater".
    pub name: &'static str,
    /// What it is for, one line.
    pub doc: &'static str,
    /// Its fields, in the order to show them.
    pub fields: &'static [Field],
}

/// One field.
#[derive(Debug, Clone)]
pub struct Field {
    /// Its key.
    pub name: &'static str,
    /// What its values are.
    pub kind: FieldKind,
    /// Whether it may be left out, and what holds then.
    pub presence: Presence,
    /// What its quantity may be.
    pub limits: Limits,
    /// One plain line.
    pub doc: &'static str,
    /// One well-written value, as TOML.
    pub example: Cow<'static, str>,
}

/// What the values of a field are.
#[derive(Debug, Clone, Copy)]
pub enum FieldKind {
    /// A quantity with its unit.
    Quantity(Kind),
    /// Several quantities, exactly this many.
    Quantities(Kind, usize),
    /// A plain number.
    Number,
    /// A whole number.
    Whole,
    /// `true` or `false`.
    Flag,
    /// Free text.
    Text,
    /// A list of free texts.
    Texts,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// Several of these words.
    Choices(&'static [&'static str]),
    /// One of these words, or a quantity.
    ChoiceOrQuantity(&'static [&'static str], Kind),
    /// The name of something in this scenario.
    Reference(Of),
    /// Names of things in this scenario.
    References(Of),
    /// A time of day.
    TimeOfDay,
    /// A moment of the run.
    Moment,
    /// When a fault strikes.
    FaultTime,
    /// A day of the year.
    DayOfYear,
    /// A calendar date.
    Date,
    /// Rows of temperature and longest time.
    DangerLines,
    /// Rows of time and temperature.
    Course,
    /// A table.
    Table(&'static Section),
    /// A list of tables.
    Tables(&'static Section),
    /// A table, or a list of tables.
    TableOrTables(&'static Section),
    /// A quantity, or a table whose first field it is.
    QuantityOrTable(Kind, &'static Section),
    /// `true`, `false`, or a table.
    FlagOrTable(&'static Section),
    /// The word, or a table.
    WordOrTable(&'static str, &'static Section),
    /// Paths and values.
    Settings,
    /// Paths of things to take away.
    Paths,
    /// Scenarios of a study: names, paths or variants.
    Scenarios,
    /// Strategies of a study: names, paths or tables.
    Strategies,
    /// Guards of a strategy: tables.
    Guards,
    /// The name of a score.
    Score,
    /// A bound on a score, in the score's own kind.
    Bound,
    /// A value as a file would write it.
    Value,
    /// A list of values as a file would write them.
    Values,
}

/// What a name refers to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// A tank.
    Tank,
    /// A pump.
    Pump,
    /// A heater.
    Heater,
    /// A fan.
    Fan,
    /// A chiller.
    Chiller,
    /// A light.
    Light,
    /// A contact.
    Contact,
    /// A box of contacts.
    Box,
    /// A probe.
    Probe,
    /// A circuit.
    Circuit,
    /// A backup.
    Backup,
    /// A person.
    Person,
}

impl Of {
    /// In words: "contact".
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Tank => "tank",
            Self::Pump => "pump",
            Self::Heater => "heater",
            Self::Fan => "fan",
            Self::Chiller => "chiller",
            Self::Light => "light",
            Self::Contact => "contact",
            Self::Box => "box",
            Self::Probe => "probe",
            Self::Circuit => "circuit",
            Self::Backup => "backup",
            Self::Person => "person",
        }
    }
}

/// Whether a field may be left out.
#[derive(Debug, Clone)]
pub enum Presence {
    /// It must stand there.
    Required,
    /// Left out, this holds, as a file would write it (without quotes).
    Default(Cow<'static, str>),
    /// Left out, this holds, in words.
    Otherwise(Cow<'static, str>),
}

/// What a quantity or number may be; texts with units as in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Limits {
    /// More than this.
    pub above: Option<&'static str>,
    /// This or more.
    pub least: Option<&'static str>,
    /// This or less.
    pub most: Option<&'static str>,
}

impl Limits {
    /// Anything.
    pub const ANY: Self = Self {
        above: None,
        least: None,
        most: None,
    };

    /// Whether they hold a value, in the inside unit of its kind.
    #[must_use]
    pub fn hold(&self, kind: Kind, value: f64) -> bool {
        let bound = |text: &str| parse(kind, text).ok();
        self.above.and_then(bound).is_none_or(|bound| value > bound)
            && self.least.and_then(bound).is_none_or(|bound| value >= bound)
            && self.most.and_then(bound).is_none_or(|bound| value <= bound)
    }

    /// In words: "more than 0 W, at most 10 kW".
    #[must_use]
    pub fn words(&self) -> Option<String> {
        let parts: Vec<String> = [
            ("more than", self.above),
            ("at least", self.least),
            ("at most", self.most),
        ]
        .into_iter()
        .filter_map(|(word, bound)| bound.map(|bound| format!("{word} {bound}")))
        .collect();
        (!parts.is_empty()).then(|| parts.join(" and "))
    }
}

impl Field {
    pub(crate) const fn required(
        name: &'static str,
        kind: FieldKind,
        example: &'static str,
        doc: &'static str,
    ) -> Self {
        Self {
            name,
            kind,
            presence: Presence::Required,
            limits: Limits::ANY,
            doc,
            example: Cow::Borrowed(example),
        }
    }

    /// With a default, as a file would write it without quotes; it also serves as the example.
    pub(crate) const fn default(
        name: &'static str,
        kind: FieldKind,
        default: &'static str,
        example: &'static str,
        doc: &'static str,
    ) -> Self {
        let presence = Presence::Default(Cow::Borrowed(default));
        Self {
            name,
            kind,
            presence,
            limits: Limits::ANY,
            doc,
            example: Cow::Borrowed(example),
        }
    }

    pub(crate) const fn optional(
        name: &'static str,
        kind: FieldKind,
        otherwise: &'static str,
        example: &'static str,
        doc: &'static str,
    ) -> Self {
        let presence = Presence::Otherwise(Cow::Borrowed(otherwise));
        Self {
            name,
            kind,
            presence,
            limits: Limits::ANY,
            doc,
            example: Cow::Borrowed(example),
        }
    }

    pub(crate) const fn above(mut self, bound: &'static str) -> Self {
        self.limits.above = Some(bound);
        self
    }

    pub(crate) const fn least(mut self, bound: &'static str) -> Self {
        self.limits.least = Some(bound);
        self
    }

    pub(crate) const fn most(mut self, bound: &'static str) -> Self {
        self.limits.most = Some(bound);
        self
    }

    /// What belongs there, in words.
    #[must_use]
    pub fn expected(&self) -> String {
        let mut words = self.kind.words();
        if let Some(limits) = self.limits.words() {
            words.push_str(", ");
            words.push_str(&limits);
        }
        words
    }
}

impl FieldKind {
    /// What its values are, in words with an example.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Quantity(kind) => format!("{} such as \"{}\"", kind.words(), kind.example()),
            Self::Quantities(kind, count) => {
                format!("a list of {count} quantities, each {} such as \"{}\"", kind.words(), kind.example())
            }
            Self::Number => "a number without quotes".to_owned(),
            Self::Whole => "a whole number without quotes".to_owned(),
            Self::Flag => "true or false".to_owned(),
            Self::Text => "a text in quotes".to_owned(),
            Self::Texts => "a list of texts in quotes".to_owned(),
            Self::Choice(words) => format!("one of {}", quoted(words)),
            Self::Choices(words) => format!("a list of {}", quoted(words)),
            Self::ChoiceOrQuantity(words, kind) => {
                format!("one of {} or {} such as \"{}\"", quoted(words), kind.words(), kind.example())
            }
            Self::Reference(of) => format!("the name of a {}", of.word()),
            Self::References(of) => format!("a list of names of {}s", of.word()),
            Self::TimeOfDay => "a time of day such as \"18:30\"".to_owned(),
            Self::Moment => "a moment of the run such as \"day 2 18:00\" or \"42 h\"; with a `start_date` a date such as \"2025-01-07 18:00\"".to_owned(),
            Self::FaultTime => "a time such as \"24 h\", \"day 2 18:00\", \"daily 18:30\", \"worst phase\", \
                 \"closing 1 of relay left\", \"opening 1 of relay left after 24 h\"; with a `start_date` a date such as \"2025-01-07 18:00\""
                .to_owned(),
            Self::DayOfYear => "a day of the year such as \"25 July\" or \"07-25\"".to_owned(),
            Self::Date => "a date such as \"2025-01-06\"".to_owned(),
            Self::DangerLines => {
                "a list of lines such as [\"30 °C\", \"12 h\"] (longest time at that temperature)".to_owned()
            }
            Self::Course => "a list of points such as [\"12 h\", \"21 °C\"]".to_owned(),
            Self::Table(section) => format!("a table ({})", section.doc),
            Self::Tables(section) => format!("tables with the header [[{}]]", section.name),
            Self::TableOrTables(section) => format!("a table, or a list of tables ({})", section.doc),
            Self::QuantityOrTable(kind, _) => {
                format!("{} such as \"{}\", or a table", kind.words(), kind.example())
            }
            Self::FlagOrTable(_) => "true, false or a table".to_owned(),
            Self::WordOrTable(word, _) => format!("\"{word}\" or a table"),
            Self::Settings => "a table of paths and values such as { \"heater.left.power\" = \"400 W\" }".to_owned(),
            Self::Paths => {
                "a list of paths of things by name, or of fields that may be left out, such as [\"heater.right\", \"cost\"]"
                    .to_owned()
            }
            Self::Scenarios => {
                "a list of names of scenarios, paths, or variants such as { base = \"spare-room-winter\", set = { … } }"
                    .to_owned()
            }
            Self::Strategies => {
                "a list of names of strategies, paths, or tables such as { strategy = \"on-off\", deadband = \"0.2 K\" }"
                    .to_owned()
            }
            Self::Guards => "tables with the header [[guard]]".to_owned(),
            Self::Score => "the name of a score".to_owned(),
            Self::Bound => "a value of the score, with its unit".to_owned(),
            Self::Value => "one number with its unit such as \"0.2 K\"".to_owned(),
            Self::Values => "a list of values".to_owned(),
        }
    }

    /// The section of a nested table, if there is one.
    #[must_use]
    pub fn section(self) -> Option<&'static Section> {
        match self {
            Self::Table(section)
            | Self::Tables(section)
            | Self::TableOrTables(section)
            | Self::QuantityOrTable(_, section)
            | Self::FlagOrTable(section)
            | Self::WordOrTable(_, section) => Some(section),
            _ => None,
        }
    }
}

/// "a", "b" or "c" in quotes.
pub(crate) fn quoted(words: &[&str]) -> String {
    words
        .iter()
        .map(|word| format!("\"{word}\""))
        .collect::<Vec<_>>()
        .join(", ")
}
