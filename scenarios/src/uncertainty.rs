//! Files of distributions: what is not known of a tank, and how badly.

use std::path::Path;
use std::sync::Arc;

use crate::fields::uncertain::{UNCERTAIN, UNCERTAINTY};
use crate::load::{finish, read_source};
use crate::node::Table;
use crate::problem::{Problem, Problems, Report, Reported};
use crate::reader::Reader;
use crate::source::Source;
use crate::variant::parse_document;

/// The distributions that come with the program, as a file.
pub const LIBRARY: &str = include_str!("../library/uncertainty.toml");

/// One uncertain parameter.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncertain {
    /// What is uncertain.
    pub parameter: Parameter,
    /// The same for people: "how stirred the surface is".
    pub words: String,
    /// How its value is distributed, in [`Parameter::unit`].
    pub distribution: Distribution,
    /// Where the numbers come from, or that they are assumed.
    pub source: String,
}

/// What can be uncertain. One value holds for the whole system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Parameter {
    /// Factor on evaporation into still air: the scatter of its correlation.
    Evaporation,
    /// Factor on the agitation of every tank.
    Agitation,
    /// Factor on the open share under a net.
    OpenUnderNet,
    /// Factor on the open share under a lid.
    OpenUnderLid,
    /// Factor on the conductance from panes to room, as if their area were larger.
    OuterFilm,
    /// Added to the free share of the sides where it is below 1.
    FreeSides,
    /// Resistance added inside the sides, m² K/W.
    InnerFilm,
    /// Added to how much warmer than the air the surroundings are, K.
    Surroundings,
    /// Added to the temperature of every room, K.
    Room,
    /// Added to the relative humidity of every room, as a fraction.
    Humidity,
    /// Factor on the share of a lamp's power that ends in the water.
    LampShare,
    /// Factor on the power of pumps.
    PumpPower,
    /// Factor on the power of heaters.
    HeaterRating,
    /// Factor on the height of the water.
    WaterLevel,
    /// Factor on how much warmer and damper than the room a cabinet is.
    Cabinet,
    /// Factor on the height of tanks whose proportions are assumed, at the same volume.
    AssumedHeight,
    /// Factor on length over width of tanks whose proportions are assumed, at the same volume.
    AssumedLength,
}

/// The words of a file, the parameter, the unit of its numbers.
const MEANINGS: [(&str, Parameter, &str); 17] = [
    ("evaporation", Parameter::Evaporation, "factor"),
    ("agitation", Parameter::Agitation, "factor"),
    ("open share under a net", Parameter::OpenUnderNet, "factor"),
    ("open share under a lid", Parameter::OpenUnderLid, "factor"),
    ("outer film", Parameter::OuterFilm, "factor"),
    ("free sides", Parameter::FreeSides, "difference"),
    ("inner film", Parameter::InnerFilm, "m2 K/W"),
    ("surroundings", Parameter::Surroundings, "K"),
    ("room", Parameter::Room, "K"),
    ("humidity", Parameter::Humidity, "difference"),
    ("lamp share", Parameter::LampShare, "factor"),
    ("pump power", Parameter::PumpPower, "factor"),
    ("heater rating", Parameter::HeaterRating, "factor"),
    ("water level", Parameter::WaterLevel, "factor"),
    ("cabinet", Parameter::Cabinet, "factor"),
    ("assumed height", Parameter::AssumedHeight, "factor"),
    ("assumed length", Parameter::AssumedLength, "factor"),
];

impl Parameter {
    /// Its name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.meaning().0
    }

    /// Unit of its values: "factor" multiplies; "difference", "K" and "m2 K/W" add.
    #[must_use]
    pub fn unit(self) -> &'static str {
        self.meaning().2
    }

    fn meaning(self) -> (&'static str, Self, &'static str) {
        MEANINGS
            .into_iter()
            .find(|(_, parameter, _)| *parameter == self)
            .unwrap_or(("", self, ""))
    }
}

/// How a value is distributed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Distribution {
    /// Every value between two ends alike.
    Uniform {
        /// Lowest.
        low: f64,
        /// Highest.
        high: f64,
    },
    /// The bell curve.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation, ≥ 0.
        spread: f64,
    },
    /// Rising to a peak and falling.
    Triangular {
        /// Lowest.
        low: f64,
        /// Likeliest.
        likely: f64,
        /// Highest.
        high: f64,
    },
    /// Its logarithm is normal.
    LogNormal {
        /// Median, > 0.
        median: f64,
        /// Standard deviation of the natural logarithm, ≥ 0.
        spread: f64,
    },
}

impl Distribution {
    /// Whether its numbers make a distribution.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        match *self {
            Self::Uniform { low, high } => low < high,
            Self::Normal { spread, .. } => spread >= 0.0,
            Self::Triangular { low, likely, high } => low < high && low <= likely && likely <= high,
            Self::LogNormal { median, spread } => median > 0.0 && spread >= 0.0,
        }
    }
}

/// The distributions of the library.
///
/// # Errors
/// [`Report`], which would be a mistake of ours: a test loads them.
pub fn library() -> Result<Vec<Uncertain>, Report> {
    of_text("uncertainty", LIBRARY)
}

/// Distributions from a file.
///
/// # Errors
/// [`Report`] with every mistake.
pub fn of_file(path: &Path) -> Result<Vec<Uncertain>, Report> {
    of_source(&read_source(path)?)
}

/// Distributions from a text; `name` stands in messages.
///
/// # Errors
/// [`Report`] with every mistake.
pub fn of_text(name: &str, text: &str) -> Result<Vec<Uncertain>, Report> {
    of_source(&Source::new(name, text))
}

fn of_source(source: &Arc<Source>) -> Result<Vec<Uncertain>, Report> {
    let problems = Problems::default();
    let read = parse_document(source, &problems).and_then(|root| {
        let reader = Reader::open(&root, &UNCERTAINTY, &problems);
        let (tables, whole) = reader.tables("uncertain");
        let read: Vec<_> = tables.iter().map(|table| uncertain(table, &problems)).collect();
        whole?;
        read.into_iter().collect()
    });
    finish(read, problems)
}

fn uncertain(table: &Table, problems: &Problems) -> Result<Uncertain, Reported> {
    let reader = Reader::open(table, &UNCERTAIN, problems);
    let (parameter, unit) = (reader.choice("parameter"), reader.choice("unit"));
    let words = reader.text("words");
    let source = reader.text("from");
    let distribution = distribution(&reader);
    let (parameter, unit) = (parameter?, unit?);
    let (_, meant, own_unit) = MEANINGS
        .into_iter()
        .find(|(name, _, _)| *name == parameter)
        .ok_or(Reported)?;
    if unit != own_unit {
        let problem = Problem::new(
            "unit-of-parameter",
            reader.place_of("unit"),
            format!("`{parameter}` is not given as `{unit}`"),
        )
        .found(unit)
        .expected(format!("unit = \"{own_unit}\""))
        .fix(format!("unit = \"{own_unit}\""));
        return Err(problems.add(problem));
    }
    Ok(Uncertain {
        parameter: meant,
        words: words?,
        distribution: distribution?,
        source: source?,
    })
}

fn distribution(reader: &Reader<'_>) -> Result<Distribution, Reported> {
    let need = |name: &str| reader.optional_number(name)?.ok_or_else(|| reader.missing(name));
    let made = match reader.choice("distribution")? {
        "uniform" => Distribution::Uniform {
            low: need("low")?,
            high: need("high")?,
        },
        "normal" => Distribution::Normal {
            mean: need("mean")?,
            spread: need("spread")?,
        },
        "triangular" => Distribution::Triangular {
            low: need("low")?,
            likely: need("likely")?,
            high: need("high")?,
        },
        _ => Distribution::LogNormal {
            median: need("median")?,
            spread: need("spread")?,
        },
    };
    if made.is_sound() {
        return Ok(made);
    }
    let problem = Problem::new(
        "no-distribution",
        reader.place_of("distribution"),
        "these numbers make no distribution",
    )
    .expected("low below high with `likely` between them; `median` above 0; `spread` not negative");
    Err(reader.report(problem))
}
