//! Names above the panels, each on a pole that goes on upwards from the line where its happening begins.

use plotters::prelude::DrawingBackend;

use super::canvas::{Anchor, Box2, Canvas, Lettering};
use super::happenings::{Shape, Span};
use super::{PlotError, ink};

/// Height of a row of names, logical pixels.
pub const ROW: f64 = 15.0;
/// Rows of names at most.
const ROWS: usize = 8;
/// From a pole to its name, logical pixels.
const GAP: f64 = 4.0;
/// Between two names of a row, logical pixels.
const APART: f64 = 10.0;
/// Size of the names.
const NAME: Lettering = Lettering {
    size: 11.0,
    color: ink::TEXT,
    bold: false,
};

/// A name on its pole.
#[derive(Debug, Clone, PartialEq)]
pub struct Flag {
    text: String,
    /// Where the pole stands.
    pole: f64,
    left: f64,
    right: f64,
    shape: Shape,
    /// Row, 0 = nearest to the panel.
    pub row: usize,
}

impl Flag {
    /// To the right of its pole, or to the left where the frame ends before.
    fn new(text: String, pole: f64, width: f64, shape: Shape, frame: Box2) -> Self {
        let rightwards = pole + GAP + width <= frame.right;
        let left = if rightwards {
            pole + GAP
        } else {
            pole - GAP - width
        };
        Self {
            text,
            pole,
            left,
            right: left + width,
            shape,
            row: 0,
        }
    }

    fn leans_left(&self) -> bool {
        self.left < self.pole
    }

    fn is_struck_by(&self, pole: f64) -> bool {
        (self.left - 1.0..=self.right + 1.0).contains(&pole)
    }

    /// Whether neither name nor pole meets another's with this one in `row`.
    fn is_clear_of(&self, other: &Self, row: usize) -> bool {
        let beside = self.left >= other.right + APART || other.left >= self.right + APART;
        let names_meet = row == other.row && !beside;
        let strikes_other = other.row <= row && other.is_struck_by(self.pole);
        let struck_by_other = row <= other.row && self.is_struck_by(other.pole);
        !(names_meet || strikes_other || struck_by_other)
    }
}

/// Names of the spans, each once, in as few rows as they need; those that find no row are left out, and so are those that are
/// only ticked.
pub fn flags<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    spans: &[Span],
    frame: Box2,
) -> Result<Vec<Flag>, PlotError> {
    let mut firsts: Vec<(&Span, usize)> = Vec::new();
    for span in spans.iter().filter(|span| span.shape != Shape::Frequent) {
        match firsts.iter_mut().find(|(first, _)| first.name == span.name) {
            Some((_, times)) => *times += 1,
            None => firsts.push((span, 1)),
        }
    }
    let mut waiting = Vec::new();
    for (span, times) in firsts {
        let text = if times > 1 {
            format!("{} ({times}×)", span.name)
        } else {
            span.name.clone()
        };
        let width = canvas.text_width(&text, NAME)?;
        waiting.push(Flag::new(text, span.from, width, span.shape, frame));
    }
    Ok(placed(waiting))
}

/// Each flag in the lowest row that is free. Those that lean right from right to left, then the others from left to right: so
/// a pole rises beside the names below it, not through them.
fn placed(mut waiting: Vec<Flag>) -> Vec<Flag> {
    waiting.sort_by(|a, b| {
        let along = if a.leans_left() {
            a.pole.total_cmp(&b.pole)
        } else {
            b.pole.total_cmp(&a.pole)
        };
        a.leans_left().cmp(&b.leans_left()).then(along)
    });
    let mut placed: Vec<Flag> = Vec::new();
    for flag in waiting {
        let free = (0..ROWS).find(|row| placed.iter().all(|other| flag.is_clear_of(other, *row)));
        if let Some(row) = free {
            placed.push(Flag { row, ..flag });
        }
    }
    placed
}

/// Writes the names above a panel and draws their poles.
pub fn draw_flags<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    flags: &[Flag],
    panel: Box2,
) -> Result<(), PlotError> {
    for flag in flags {
        let middle = panel.top - ROW * (flag.row as f64 + 0.5) - 1.0;
        let (foot, top) = ((flag.pole, panel.top), (flag.pole, middle - 5.0));
        match flag.shape {
            Shape::Instant => canvas.dashed(foot, top, 2.0, ink::TEXT, 1.0)?,
            Shape::Lasting | Shape::Frequent => canvas.line(&[foot, top], ink::TEXT, 1.0)?,
        }
        canvas.text(&flag.text, (flag.left, middle), Anchor::Left, NAME)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Box2 = Box2 {
        left: 50.0,
        top: 0.0,
        right: 750.0,
        bottom: 0.0,
    };

    fn flag(name: &str, pole: f64) -> Flag {
        Flag::new(name.to_owned(), pole, 100.0, Shape::Instant, FRAME)
    }

    #[test]
    fn every_name_stands_at_its_own_pole_and_no_pole_runs_through_a_name() {
        let poles = [51.5, 70.0, 70.5, 180.0, 400.0, 700.0, 745.0, 749.0];
        let flags = placed(poles.iter().map(|pole| flag("weld", *pole)).collect());
        assert_eq!(flags.len(), poles.len());
        for flag in &flags {
            let gap = if flag.leans_left() {
                flag.pole - flag.right
            } else {
                flag.left - flag.pole
            };
            assert!((gap - GAP).abs() < 1e-9, "{flag:?}");
            assert!(flag.left >= FRAME.left && flag.right <= FRAME.right, "{flag:?}");
            for other in flags.iter().filter(|other| *other != flag) {
                let strikes = other.row <= flag.row && other.is_struck_by(flag.pole);
                assert!(!strikes, "{flag:?} through {other:?}");
                let apart = flag.right < other.left || other.right < flag.left;
                assert!(flag.row != other.row || apart, "{flag:?} over {other:?}");
            }
        }
    }

    #[test]
    fn names_far_apart_share_the_row_next_to_the_panel() {
        let flags = placed(vec![flag("weld", 60.0), flag("alert", 300.0)]);
        assert!(flags.iter().all(|flag| flag.row == 0), "{flags:?}");
    }
}
