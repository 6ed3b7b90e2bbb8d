//! Pictures that compare: the last hours of switching, wear, faults side by side, trade-offs, the heat budget. All have the width, the head and the
//! cautions of the course's picture.

use plotters::prelude::DrawingBackend;
use tepid_sim::time::Millis;

use super::around::{self, CAUTION_LINE, TITLE_HEIGHT, WIDTH};
use super::canvas::Canvas;
use super::picture::{self, Picture};
use super::{Course, PlotError, cycle, gallery, heat, pareto, side_by_side, wear};
use crate::cautions::Cautioned;
use crate::records::{Budget, FaultMatrix, FaultRow, Livestock, StrategyRow};
use crate::trade;
use crate::wording::{Units, restated};

/// A picture with what stands around it.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// First line: the scenario's title.
    pub title: String,
    /// Second line: what is shown, under which conditions.
    pub subtitle: String,
    /// What is drawn.
    pub drawing: Drawing,
    /// Cautions that belong to it.
    pub cautions: Vec<Cautioned>,
    /// The units of its axes and words.
    pub units: Units,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Drawing {
    /// Water and heaters of each strategy through a few hours.
    Cycle(Vec<CycleOf>),
    /// Share of the time that heaters draw power, and closings as they add up, of each strategy.
    Wear(Vec<WearOf>),
    /// What faults do, worst first.
    Faults(Vec<FaultOf>, Shared),
    /// Closings against time outside the band, and the hottest water with a heater stuck on against undershoot.
    Pareto(Vec<StrategyRow>, Box<FaultMatrix>),
    /// Where the heat goes.
    Budget(Box<Budget>),
    /// Whole courses beside each other.
    SideBySide(Vec<SetUpOf>),
}

/// One set-up of several that are compared.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUpOf {
    /// What it is called.
    pub label: String,
    /// What came of it, in a few words.
    pub told: String,
    /// Its course.
    pub course: Course,
    /// Which tanks are shown, by their places, with their names.
    pub tanks: Vec<(usize, String)>,
    /// Lower and upper end of the band, °C.
    pub band_c: [f64; 2],
    /// Danger lines.
    pub livestock: Livestock,
    /// What befell it and how long that lasted, ms.
    pub broken_ms: Option<(Millis, Millis)>,
}

/// What the panels of a gallery share.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    /// Lower and upper end of the band, °C.
    pub band_c: [f64; 2],
    /// Danger lines.
    pub livestock: Livestock,
    /// Names of all tanks, in the order of the courses.
    pub tanks: Vec<String>,
}

/// One strategy through a few hours.
#[derive(Debug, Clone, PartialEq)]
pub struct CycleOf {
    /// Name.
    pub strategy: String,
    /// The hours.
    pub course: Course,
    /// Which tank is shown, by its place.
    pub tank: usize,
    /// Its name.
    pub tank_name: String,
    /// Rated power of all heaters, W.
    pub rated_w: f64,
    /// Lower and upper end of the band, °C.
    pub band_c: [f64; 2],
}

/// The wear that one strategy causes.
#[derive(Debug, Clone, PartialEq)]
pub struct WearOf {
    /// Name.
    pub strategy: String,
    /// The contact that closes most.
    pub contact: String,
    /// The whole run.
    pub course: Course,
    /// Rated power of all heaters, W.
    pub rated_w: f64,
    /// Closings of that contact up to the end of each column of equal length.
    pub closings: Vec<u64>,
}

/// What one fault does.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultOf {
    /// The record.
    pub row: FaultRow,
    /// The course, from some hours before the fault.
    pub course: Course,
}

impl Figure {
    /// The same in these units.
    #[must_use]
    pub fn in_units(self, units: Units) -> Self {
        Self { units, ..self }
    }

    /// As an SVG document.
    ///
    /// # Errors
    /// [`PlotError`] if there is nothing to show or the picture cannot be drawn.
    pub fn svg(&self) -> Result<String, PlotError> {
        picture::svg(&Drawn::new(self)?)
    }

    /// The drawing alone as an SVG document, for a page that has words and cautions of its own.
    ///
    /// # Errors
    /// As [`Figure::svg`].
    pub fn bare_svg(&self) -> Result<String, PlotError> {
        picture::svg(&Bare(Drawn::new(self)?))
    }

    /// As a PNG picture, 1600 pixels wide.
    ///
    /// # Errors
    /// [`PlotError`] if there is nothing to show or the picture cannot be drawn or encoded.
    pub fn png(&self) -> Result<Vec<u8>, PlotError> {
        picture::png(&Drawn::new(self)?)
    }
}

/// A figure, measured.
struct Drawn<'a> {
    figure: &'a Figure,
    cautions: Vec<String>,
    /// Height of the drawing alone.
    inner: f64,
}

impl<'a> Drawn<'a> {
    fn new(figure: &'a Figure) -> Result<Self, PlotError> {
        let cautions = picture::measured(|canvas| around::caution_lines(canvas, &figure.cautions))?;
        let inner = match &figure.drawing {
            Drawing::Cycle(all) if !all.is_empty() => cycle::height(all),
            Drawing::Wear(all) if !all.is_empty() => wear::HEIGHT,
            Drawing::Faults(all, _) if !all.is_empty() => gallery::height(all),
            Drawing::Pareto(rows, _) if !rows.is_empty() => pareto::HEIGHT,
            Drawing::Budget(_) => heat::HEIGHT,
            Drawing::SideBySide(all) if !all.is_empty() => side_by_side::height(all),
            _ => return Err(PlotError::NothingToShow),
        };
        Ok(Self {
            figure,
            cautions,
            inner,
        })
    }
}

impl Picture for Drawn<'_> {
    fn size(&self) -> (u32, u32) {
        let cautions = CAUTION_LINE * self.cautions.len() as f64;
        let height = TITLE_HEIGHT + self.inner + 14.0 + cautions + 8.0;
        (WIDTH as u32, height.ceil() as u32)
    }

    fn draw<B: DrawingBackend>(&self, canvas: &Canvas<'_, B>) -> Result<(), PlotError> {
        let told = |text: &str| restated(text, self.figure.units);
        around::title(canvas, &told(&self.figure.title), &told(&self.figure.subtitle))?;
        self.draw_inner(canvas, TITLE_HEIGHT)?;
        around::cautions(canvas, &self.cautions, TITLE_HEIGHT + self.inner + 14.0)
    }
}

/// A figure without what stands around it.
struct Bare<'a>(Drawn<'a>);

impl Picture for Bare<'_> {
    fn size(&self) -> (u32, u32) {
        (WIDTH as u32, self.0.inner.ceil() as u32 + 8)
    }

    fn draw<B: DrawingBackend>(&self, canvas: &Canvas<'_, B>) -> Result<(), PlotError> {
        self.0.draw_inner(canvas, 4.0)
    }
}

impl Drawn<'_> {
    /// The drawing alone.
    fn draw_inner<B: DrawingBackend>(&self, canvas: &Canvas<'_, B>, top: f64) -> Result<(), PlotError> {
        let units = self.figure.units;
        match &self.figure.drawing {
            Drawing::Cycle(all) => cycle::draw(canvas, top, all, units)?,
            Drawing::Wear(all) => wear::draw(canvas, top, all)?,
            Drawing::Faults(all, shared) => gallery::draw(canvas, top, all, shared, units)?,
            Drawing::Pareto(rows, matrix) => {
                let trades = [
                    trade::closings(rows.iter()),
                    trade::stuck(rows.iter(), matrix, units),
                ];
                pareto::draw(canvas, top, &trades)?;
            }
            Drawing::Budget(budget) => heat::draw(canvas, top, budget, units)?,
            Drawing::SideBySide(all) => side_by_side::draw(canvas, top, all, units)?,
        }
        Ok(())
    }
}
