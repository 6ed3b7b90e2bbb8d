//! `tepid lesson`.

use std::path::PathBuf;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Format, PlotKind, Shown, json};
use tepid::lesson::{Given, given, listed};
use tepid_lessons::{Lesson, lesson, lessons};
use tepid_output::table::LessonDepth;
use tepid_output::{csv_text, table};

/// Arguments of `lesson`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The lesson; without it: all there are.
    #[arg(value_name = "LESSON")]
    name: Option<String>,
    /// Shows what the runs show, and why, below the question.
    #[arg(long, requires = "name")]
    answer: bool,
    /// Shows the answer with all that is for the teacher.
    #[arg(long, requires = "name")]
    key: bool,
    /// Draws the lesson's picture to a file, SVG or PNG by its ending.
    #[arg(long, requires = "name", value_name = "FILE.svg|png")]
    plot: Option<PathBuf>,
    #[command(flatten)]
    shown: Shown,
}

/// Lists, or runs and shows.
pub fn run(arguments: &Arguments) -> Done {
    let Some(name) = &arguments.name else {
        let all = listed();
        return print(&match arguments.shown.format {
            Format::Table => table::lessons(&all),
            Format::Json => json(&all)?,
            Format::Csv => csv_text::leaves(&all).map_err(|error| Failure::Unfinished(error.to_string()))?,
        });
    };
    let lesson = named(name)?;
    let kind = arguments
        .plot
        .as_deref()
        .map(|path| PlotKind::of("--plot", path))
        .transpose()?;
    let Given { record, figure } = given(lesson).map_err(|error| Failure::Unfinished(error.to_string()))?;
    if let (Some(path), Some(kind)) = (&arguments.plot, kind) {
        let picture = match kind {
            PlotKind::Svg => figure.svg().map(String::into_bytes),
            PlotKind::Png => figure.png(),
        };
        let picture = picture
            .map_err(|error| Failure::Unfinished(format!("cannot draw {}: {error}", path.display())))?;
        std::fs::write(path, picture).map_err(|error| Failure::writing(path, error))?;
    }
    let depth = match (arguments.key, arguments.answer) {
        (true, _) => LessonDepth::Key,
        (false, true) => LessonDepth::Answer,
        (false, false) => LessonDepth::Question,
    };
    print(&match arguments.shown.format {
        Format::Table => table::lesson(&record, depth, arguments.shown.units.into()),
        Format::Json => json(&record)?,
        Format::Csv => csv_text::leaves(&record).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}

/// The lesson of that name.
fn named(name: &str) -> Result<&'static Lesson, Failure> {
    lesson(name).ok_or_else(|| {
        let known = || lessons().iter().map(|lesson| lesson.name);
        let nearest = tepid_scenarios::nearest(name, known());
        let meant = nearest.map_or_else(String::new, |nearest| format!("; did you mean {nearest}?"));
        let all: Vec<&str> = known().collect();
        Failure::BadInput(format!(
            "no lesson is named {name}{meant} There are: {}",
            all.join(", ")
        ))
    })
}
