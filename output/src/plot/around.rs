//! What stands around every picture: two lines on top, cautions below.

use plotters::prelude::DrawingBackend;

use super::canvas::{Anchor, Canvas, Lettering};
use super::{PlotError, ink};
use crate::cautions::{Cautioned, mark_of};

/// Width of a picture, logical pixels.
pub(super) const WIDTH: f64 = 800.0;
/// Height of the two lines on top, logical pixels.
pub(super) const TITLE_HEIGHT: f64 = 52.0;
/// Height of a line of the cautions, logical pixels.
pub(super) const CAUTION_LINE: f64 = 13.0;

const TITLE: Lettering = Lettering {
    size: 15.0,
    color: ink::TEXT,
    bold: true,
};
const SUBTITLE: Lettering = Lettering {
    size: 12.0,
    color: ink::TEXT,
    bold: false,
};
const CAUTION: Lettering = Lettering {
    size: 10.0,
    color: ink::FAINT_TEXT,
    bold: false,
};

/// Writes the two lines on top, each cut to the width of the picture.
pub(super) fn title<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    title: &str,
    subtitle: &str,
) -> Result<(), PlotError> {
    let title = shortened(canvas, title, TITLE)?;
    canvas.text(&title, (12.0, 17.0), Anchor::Left, TITLE)?;
    let subtitle = shortened(canvas, subtitle, SUBTITLE)?;
    canvas.text(&subtitle, (12.0, 37.0), Anchor::Left, SUBTITLE)
}

/// The cautions in lines as wide as the picture.
pub(super) fn caution_lines<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    cautions: &[Cautioned],
) -> Result<Vec<String>, PlotError> {
    let mut told = Vec::new();
    let marked = cautions.iter().map(Cautioned::marked);
    for said in marked.chain(mark_of(cautions).map(str::to_owned)) {
        told.extend(lines(canvas, &said, WIDTH - 2.0 * 12.0)?);
    }
    Ok(told)
}

/// Writes lines of cautions from `top` on.
pub(super) fn cautions<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    lines: &[String],
    top: f64,
) -> Result<(), PlotError> {
    for (index, line) in lines.iter().enumerate() {
        let middle = top + CAUTION_LINE * (index as f64 + 0.5);
        canvas.text(line, (12.0, middle), Anchor::Left, CAUTION)?;
    }
    Ok(())
}

/// The text, cut to the width of the picture.
fn shortened<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    text: &str,
    lettering: Lettering,
) -> Result<String, PlotError> {
    shortened_to(canvas, text, lettering, WIDTH - 2.0 * 12.0)
}

/// The text, cut to so many pixels.
pub(super) fn shortened_to<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    text: &str,
    lettering: Lettering,
    width: f64,
) -> Result<String, PlotError> {
    let mut kept = text.to_owned();
    while canvas.text_width(&kept, lettering)? > width {
        kept = kept.trim_end_matches('…').to_owned();
        if kept.pop().is_none() {
            break;
        }
        kept.push('…');
    }
    Ok(kept)
}

/// The text in lines of at most so many pixels.
fn lines<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    text: &str,
    width: f64,
) -> Result<Vec<String>, PlotError> {
    let mut lines: Vec<String> = Vec::new();
    // A mark stays on the line of what it marks.
    for word in text.replace(" †", "\u{a0}†").split(' ') {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match (longer, lines.last_mut()) {
            (Some(longer), Some(last)) if canvas.text_width(&longer, CAUTION)? <= width => *last = longer,
            _ => lines.push(word.to_owned()),
        }
    }
    Ok(lines)
}
