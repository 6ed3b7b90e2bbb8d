//! `tepid lesson`.

use std::path::{Path, PathBuf};

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Format, PlotKind, Shown, json};
use tepid::lesson::{Given, given, listed};
use tepid_lessons::{Lesson, lesson, lessons};
use tepid_output::handout::handout;
use tepid_output::plot::Figure;
use tepid_output::records;
use tepid_output::table::LessonDepth;
use tepid_output::{csv_text, table};

/// Arguments of `lesson`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The lesson; without it: all there are.
    #[arg(value_name = "LESSON")]
    name: Option<String>,
    /// Writes a handout to print: .html. With --all: one of every lesson, into this folder.
    #[arg(short, long, value_name = "FILE.html|FOLDER")]
    output: Option<PathBuf>,
    /// Writes handouts of all lessons.
    #[arg(long, requires = "output", conflicts_with_all = ["name", "plot"])]
    all: bool,
    /// Leaves the key for the teacher out of a handout.
    #[arg(long, requires = "output")]
    without_key: bool,
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
    if let (Some(folder), true) = (&arguments.output, arguments.all) {
        return all_into(folder, arguments);
    }
    let Some(name) = &arguments.name else {
        if arguments.output.is_some() {
            return Err(Failure::BadInput(
                "--output: which lesson? Expected its name, or --all for a folder of all".to_owned(),
            ));
        }
        let all = listed();
        return print(&match arguments.shown.format {
            Format::Table => table::lessons(&all),
            Format::Json => json(&all)?,
            Format::Csv => csv_text::leaves(&all).map_err(|error| Failure::Unfinished(error.to_string()))?,
        });
    };
    let lesson = named(name)?;
    if let Some(path) = &arguments.output {
        html_name(path)?;
    }
    let kind = arguments
        .plot
        .as_deref()
        .map(|path| PlotKind::of("--plot", path))
        .transpose()?;
    let Given { record, figure } = in_units(lesson, arguments)?;
    if let (Some(path), Some(kind)) = (&arguments.plot, kind) {
        let picture = match kind {
            PlotKind::Svg => figure.svg().map(String::into_bytes),
            PlotKind::Png => figure.png(),
        };
        let picture = picture
            .map_err(|error| Failure::Unfinished(format!("cannot draw {}: {error}", path.display())))?;
        std::fs::write(path, picture).map_err(|error| Failure::writing(path, error))?;
    }
    if let Some(path) = &arguments.output {
        return written(path, &record, &figure, arguments);
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

/// Handouts of all lessons, named after them.
fn all_into(folder: &Path, arguments: &Arguments) -> Done {
    std::fs::create_dir_all(folder).map_err(|error| Failure::writing(folder, error))?;
    for lesson in lessons() {
        let Given { record, figure } = in_units(lesson, arguments)?;
        written(
            &folder.join(format!("{}.html", lesson.name)),
            &record,
            &figure,
            arguments,
        )?;
    }
    Ok(())
}

/// A lesson, run, with its picture in the units asked for.
fn in_units(lesson: &Lesson, arguments: &Arguments) -> Result<Given, Failure> {
    let Given { record, figure } = given(lesson).map_err(|error| Failure::Unfinished(error.to_string()))?;
    Ok(Given {
        record,
        figure: figure.in_units(arguments.shown.units.into()),
    })
}

/// A handout.
fn written(path: &Path, record: &records::Lesson, figure: &Figure, arguments: &Arguments) -> Done {
    let picture = figure
        .bare_svg()
        .map_err(|error| Failure::Unfinished(format!("cannot draw {}: {error}", path.display())))?;
    let page = handout(
        record,
        &picture,
        !arguments.without_key,
        arguments.shown.units.into(),
    );
    std::fs::write(path, page).map_err(|error| Failure::writing(path, error))
}

fn html_name(path: &Path) -> Done {
    match path.extension() {
        Some(ending) if ending.eq_ignore_ascii_case("html") => Ok(()),
        _ => Err(Failure::BadInput(format!(
            "--output {}: the name must end in .html",
            path.display()
        ))),
    }
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
