//! Happenings on the time axis: spans, alerts and acts, with their names above the panels.

use std::collections::BTreeMap;

use plotters::prelude::DrawingBackend;
use tepid_sim::trace::MarkKind;

use super::canvas::{Anchor, Box2, Canvas, Lettering};
use super::course::Course;
use super::scale::Scale;
use super::{PlotError, ink};

/// Height of a row of names, logical pixels.
pub const ROW: f64 = 15.0;
/// Rows of names at most.
const ROWS: usize = 4;
/// Happenings of one name beyond which each is a tick only.
const FREQUENT: usize = 12;
/// Length of such a tick, logical pixels.
const TICK: f64 = 5.0;
/// Size of the names.
const NAME: Lettering = Lettering {
    size: 11.0,
    color: ink::TEXT,
    bold: false,
};

/// A happening as drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    name: String,
    from: f64,
    to: f64,
    shape: Shape,
}

/// How a happening is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shape {
    /// Shaded while it lasts.
    Lasting,
    /// A dashed line: an alert or an act.
    Instant,
    /// It happens so often that only its starts are ticked.
    Frequent,
}

impl Span {
    fn new(name: String, from: f64, to: f64, shape: Shape) -> Self {
        Self {
            name,
            from,
            to,
            shape,
        }
    }
}

/// Spans of a course, in pixels; what never ends lasts to the edge.
pub fn spans(course: &Course, time: &Scale) -> Vec<Span> {
    let (start, end) = (
        time.clamped(course.from_ms as f64),
        time.clamped(course.to_ms as f64),
    );
    let mut spans: Vec<(Span, bool)> = Vec::new();
    for mark in &course.marks {
        let at = time.clamped(mark.at_ms as f64);
        match mark.what {
            MarkKind::Begins => spans.push((Span::new(mark.name.clone(), at, end, Shape::Lasting), true)),
            MarkKind::Ends => {
                let begun = spans
                    .iter_mut()
                    .find(|(span, open)| *open && span.name == mark.name);
                if let Some((span, open)) = begun {
                    span.to = at;
                    *open = false;
                }
            }
            MarkKind::Alert => {
                spans.push((
                    Span::new(format!("alert: {}", mark.name), at, at, Shape::Instant),
                    false,
                ));
            }
            MarkKind::Act => {
                spans.push((
                    Span::new(format!("done: {}", mark.name), at, at, Shape::Instant),
                    false,
                ));
            }
        }
    }
    let mut shown: Vec<Span> = spans.into_iter().map(|(span, _)| span).collect();
    shown.retain(|span| span.shape == Shape::Instant || span.to > start);
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for span in &shown {
        *times.entry(span.name.clone()).or_default() += 1;
    }
    for span in &mut shown {
        if times.get(&span.name).is_some_and(|times| *times > FREQUENT) {
            span.shape = Shape::Frequent;
        }
    }
    shown
}

/// A name to write, with the row it stands in.
#[derive(Debug, Clone, PartialEq)]
pub struct Name {
    text: String,
    left: f64,
    /// Row, 0 = nearest to the panel.
    pub row: usize,
}

/// Names of the spans, each once, in as few rows as they need; those that find no row are left out.
pub fn names<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    spans: &[Span],
    frame: Box2,
) -> Result<Vec<Name>, PlotError> {
    let mut taken_to = [f64::NEG_INFINITY; ROWS];
    let mut placed: Vec<Name> = Vec::new();
    let mut firsts: Vec<(&Span, usize)> = Vec::new();
    for span in spans {
        match firsts.iter_mut().find(|(first, _)| first.name == span.name) {
            Some((_, times)) => *times += 1,
            None => firsts.push((span, 1)),
        }
    }
    firsts.sort_by(|(a, _), (b, _)| a.from.total_cmp(&b.from));
    for (span, times) in firsts {
        let text = if times > 1 {
            format!("{} ({times}×)", span.name)
        } else {
            span.name.clone()
        };
        let width = canvas.text_width(&text, NAME)?;
        let left = span.from.min(frame.right - width).max(frame.left);
        if let Some(row) = taken_to.iter().position(|to| *to + 10.0 <= left) {
            taken_to[row] = left + width;
            placed.push(Name { text, left, row });
        }
    }
    Ok(placed)
}

/// Draws the spans through a panel.
pub fn draw_spans<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    spans: &[Span],
    panel: Box2,
) -> Result<(), PlotError> {
    for span in spans {
        match span.shape {
            Shape::Frequent => {
                canvas.line(
                    &[(span.from, panel.top), (span.from, panel.top + TICK)],
                    ink::HAPPENING,
                    0.75,
                )?;
            }
            Shape::Instant => {
                canvas.dashed(
                    (span.from, panel.top),
                    (span.from, panel.bottom),
                    2.0,
                    ink::TEXT,
                    1.0,
                )?;
            }
            Shape::Lasting => {
                let right = span.to.max(span.from + 1.0);
                let opacity = if right - span.from < 8.0 { 0.35 } else { 0.14 };
                canvas.fill(
                    Box2 {
                        left: span.from,
                        right,
                        ..panel
                    },
                    ink::HAPPENING,
                    opacity,
                )?;
            }
        }
    }
    Ok(())
}

/// Writes the names above a panel.
pub fn draw_names<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    names: &[Name],
    panel: Box2,
) -> Result<(), PlotError> {
    for name in names {
        let middle = panel.top - ROW * (name.row as f64 + 0.5) - 1.0;
        canvas.text(&name.text, (name.left, middle), Anchor::Left, NAME)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use tepid_sim::time::Millis;

    use super::*;
    use crate::plot::CourseMark;

    fn drawn(marks: &[(Millis, MarkKind, &str)]) -> Vec<(f64, f64, Shape)> {
        let course = Course {
            from_ms: 0,
            to_ms: 1_000,
            water_c: Vec::new(),
            room_c: Vec::new(),
            heater_w: Vec::new(),
            marks: marks
                .iter()
                .map(|&(at_ms, what, name)| CourseMark {
                    at_ms,
                    what,
                    name: name.to_owned(),
                })
                .collect(),
            marks_dropped: 0,
        };
        let time = Scale::new(0.0, 1_000.0, 0.0, 100.0);
        spans(&course, &time)
            .into_iter()
            .map(|span| (span.from, span.to, span.shape))
            .collect()
    }

    #[test]
    fn what_never_ends_is_shaded_to_the_edge_and_what_ended_before_is_not_shown() {
        use MarkKind::{Alert, Begins, Ends};
        let shown = drawn(&[
            (-200, Begins, "feeding pause"),
            (-100, Ends, "feeding pause"),
            (-50, Begins, "heat wave"),
            (200, Ends, "heat wave"),
            (300, Begins, "relay left welded"),
            (400, Alert, "main above 27 °C"),
        ]);
        assert_eq!(
            shown,
            [
                (0.0, 20.0, Shape::Lasting),
                (30.0, 100.0, Shape::Lasting),
                (40.0, 40.0, Shape::Instant)
            ]
        );
    }

    #[test]
    fn what_happens_every_day_for_weeks_is_only_ticked() {
        let marks: Vec<_> = (0..26)
            .map(|index| {
                (
                    index * 10,
                    if index % 2 == 0 {
                        MarkKind::Begins
                    } else {
                        MarkKind::Ends
                    },
                    "feeding pause",
                )
            })
            .collect();
        assert!(drawn(&marks).iter().all(|(.., shape)| *shape == Shape::Frequent));
        assert!(
            drawn(&marks[..24])
                .iter()
                .all(|(.., shape)| *shape == Shape::Lasting)
        );
    }
}
