//! A scenario from eight plain questions: the questions and their answers as data, and the commented file they make.
//!
//! [`conversation`] asks: it shows [`Topic::question`] with [`Answers::shown`] in brackets, hands what was typed to [`Answers::take`]
//! (nothing typed keeps what was shown) and asks again on an [`AnswerError`]. [`Answers::scenario_text`] is the file.

mod conversation;
mod livestock;
mod understood;
mod written;

pub use conversation::{ConversationError, conversation};

use tepid_sim::quantity::{Kind, QuantityError, System, print};

/// What is asked, in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// °C or °F.
    Units,
    /// Size of the tank.
    Size,
    /// What covers the water.
    Cover,
    /// The room in winter and summer.
    Room,
    /// The heaters.
    Heaters,
    /// What switches them.
    Switching,
    /// What lives there.
    Livestock,
    /// Who is near.
    Nearby,
}

impl Topic {
    /// All topics, in the order to ask.
    pub const ALL: [Self; 8] = [
        Self::Units,
        Self::Size,
        Self::Cover,
        Self::Room,
        Self::Heaters,
        Self::Switching,
        Self::Livestock,
        Self::Nearby,
    ];

    /// The question, one line of at most 90 characters, without its default.
    #[must_use]
    pub fn question(self) -> &'static str {
        match self {
            Self::Units => "Temperatures in °C or °F?",
            Self::Size => "How large is the tank: its volume, or inner length x width x height?",
            Self::Cover => "What covers the water: open, mesh or lid?",
            Self::Room => "How cold does the room get in winter, and how warm in summer?",
            Self::Heaters => "Which heaters hang in it?",
            Self::Switching => {
                "What switches them: dial, controller (dials turned up out of its way) or both?"
            }
            Self::Livestock => "What lives there: reef, tropical fish or cool-water fish?",
            Self::Nearby => "Who is near when something goes wrong: home, evenings or nobody?",
        }
    }

    /// An answer that is understood, in the given units.
    #[must_use]
    pub fn example(self, units: System) -> &'static str {
        let us = units == System::UsCustomary;
        match self {
            Self::Units => "°C",
            Self::Size if us => "75 gal, or 48 x 18 x 21 in",
            Self::Size => "300 L, or 120 x 50 x 50 cm",
            Self::Cover => "mesh",
            Self::Room if us => "61 °F to 81 °F",
            Self::Room => "16 °C to 27 °C",
            Self::Heaters => "150 W, or 2 x 150 W, or 100 W and 200 W",
            Self::Switching => "both",
            Self::Livestock => "reef",
            Self::Nearby => "evenings",
        }
    }
}

/// How large the tank is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// Its volume, m³.
    Volume(f64),
    /// Inner length, width and height, m.
    Inside([f64; 3]),
}

impl Size {
    /// Full inside volume, m³.
    #[must_use]
    pub fn volume_m3(self) -> f64 {
        match self {
            Self::Volume(volume_m3) => volume_m3,
            Self::Inside(sides_m) => sides_m.iter().product(),
        }
    }
}

/// What switches the heaters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Switching {
    /// Each heater's own dial.
    Dial,
    /// A controller; the dials are turned up out of its way.
    Controller,
    /// A controller, and dials a little above what it holds.
    Both,
}

/// What lives in the tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Animals {
    /// A tropical reef.
    Reef,
    /// Tropical freshwater fish.
    TropicalFish,
    /// Freshwater fish of cooler water.
    CoolWaterFish,
}

/// Who can act on an alert.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nearby {
    /// Somebody is at home.
    Home,
    /// Somebody comes home in the evening.
    Evenings,
    /// Nobody.
    Nobody,
}

/// What is known so far; it starts with sensible answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// Units of the file.
    pub units: System,
    /// Size of the tank.
    pub size: Size,
    /// What covers the water, in the word of the file: open, mesh, lid.
    pub cover: &'static str,
    /// The room in winter and summer, °C.
    pub room_c: (f64, f64),
    /// Rated power of each heater, W, at least one.
    pub heaters_w: Vec<f64>,
    /// What switches them.
    pub switching: Switching,
    /// What lives there.
    pub animals: Animals,
    /// Who is near.
    pub nearby: Nearby,
}

/// An answer was not understood.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AnswerError {
    /// Not the quantity that belongs there: a bare number, another kind of unit, something else.
    #[error("{error}; for example {example}")]
    Quantity {
        /// What is wrong with it.
        error: QuantityError,
        /// What would be understood.
        example: &'static str,
    },
    /// None of the words, or the beginning of several.
    #[error("`{found}` is not one of {words}")]
    Word {
        /// What was typed.
        found: String,
        /// The words, in a row.
        words: String,
    },
    /// More or fewer quantities than asked for.
    #[error("{expected}; for example {example}")]
    Count {
        /// What is asked for.
        expected: &'static str,
        /// What would be understood.
        example: &'static str,
    },
    /// Too small, too large, or the wrong way round.
    #[error("{expected}; for example {example}")]
    Range {
        /// What must hold.
        expected: &'static str,
        /// What would be understood.
        example: &'static str,
    },
}

impl Answers {
    /// The answers to start with, in round numbers of the units.
    #[must_use]
    pub fn sensible(units: System) -> Self {
        let us = units == System::UsCustomary;
        let temp_c = |fahrenheit: f64, celsius: f64| if us { (fahrenheit - 32.0) / 1.8 } else { celsius };
        Self {
            units,
            size: Size::Volume(if us { 75.0 * GALLON_M3 } else { 0.3 }),
            cover: "mesh",
            room_c: (temp_c(61.0, 16.0), temp_c(79.0, 26.0)),
            heaters_w: vec![150.0, 150.0],
            switching: Switching::Both,
            animals: Animals::Reef,
            nearby: Nearby::Evenings,
        }
    }

    /// The present answer to a question, as it could be typed.
    #[must_use]
    pub fn shown(&self, topic: Topic) -> String {
        let temperature = |temp_c| print(Kind::Temperature, temp_c, self.units);
        match topic {
            Topic::Units if self.units == System::UsCustomary => "°F".to_owned(),
            Topic::Units => "°C".to_owned(),
            Topic::Size => match self.size {
                Size::Volume(volume_m3) => print(Kind::Volume, volume_m3, self.units),
                Size::Inside(sides_m) => sides_m
                    .map(|side_m| print(Kind::Length, side_m, self.units))
                    .join(" x "),
            },
            Topic::Cover => self.cover.to_owned(),
            Topic::Room => format!("{} to {}", temperature(self.room_c.0), temperature(self.room_c.1)),
            Topic::Heaters => {
                let powers: Vec<String> = self
                    .heaters_w
                    .iter()
                    .map(|power_w| print(Kind::Power, *power_w, self.units))
                    .collect();
                powers.join(", ")
            }
            Topic::Switching => understood::word_of(understood::SWITCHING, &self.switching),
            Topic::Livestock => understood::word_of(understood::ANIMALS, &self.animals),
            Topic::Nearby => understood::word_of(understood::NEARBY, &self.nearby),
        }
    }

    /// Takes what was typed; nothing typed keeps what was shown. The units come first: they set the other answers back.
    ///
    /// # Errors
    /// [`AnswerError`]; the answers stay as they were.
    pub fn take(&mut self, topic: Topic, typed: &str) -> Result<(), AnswerError> {
        let typed = typed.trim();
        if typed.is_empty() {
            return Ok(());
        }
        let example = topic.example(self.units);
        match topic {
            Topic::Units => *self = Self::sensible(understood::word(understood::UNITS, typed)?),
            Topic::Size => self.size = understood::size(typed, example)?,
            Topic::Cover => self.cover = understood::word(understood::COVERS, typed)?,
            Topic::Room => self.room_c = understood::room(typed, self.units, example)?,
            Topic::Heaters => self.heaters_w = understood::heaters(typed, example)?,
            Topic::Switching => self.switching = understood::word(understood::SWITCHING, typed)?,
            Topic::Livestock => self.animals = understood::word(understood::ANIMALS, typed)?,
            Topic::Nearby => self.nearby = understood::word(understood::NEARBY, typed)?,
        }
        Ok(())
    }

    /// The scenario as a commented file.
    #[must_use]
    pub fn scenario_text(&self) -> String {
        written::scenario(self)
    }
}

/// A US gallon, m³. Exact by definition: 231 cubic inches.
const GALLON_M3: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;
