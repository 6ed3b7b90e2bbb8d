//! Happenings on the time axis: spans, alerts and acts.

use std::collections::BTreeMap;

use plotters::prelude::DrawingBackend;
use tepid_sim::quantity::print_time_of_day;
use tepid_sim::time::{DAY, Millis, time_of_day};
use tepid_sim::trace::MarkKind;

use super::canvas::{Box2, Canvas};
use super::course::Course;
use super::scale::Scale;
use super::{PlotError, ink};

/// Happenings of one name beyond which each is a tick only.
const FREQUENT: usize = 12;
/// Length of such a tick, logical pixels.
pub const TICK: f64 = 5.0;
/// Narrower spans are shaded darker, so that they are seen at all, logical pixels.
const NARROW: f64 = 8.0;

/// A happening as drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    /// Its name.
    pub name: String,
    begins_ms: Millis,
    /// Where it begins, logical pixels.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// How it is drawn.
    pub shape: Shape,
}

/// How a happening is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Shaded while it lasts.
    Lasting,
    /// A dashed line: an alert or an act.
    Instant,
    /// It happens so often that only its starts are ticked, at the bottom.
    Frequent,
}

impl Span {
    fn lasting(name: String, begins_ms: Millis, from: f64, to: f64) -> Self {
        Self {
            name,
            begins_ms,
            from,
            to,
            shape: Shape::Lasting,
        }
    }

    fn instant(name: String, at_ms: Millis, at: f64) -> Self {
        Self {
            shape: Shape::Instant,
            ..Self::lasting(name, at_ms, at, at)
        }
    }

    /// What a label should not cover of it in a panel.
    pub fn strike(&self, panel: Box2) -> Option<Box2> {
        let right = match self.shape {
            Shape::Frequent => return None,
            Shape::Instant => self.from,
            Shape::Lasting if self.to - self.from < NARROW => self.to,
            Shape::Lasting => self.from,
        };
        Some(Box2 {
            left: self.from - 1.0,
            right: right + 1.0,
            ..panel
        })
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
            MarkKind::Begins => {
                spans.push((Span::lasting(mark.name.clone(), mark.at_ms, at, end), true));
            }
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
                    Span::instant(format!("alert: {}", mark.name), mark.at_ms, at),
                    false,
                ));
            }
            MarkKind::Heard => {
                spans.push((
                    Span::instant(format!("heard by {}", mark.name), mark.at_ms, at),
                    false,
                ));
            }
            MarkKind::Act => {
                spans.push((
                    Span::instant(format!("done: {}", mark.name), mark.at_ms, at),
                    false,
                ));
            }
        }
    }
    let mut shown: Vec<Span> = spans.into_iter().map(|(span, _)| span).collect();
    shown.retain(|span| match span.shape {
        Shape::Instant => span.begins_ms >= course.from_ms,
        _ => span.to > start,
    });
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

/// What the ticks at the bottom stand for: "ticks: feeding pause, daily at 18:30 (365×)".
pub fn ticked(spans: &[Span]) -> Option<String> {
    let mut starts: BTreeMap<&str, Vec<Millis>> = BTreeMap::new();
    for span in spans.iter().filter(|span| span.shape == Shape::Frequent) {
        starts.entry(&span.name).or_default().push(span.begins_ms);
    }
    let names: Vec<String> = starts
        .iter()
        .map(|(name, starts_ms)| {
            let daily = starts_ms.windows(2).all(|pair| pair[1] - pair[0] == DAY);
            let when = match starts_ms.first() {
                Some(first_ms) if daily => {
                    format!(", daily at {}", print_time_of_day(time_of_day(*first_ms)))
                }
                _ => String::new(),
            };
            format!("{name}{when} ({}×)", starts_ms.len())
        })
        .collect();
    (!names.is_empty()).then(|| format!("ticks: {}", names.join("; ")))
}

/// Draws the ticks of what happens often at the bottom of a panel.
pub fn draw_ticks<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    spans: &[Span],
    panel: Box2,
) -> Result<(), PlotError> {
    for span in spans.iter().filter(|span| span.shape == Shape::Frequent) {
        let tick = [(span.from, panel.bottom - TICK), (span.from, panel.bottom)];
        canvas.line(&tick, ink::HAPPENING, 0.75)?;
    }
    Ok(())
}

/// Draws the spans through a panel.
pub fn draw_spans<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    spans: &[Span],
    panel: Box2,
) -> Result<(), PlotError> {
    for span in spans {
        match span.shape {
            Shape::Frequent => {}
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
                let narrow = right - span.from < NARROW;
                let opacity = if narrow { 0.35 } else { 0.14 };
                canvas.fill(
                    Box2 {
                        left: span.from,
                        right,
                        ..panel
                    },
                    ink::HAPPENING,
                    opacity,
                )?;
                if !narrow {
                    canvas.line(
                        &[(span.from, panel.top), (span.from, panel.bottom)],
                        ink::TEXT,
                        1.0,
                    )?;
                }
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use tepid_sim::time::Millis;

    use super::*;
    use crate::plot::CourseMark;

    fn spans_of(marks: &[(Millis, MarkKind, &str)]) -> Vec<Span> {
        let course = Course {
            from_ms: 0,
            to_ms: 1_000,
            water_c: Vec::new(),
            room_c: Vec::new(),
            heater_w: Vec::new(),
            cooler_w: Vec::new(),
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
    }

    fn drawn(marks: &[(Millis, MarkKind, &str)]) -> Vec<(f64, f64, Shape)> {
        let all = spans_of(marks).into_iter();
        all.map(|span| (span.from, span.to, span.shape)).collect()
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

    #[test]
    fn what_the_ticks_stand_for_is_said_once_with_its_time_of_day() {
        let feeding: Vec<_> = (0..20)
            .map(|day| (day * DAY + 66_600_000, MarkKind::Alert, "fed"))
            .collect();
        let mut course_ms = feeding.clone();
        assert_eq!(
            ticked(&spans_of(&course_ms)).as_deref(),
            Some("ticks: alert: fed, daily at 18:30 (20×)")
        );
        course_ms[3].0 += 60_000;
        assert_eq!(
            ticked(&spans_of(&course_ms)).as_deref(),
            Some("ticks: alert: fed (20×)")
        );
        assert_eq!(ticked(&spans_of(&feeding[..3])), None);
    }
}
