//! Lines of a weather file and their cells, each with its place.

use std::ops::Range;
use std::sync::Arc;

use tepid_sim::quantity::Kind;

use crate::mistakes::shortened;
use crate::problem::{Problem, Problems, Reported};
use crate::source::{Place, Source};

/// A line and its cells.
pub(crate) struct Line<'s> {
    source: &'s Arc<Source>,
    range: Range<usize>,
    cells: Vec<Range<usize>>,
}

/// What a column holds, for messages and for what it may be.
pub(crate) struct Quantity {
    /// In words with its unit: "a temperature in °C".
    pub what: &'static str,
    /// This or more, in that unit.
    pub least: f64,
    /// This or less, in that unit.
    pub most: f64,
}

pub(crate) const TEMPERATURE_C: Quantity = Quantity {
    what: "a temperature in °C",
    least: -90.0,
    most: 60.0,
};
pub(crate) const TEMPERATURE_F: Quantity = Quantity {
    what: "a temperature in °F",
    least: -130.0,
    most: 140.0,
};
/// Up to 110 %: measured humidity overshoots in fog. Taken as 100 % at most.
pub(crate) const HUMIDITY_PERCENT: Quantity = Quantity {
    what: "a relative humidity in %",
    least: 0.0,
    most: 110.0,
};
pub(crate) const HUMIDITY_FRACTION: Quantity = Quantity {
    what: "a relative humidity as a fraction, 1 = saturated",
    least: 0.0,
    most: 1.1,
};
/// Somewhat below zero: instruments do so at night. Taken as 0 at least.
pub(crate) const SUN_W_PER_M2: Quantity = Quantity {
    what: "the sun on level ground in W/m²",
    least: -20.0,
    most: 1600.0,
};

/// Lines from the given one on (0 = the first), without empty ones and comments.
pub(crate) fn lines(source: &Arc<Source>, first: usize, separator: char) -> impl Iterator<Item = Line<'_>> {
    let mut at = 0;
    source
        .text
        .split_inclusive('\n')
        .map(move |line| {
            let start = at;
            at += line.len();
            start..start + line.trim_end_matches(['\n', '\r']).len()
        })
        .skip(first)
        .filter(|range| {
            let text = source.text[range.clone()].trim();
            !text.is_empty() && !text.starts_with('#')
        })
        .map(move |range| Line::new(source, range, separator))
}

impl<'s> Line<'s> {
    fn new(source: &'s Arc<Source>, range: Range<usize>, separator: char) -> Self {
        let text = &source.text[range.clone()];
        let mut cells = Vec::new();
        let mut start = 0;
        let mut quoted = false;
        for (at, c) in text.char_indices() {
            if c == '"' {
                quoted = !quoted;
            } else if c == separator && !quoted {
                cells.push(trimmed(text, start..at));
                start = at + c.len_utf8();
            }
        }
        cells.push(trimmed(text, start..text.len()));
        let cells = cells
            .into_iter()
            .map(|cell| range.start + cell.start..range.start + cell.end)
            .collect();
        Self { source, range, cells }
    }

    /// Number of cells.
    pub fn len(&self) -> usize {
        self.cells.len()
    }

    /// Where the whole line stands.
    pub fn place(&self) -> Place {
        Place::new(self.source, self.range.clone())
    }

    /// Where a cell stands.
    pub fn place_of(&self, column: usize) -> Place {
        Place::new(self.source, self.range(column))
    }

    /// Bytes of a cell; of the line where there is none.
    pub fn range(&self, column: usize) -> Range<usize> {
        self.cells.get(column).unwrap_or(&self.range).clone()
    }

    /// Text of a cell; empty where there is none.
    pub fn text(&self, column: usize) -> &'s str {
        self.cells
            .get(column)
            .map_or("", |range| &self.source.text[range.clone()])
    }

    /// A mistake in a cell; where the line ends before it, in the line.
    pub fn bad(&self, column: usize, what: &str, problems: &Problems) -> Reported {
        let place = self.place_of(column);
        let found = self.text(column);
        let (message, label) = match (self.cells.get(column), found) {
            (None, _) => (
                format!("the row ends before column {}, {what}", column + 1),
                "row too short",
            ),
            (Some(_), "") => (format!("column {} is empty: {what}", column + 1), "missing"),
            (Some(_), found) => (
                format!("`{}` in column {} is not {what}", shortened(found), column + 1),
                "not understood",
            ),
        };
        problems.add(
            Problem::new("weather-row", &place, message)
                .label(label)
                .found(shortened(found))
                .expected(what),
        )
    }

    /// A figure within what its column may hold.
    pub fn number(&self, column: usize, quantity: &Quantity, problems: &Problems) -> Result<f64, Reported> {
        match self.text(column).parse::<f64>() {
            Ok(value) if (quantity.least..=quantity.most).contains(&value) => Ok(value),
            Ok(_) | Err(_) => {
                let what = format!("{} from {} to {}", quantity.what, quantity.least, quantity.most);
                Err(self.bad(column, &what, problems))
            }
        }
    }

    /// A temperature in °F, as °C.
    pub fn temperature_f(&self, column: usize, problems: &Problems) -> Result<f64, Reported> {
        let to_c = |fahrenheit: f64| {
            Kind::Temperature
                .unit("°F")
                .map(|unit| unit.to_inside(fahrenheit))
        };
        self.number(column, &TEMPERATURE_F, problems)
            .and_then(|fahrenheit| to_c(fahrenheit).ok_or(Reported))
    }

    /// The sun; `missing` tells the figure that stands for none.
    pub fn sun(
        &self,
        column: usize,
        missing: impl Fn(f64) -> bool,
        problems: &Problems,
    ) -> Result<Option<f64>, Reported> {
        let none = self.text(column).parse().is_ok_and(missing);
        if none {
            return Ok(None);
        }
        self.number(column, &SUN_W_PER_M2, problems)
            .map(|sun| Some(sun.max(0.0)))
    }

    /// Relative humidity in %, as a fraction of at most 1.
    pub fn humidity_percent(&self, column: usize, problems: &Problems) -> Result<f64, Reported> {
        self.number(column, &HUMIDITY_PERCENT, problems)
            .map(|percent| (percent / 100.0).min(1.0))
    }
}

/// A range without blanks and quotes around its text.
fn trimmed(text: &str, range: Range<usize>) -> Range<usize> {
    let cell = &text[range.clone()];
    let inner = cell.trim().trim_matches('"').trim();
    // An empty cell stands where it begins.
    let before = cell.find(inner).unwrap_or(0);
    range.start + before..range.start + before + inner.len()
}
