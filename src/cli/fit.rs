//! `tepid fit`.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use clap::ValueEnum;
use tepid::fit::{FitRequest, WrittenFrom, beside, fit, parameters, pictured, written};
use tepid_output::plot::{time_series_png, time_series_svg};
use tepid_output::records::FitParameterKind;
use tepid_output::{csv_text, table};
use tepid_scenarios::{log_file, looks_like_path};

use super::Done;
use super::exit::{Failure, print};
use super::log_options::LogArguments;
use super::shared::{Changes, Format, PlotKind, Shown, apart, json};

/// Arguments of `fit`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The log: a CSV file with time, water and if there are any room, heater, humidity, event.
    #[arg(value_name = "LOG.csv")]
    log: PathBuf,
    /// The tank as far as it is known: a scenario of the library, or a file.
    #[arg(long)]
    scenario: String,
    /// The tank whose water the log holds; without it that of the first probe.
    #[arg(long)]
    tank: Option<String>,
    /// Finds this whatever the log says of it; may be given several times.
    #[arg(long, value_enum, value_name = "PARAMETER")]
    free: Vec<Parameter>,
    /// Holds this at what the scenario says; may be given several times.
    #[arg(long, value_enum, value_name = "PARAMETER", conflicts_with = "free")]
    hold: Vec<Parameter>,
    /// Writes the scenario as fitted; an existing file is never written over.
    #[arg(short, long, value_name = "FILE.toml")]
    output: Option<PathBuf>,
    /// Draws log and model to a file, SVG or PNG by its ending.
    #[arg(long, value_name = "FILE.svg|png")]
    plot: Option<PathBuf>,
    #[command(flatten)]
    read: LogArguments,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    shown: Shown,
}

/// What may be fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Parameter {
    /// Losses, of those computed.
    Losses,
    /// Real power of the heaters.
    HeaterPower,
    /// Heat capacity of the water.
    Capacity,
    /// How much warmer the air around the tank is than logged.
    RoomOffset,
    /// Heat of the pumps.
    PumpHeat,
    /// Lag of the probe.
    ProbeLag,
}

/// Fits and shows.
pub fn run(arguments: &Arguments) -> Done {
    let read = [Path::new(&arguments.scenario), &arguments.log];
    apart(arguments.plot.as_deref(), read)?;
    let settings = arguments.changes.settings()?;
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &settings)?;
    let log = log_file::read(&arguments.log, &arguments.read.options()?)?;
    let kinds = |asked: &[Parameter]| asked.iter().map(|one| kind(*one)).collect::<Vec<_>>();
    let (free, hold) = (kinds(&arguments.free), kinds(&arguments.hold));
    let request = FitRequest {
        scenario: &scenario,
        log: &log,
        tank: arguments.tank.as_deref(),
        free: &free,
        hold: &hold,
    };
    // A wrong path should be known before minutes of work.
    let plot = arguments
        .plot
        .as_deref()
        .map(|path| PlotKind::of("--plot", path))
        .transpose()?;
    let mut file = arguments.output.as_deref().map(new_file).transpose()?;
    let fitted = fit(&request).map_err(|error| Failure::BadInput(error.to_string()));
    if let (Err(_), Some(path)) = (&fitted, &arguments.output) {
        // Nothing to write: the file that was opened to try its path goes again.
        std::fs::remove_file(path).map_err(|error| Failure::writing(path, error))?;
    }
    let record = fitted?;
    if let (Some(file), Some(path)) = (&mut file, &arguments.output) {
        let base = base(&arguments.scenario, path);
        let from = WrittenFrom {
            base: &base,
            settings: &settings,
            scenario: &scenario,
        };
        file.write_all(written(&record, &from).as_bytes())
            .map_err(|error| Failure::writing(path, error))?;
    }
    if let (Some(kind), Some(path)) = (plot, &arguments.plot) {
        let beside = beside(&request, &record).map_err(|error| Failure::Unfinished(error.to_string()))?;
        let (course, info) = pictured(&request, &record, &beside);
        let bytes = match kind {
            PlotKind::Svg => time_series_svg(&course, &info).map(String::into_bytes),
            PlotKind::Png => time_series_png(&course, &info),
        }
        .map_err(|error| Failure::Unfinished(format!("cannot draw {}: {error}", path.display())))?;
        std::fs::write(path, bytes).map_err(|error| Failure::writing(path, error))?;
    }
    print(&match arguments.shown.format {
        Format::Table => table::fit(&record, arguments.shown.units.into()),
        Format::Json => json(&record)?,
        Format::Csv => csv_text::leaves(&record).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}

fn kind(parameter: Parameter) -> FitParameterKind {
    let position = match parameter {
        Parameter::Losses => 0,
        Parameter::HeaterPower => 1,
        Parameter::Capacity => 2,
        Parameter::RoomOffset => 3,
        Parameter::PumpHeat => 4,
        Parameter::ProbeLag => 5,
    };
    parameters::ALL[position]
}

fn new_file(path: &Path) -> Result<std::fs::File, Failure> {
    if !path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("toml"))
    {
        return Err(Failure::BadInput(format!(
            "--output {}: the scenario is written as TOML; expected a name that ends with .toml (results go to standard output: --format json)",
            path.display()
        )));
    }
    OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(|error| match error.kind() {
            ErrorKind::AlreadyExists => Failure::BadInput(format!(
                "{} is there already and is not written over",
                path.display()
            )),
            _ => Failure::writing(path, error),
        })
}

/// The scenario as the written file names it: a library's name, or the path from that file's folder.
fn base(scenario: &str, file: &Path) -> String {
    if !looks_like_path(scenario) {
        return scenario.to_owned();
    }
    let folder = file
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let (Ok(of), Ok(from)) = (Path::new(scenario).canonicalize(), folder.canonicalize()) else {
        return scenario.to_owned();
    };
    let shared = of
        .components()
        .zip(from.components())
        .take_while(|(a, b)| a == b)
        .count();
    let mut path: PathBuf = from.components().skip(shared).map(|_| "..").collect();
    path.extend(of.components().skip(shared));
    path.to_string_lossy().into_owned()
}
