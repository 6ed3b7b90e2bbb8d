//! Plots of a run's course, and of the settings of a search.
//!
//! [`TraceRecorder`] keeps a thinned [`Course`] while a run goes on; [`time_series_svg`] and [`time_series_png`] draw it:
//! [`Figure`] has the pictures that compare.
//! Of a course:
//! water, room, band and danger lines above, power of heaters and of fans and chillers below, happenings through all. PNG text is drawn with a font that
//! comes with the program; SVG text uses the viewer's sans-serif and is measured with the same font. Both carry the
//! cautions of the run below the picture.

mod around;
mod axes;
mod canvas;
mod closings;
mod course;
mod cycle;
mod figure;
mod flags;
mod font;
mod gallery;
mod happenings;
mod heat;
mod ink;
mod pareto;
mod picture;
mod placing;
mod power;
mod scale;
mod sheet;
mod side_by_side;
mod small_panels;
mod temperatures;
mod tuning;
mod wear;

pub use closings::ClosingsRecorder;
pub(crate) use course::extremes;
pub use course::{Course, CourseMark, Extremes, TraceRecorder, in_columns};
pub use figure::{CycleOf, Drawing, FaultOf, Figure, SetUpOf, Shared, WearOf};
pub(crate) use happenings::{Shape, Span, spans};
pub(crate) use scale::{Scale, few_time_ticks, ticks};
pub use sheet::{PlotInfo, PlottedDevice, time_series_png, time_series_svg};
pub(crate) use temperatures::points;
pub use tuning::{tuning_png, tuning_svg};

/// A plot could not be drawn.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PlotError {
    /// The embedded font is unusable.
    #[error("the embedded font could not be read")]
    Font,
    /// The backend refused.
    #[error("could not draw the plot: {0}")]
    Drawing(String),
    /// The picture could not be encoded.
    #[error("could not encode the plot: {0}")]
    Encoding(#[from] png::EncodingError),
    /// The recorder saw no row.
    #[error("could not draw the plot: the run has no course to show")]
    NothingToShow,
}
