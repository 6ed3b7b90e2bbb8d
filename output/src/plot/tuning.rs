//! The settings of a search: how often each closes its contacts against how far it lets the water swing.

use plotters::prelude::{DrawingBackend, RGBColor};

use super::canvas::{Anchor, Box2, Canvas, Lettering};
use super::picture::{self, Picture};
use super::scale::{Scale, ticks};
use super::{PlotError, font, ink};
use crate::records::{Tuning, TuningMerits};

const WIDTH: f64 = 800.0;
const HEIGHT: f64 = 460.0;
const FRAME: Box2 = Box2 {
    left: 62.0,
    top: 62.0,
    right: 776.0,
    bottom: 392.0,
};

const TITLE: Lettering = Lettering {
    size: 15.0,
    color: ink::TEXT,
    bold: true,
};
const WORDS: Lettering = Lettering {
    size: 12.0,
    color: ink::TEXT,
    bold: false,
};
const NAMED: Lettering = Lettering {
    size: 12.0,
    color: ink::TEXT,
    bold: true,
};
const TICK: Lettering = Lettering {
    size: 11.0,
    color: ink::TEXT,
    bold: false,
};

/// The settings as an SVG document.
///
/// # Errors
/// [`PlotError`] if there is nothing to show or the picture cannot be drawn.
pub fn tuning_svg(record: &Tuning) -> Result<String, PlotError> {
    picture::svg(&Settings::new(record)?)
}

/// The settings as a PNG picture, 1600 pixels wide.
///
/// # Errors
/// [`PlotError`] if there is nothing to show or the picture cannot be drawn or encoded.
pub fn tuning_png(record: &Tuning) -> Result<Vec<u8>, PlotError> {
    picture::png(&Settings::new(record)?)
}

/// What the abscissa shows.
#[derive(Clone, Copy)]
enum Across {
    /// Closings a day, by their logarithm.
    Closings,
    /// Where nothing that wears closes: kWh a day.
    Energy,
}

impl Across {
    fn value(self, merits: &TuningMerits) -> f64 {
        match self {
            Self::Closings => (1.0 + merits.closings_per_day.unwrap_or(0.0)).log10(),
            Self::Energy => merits.energy_kwh_per_day,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Closings => "closings a day of the busiest contact",
            Self::Energy => "electricity, kWh a day",
        }
    }

    /// Positions and labels of ticks.
    fn ticks(self, (low, high): (f64, f64)) -> Vec<(f64, String)> {
        match self {
            Self::Closings => [
                0.0, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0,
            ]
            .into_iter()
            .map(|closings: f64| ((1.0 + closings).log10(), format!("{closings:.0}")))
            .filter(|(at, _)| (low..=high).contains(at))
            .collect(),
            Self::Energy => ticks(low, high, 7)
                .into_iter()
                .map(|kwh| (kwh, format!("{kwh:.2}")))
                .collect(),
        }
    }
}

/// The picture.
struct Settings<'a> {
    record: &'a Tuning,
    across: Across,
    x: (f64, f64),
    y: (f64, f64),
}

impl<'a> Settings<'a> {
    fn new(record: &'a Tuning) -> Result<Self, PlotError> {
        font::ensure_registered()?;
        let merits = || record.settings.iter().map(|setting| &setting.merits);
        let across = if merits().any(|merits| merits.closings_per_day.is_some()) {
            Across::Closings
        } else {
            Across::Energy
        };
        let x = widened(merits().map(|merits| across.value(merits))).ok_or(PlotError::NothingToShow)?;
        let (_, highest_k) =
            widened(merits().map(|merits| merits.swing_k)).ok_or(PlotError::NothingToShow)?;
        Ok(Self {
            record,
            across,
            x,
            y: (0.0, highest_k),
        })
    }
}

/// From the smallest to the largest with some room on either side.
fn widened(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let (low, high) = values
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    let room = (0.06 * (high - low)).max(0.01);
    (low <= high).then_some((low - room, high + room))
}

impl Picture for Settings<'_> {
    fn size(&self) -> (u32, u32) {
        (WIDTH as u32, HEIGHT as u32)
    }

    fn draw<B: DrawingBackend>(&self, canvas: &Canvas<'_, B>) -> Result<(), PlotError> {
        let record = self.record;
        canvas.text(
            &format!(
                "{}: {} settings of {}",
                record.title,
                record.settings.len(),
                record.strategy
            ),
            (12.0, 17.0),
            Anchor::Left,
            TITLE,
        )?;
        let names: Vec<&str> = record
            .parameters
            .iter()
            .map(|parameter| parameter.parameter.as_str())
            .collect();
        canvas.text(
            &format!(
                "over- and undershoot together, K; left and low is better; labels: {}",
                names.join(", ")
            ),
            (12.0, 39.0),
            Anchor::Left,
            WORDS,
        )?;
        let x = Scale::new(self.x.0, self.x.1, FRAME.left, FRAME.right);
        let y = Scale::new(self.y.0, self.y.1, FRAME.bottom, FRAME.top);
        for tick in y.ticks(6) {
            let at = y.at(tick);
            canvas.line(&[(FRAME.left, at), (FRAME.right, at)], ink::GRID, 0.75)?;
            canvas.text(&format!("{tick:.1}"), (FRAME.left - 6.0, at), Anchor::Right, TICK)?;
        }
        for (tick, label) in self.across.ticks(self.x) {
            let at = x.at(tick);
            canvas.line(&[(at, FRAME.top), (at, FRAME.bottom)], ink::GRID, 0.75)?;
            canvas.text(&label, (at, FRAME.bottom + 14.0), Anchor::Middle, TICK)?;
        }
        canvas.text(
            self.across.name(),
            (0.5 * (FRAME.left + FRAME.right), FRAME.bottom + 32.0),
            Anchor::Middle,
            WORDS,
        )?;
        let place = |at: usize| {
            let merits = &record.settings[at].merits;
            (x.at(self.across.value(merits)), y.at(merits.swing_k))
        };
        // What others beat below, what none beats above it.
        for front in [false, true] {
            for (at, setting) in record.settings.iter().enumerate() {
                if setting.pareto == front {
                    let color = if front { ink::water(0) } else { ink::ROOM };
                    mark(canvas, place(at), if front { 4.0 } else { 3.0 }, color, front)?;
                }
            }
        }
        let mut named = vec![(0, "defaults")];
        named.extend(record.recommended.map(|at| {
            (
                at,
                if at == 0 {
                    "recommended: the defaults"
                } else {
                    "recommended"
                },
            )
        }));
        if record.recommended == Some(0) {
            named.remove(0);
        }
        for (index, (at, word)) in named.into_iter().enumerate() {
            let (px, py) = place(at);
            mark(canvas, (px, py), 7.0, ink::DANGER, false)?;
            let words = format!("{word}: {}", record.settings[at].values.join(", "));
            let width = canvas.text_width(&words, NAMED)?;
            let above = py - 16.0 - 14.0 * index as f64;
            let above = if above < FRAME.top + 8.0 {
                py + 18.0 + 14.0 * index as f64
            } else {
                above
            };
            let left = (px + 8.0).min(FRAME.right - width - 4.0);
            canvas.text(&words, (left, above), Anchor::Left, NAMED)?;
        }
        mark(
            canvas,
            (FRAME.left + 6.0, HEIGHT - 16.0),
            4.0,
            ink::water(0),
            true,
        )?;
        canvas.text(
            "no other setting is better in one of the merits and as good in all (dose and time outside the band among them)",
            (FRAME.left + 16.0, HEIGHT - 16.0),
            Anchor::Left,
            TICK,
        )
    }
}

/// A square, filled or not.
fn mark<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    (x, y): (f64, f64),
    half: f64,
    color: RGBColor,
    filled: bool,
) -> Result<(), PlotError> {
    if filled {
        let shape = Box2 {
            left: x - half,
            right: x + half,
            top: y - half,
            bottom: y + half,
        };
        return canvas.fill(shape, color, 1.0);
    }
    let corners = [
        (x - half, y - half),
        (x + half, y - half),
        (x + half, y + half),
        (x - half, y + half),
        (x - half, y - half),
    ];
    canvas.line(&corners, color, 1.2)
}
