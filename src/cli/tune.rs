//! `tepid tune`.

use std::io::Write as _;
use std::iter::once;
use std::path::{Path, PathBuf};

use super::Done;
use super::exit::{Failure, UNFINISHED, print};
use super::shared::{Changes, Format, PlotKind, Shown, Threads, apart, bound, json, with_threads};
use tepid::tune::{TuneError, TuneRequest, Varied, tune};
use tepid_output::plot::{tuning_png, tuning_svg};
use tepid_output::records::Tuning;
use tepid_output::{csv_text, table};
use tepid_scenarios::nearest;
use tepid_strategies::{Entry, find, registry};

/// Arguments of `tune`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A scenario of the library, or a file.
    scenario: String,
    /// A built-in strategy by name.
    #[arg(long)]
    strategy: String,
    /// A parameter to search, with its range or without: `--vary deadband`, `--vary 'deadband=0.1 K..1 K'`; may be given several times. Without it: every
    /// parameter with a range of figures but setpoint, interval and shortest pulse.
    #[arg(long, value_name = "NAME[=FROM..TO]")]
    vary: Vec<String>,
    /// Settings to try.
    #[arg(long, default_value_t = 60, value_parser = clap::value_parser!(u16).range(4..=2000))]
    settings: u16,
    /// A fault set that is not asked about when a setting is called safe; may be given several times.
    #[arg(long, value_name = "FAULTS")]
    despite: Vec<String>,
    /// Recommends also where a single fault uses up the dose, if it does so with the defaults too: what no setting mends is mended elsewhere.
    #[arg(long)]
    no_worse: bool,
    /// Another scenario to judge the recommended setting by; may be given several times.
    #[arg(long, value_name = "SCENARIO")]
    also: Vec<String>,
    /// Runs of the scenario's own room with other random numbers in the search.
    #[arg(long, default_value_t = 3, value_parser = clap::value_parser!(u16).range(1..=100))]
    replicates: u16,
    /// Runs that are kept from the search to judge the recommended setting by.
    #[arg(long, value_name = "RUNS", default_value_t = 8, value_parser = clap::value_parser!(u16).range(1..=1000))]
    held_out: u16,
    /// Draws all settings by closings and swing; .svg or .png.
    #[arg(long, value_name = "FILE")]
    plot: Option<PathBuf>,
    /// Keeps every run in this folder: a search that was stopped goes on there.
    #[arg(long, value_name = "DIR")]
    results: Option<PathBuf>,
    /// Seed of weather, noise and search.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    #[command(flatten)]
    threads: Threads,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    shown: Shown,
}

/// Searches and shows. It ends with 1 where no setting is recommended.
pub fn run(arguments: &Arguments) -> Done {
    let read = once(&arguments.scenario).chain(&arguments.also).map(Path::new);
    apart(arguments.plot.as_deref(), read)?;
    let kind = arguments
        .plot
        .as_deref()
        .map(|path| PlotKind::of("--plot", path))
        .transpose()?;
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let entry = entry(&arguments.strategy)?;
    let file = tepid_scenarios::strategy(entry.name)?;
    let wrong = |error: TuneError| match error {
        TuneError::Folder(_) | TuneError::Journal(_) | TuneError::Failed(_) => {
            Failure::Unfinished(error.to_string())
        }
        TuneError::Bind(error) => bound(&file, &scenario)
            .err()
            .unwrap_or_else(|| Failure::BadInput(error.to_string())),
        error => Failure::BadInput(format!("tune {}: {error}", entry.name)),
    };
    let varied = if arguments.vary.is_empty() {
        Varied::usual_of(entry)
    } else {
        let named = arguments.vary.iter().map(|text| Varied::named(entry, text));
        named.collect::<Result<Vec<_>, _>>().map_err(wrong)?
    };
    let also = arguments
        .also
        .iter()
        .map(|name| Ok(tepid_scenarios::scenario(name, &[])?))
        .collect::<Result<Vec<_>, Failure>>()?;
    let request = TuneRequest {
        scenario: &scenario,
        entry,
        varied: &varied,
        settings: usize::from(arguments.settings),
        seed: arguments.seed,
        replicates: u64::from(arguments.replicates),
        held_out: u64::from(arguments.held_out),
        also: &also,
        despite: &arguments.despite,
        no_worse: arguments.no_worse,
        folder: arguments.results.as_deref(),
    };
    listen(arguments)?;
    let record = with_threads(&arguments.threads, |bar| tune(&request, bar))?.map_err(wrong)?;
    draw(arguments, kind, &record)?;
    print(&match arguments.shown.format {
        Format::Table => table::tuning(&record, arguments.shown.units.into()),
        Format::Json => json(&record)?,
        Format::Csv => csv_text::tuning(&record).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })?;
    match record.recommended {
        Some(_) => Ok(()),
        None => Err(Failure::DoesNotHold(
            "no setting is recommended: each that was looked at is past the dose by a single fault"
                .to_owned(),
        )),
    }
}

/// Ctrl-C ends at once: every run that is done is written down already, and how to go on is told.
fn listen(arguments: &Arguments) -> Done {
    let how = arguments.results.as_ref().map_or_else(
        || "nothing is kept; with --results DIR the same command would go on where it stopped".to_owned(),
        |folder| format!("the same command goes on from there, in {}", folder.display()),
    );
    ctrlc::set_handler(move || {
        // Nobody is left to tell if standard error is gone.
        let _ = writeln!(std::io::stderr(), "\ninterrupted: {how}");
        std::process::exit(i32::from(UNFINISHED));
    })
    .map_err(|error| Failure::Unfinished(format!("cannot listen for Ctrl-C: {error}")))
}

fn entry(name: &str) -> Result<&'static Entry, Failure> {
    find(name).ok_or_else(|| {
        let names: Vec<&str> = registry().iter().map(|entry| entry.name).collect();
        let nearest = nearest(name, names.iter().copied());
        let nearest = nearest.map_or_else(String::new, |nearest| format!("did you mean `{nearest}`? "));
        Failure::BadInput(format!(
            "--strategy {name}: {nearest}tune searches the built-in strategies: {}",
            names.join(", ")
        ))
    })
}

fn draw(arguments: &Arguments, kind: Option<PlotKind>, record: &Tuning) -> Done {
    let (Some(kind), Some(path)) = (kind, &arguments.plot) else {
        return Ok(());
    };
    let bytes = match kind {
        PlotKind::Svg => tuning_svg(record).map(String::into_bytes),
        PlotKind::Png => tuning_png(record),
    }
    .map_err(|error| Failure::Unfinished(format!("cannot draw {}: {error}", path.display())))?;
    std::fs::write(path, bytes).map_err(|error| Failure::writing(path, error))
}
