//! Drawing in logical pixels on a finer grid, so that a curve is smoother than whole pixels allow.

use plotters::coord::Shift;
use plotters::element::{PathElement, Polygon, Rectangle};
use plotters::prelude::{Color, DrawingArea, DrawingBackend, FontDesc, FontFamily, RGBColor, ShapeStyle};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{FontStyle, TextStyle};

use super::{PlotError, font};

/// A point in logical pixels, from the upper left.
pub type Point = (f64, f64);

/// A rectangle in logical pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Box2 {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Box2 {
    /// Area shared with another.
    pub fn overlap(&self, other: &Self) -> f64 {
        let width = self.right.min(other.right) - self.left.max(other.left);
        let height = self.bottom.min(other.bottom) - self.top.max(other.top);
        width.max(0.0) * height.max(0.0)
    }
}

/// How a text stands to its point.
#[derive(Debug, Clone, Copy)]
pub enum Anchor {
    /// The point is the middle of its left edge.
    Left,
    /// The point is the middle of its right edge.
    Right,
    /// The point is its middle.
    Middle,
}

/// Size, weight and colour of a text.
#[derive(Debug, Clone, Copy)]
pub struct Lettering {
    /// Height, logical pixels.
    pub size: f64,
    /// Colour.
    pub color: RGBColor,
    /// Bold.
    pub bold: bool,
}

/// What is drawn on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Medium {
    /// Lines stay lines.
    Vector,
    /// Lines become pixels.
    Raster,
}

/// A drawing area with `scale` device pixels per logical pixel.
pub struct Canvas<'a, B: DrawingBackend> {
    area: &'a DrawingArea<B, Shift>,
    scale: f64,
    medium: Medium,
}

impl<'a, B: DrawingBackend> Canvas<'a, B> {
    /// Draws on `area`.
    pub fn new(area: &'a DrawingArea<B, Shift>, scale: f64, medium: Medium) -> Self {
        Self { area, scale, medium }
    }

    fn device(&self, (x, y): Point) -> (i32, i32) {
        ((x * self.scale).round() as i32, (y * self.scale).round() as i32)
    }

    fn stroke(&self, color: RGBColor, width: f64) -> ShapeStyle {
        color.stroke_width((width * self.scale).round().max(1.0) as u32)
    }

    /// A line through points. On a raster each stretch is drawn by itself: mitred joints would stick out at sharp turns
    /// and show peaks that are not there.
    pub fn line(&self, points: &[Point], color: RGBColor, width: f64) -> Result<(), PlotError> {
        if points.len() < 2 {
            return Ok(());
        }
        let points: Vec<_> = points.iter().map(|&point| self.device(point)).collect();
        let style = self.stroke(color, width);
        match self.medium {
            Medium::Vector => self.area.draw(&PathElement::new(points, style)).map_err(refused),
            Medium::Raster => points
                .windows(2)
                .try_for_each(|ends| self.area.draw(&PathElement::new(ends, style)).map_err(refused)),
        }
    }

    /// A straight dashed line.
    pub fn dashed(
        &self,
        from: Point,
        to: Point,
        dash: f64,
        color: RGBColor,
        width: f64,
    ) -> Result<(), PlotError> {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = (dx * dx + dy * dy).sqrt();
        let dashes = (length / (2.0 * dash)).ceil() as usize;
        let at = |distance: f64| {
            let share = (distance / length).min(1.0);
            (from.0 + dx * share, from.1 + dy * share)
        };
        for index in 0..dashes {
            let start = index as f64 * 2.0 * dash;
            self.line(&[at(start), at(start + dash)], color, width)?;
        }
        Ok(())
    }

    /// A filled rectangle.
    pub fn fill(&self, shape: Box2, color: RGBColor, opacity: f64) -> Result<(), PlotError> {
        let corners = [
            self.device((shape.left, shape.top)),
            self.device((shape.right, shape.bottom)),
        ];
        self.area
            .draw(&Rectangle::new(corners, color.mix(opacity).filled()))
            .map_err(refused)
    }

    /// A filled outline.
    pub fn polygon(&self, points: &[Point], color: RGBColor) -> Result<(), PlotError> {
        let points: Vec<_> = points.iter().map(|&point| self.device(point)).collect();
        self.area
            .draw(&Polygon::new(points, color.filled()))
            .map_err(refused)
    }

    /// A text.
    pub fn text(&self, text: &str, at: Point, anchor: Anchor, lettering: Lettering) -> Result<(), PlotError> {
        let horizontal = match anchor {
            Anchor::Left => HPos::Left,
            Anchor::Right => HPos::Right,
            Anchor::Middle => HPos::Center,
        };
        let style = self.style(lettering).pos(Pos::new(horizontal, VPos::Center));
        self.area
            .draw_text(text, &style, self.device(at))
            .map_err(refused)
    }

    /// Width of a text, logical pixels.
    pub fn text_width(&self, text: &str, lettering: Lettering) -> Result<f64, PlotError> {
        let (width, _) = self
            .area
            .estimate_text_size(text, &self.style(lettering))
            .map_err(refused)?;
        Ok(f64::from(width) / self.scale)
    }

    fn style(&self, lettering: Lettering) -> TextStyle<'static> {
        let weight = if lettering.bold {
            FontStyle::Bold
        } else {
            FontStyle::Normal
        };
        let font = FontDesc::new(
            FontFamily::Name(font::FAMILY),
            lettering.size * self.scale,
            weight,
        );
        TextStyle {
            color: lettering.color.to_backend_color(),
            ..TextStyle::from(font)
        }
    }
}

fn refused(error: impl std::fmt::Display) -> PlotError {
    PlotError::Drawing(error.to_string())
}
