//! `tepid run`.

use std::fs::File;
use std::io::BufWriter;
use std::iter::once;
use std::path::{Path, PathBuf};

use clap::ValueEnum;

use super::Done;
use super::exit::{Failure, print};
use super::log_options::LogArguments;
use super::shared::{Changes, Format, PlotKind, Shown, apart, bound, json};
use tepid::alerts::{response_curve, somebody_acts};
use tepid::exposure::{Healthy, worst_case};
use tepid::recorded::day_names;
use tepid::replay::{ReplaySink, Replayed};
use tepid::rooms::in_room;
use tepid::single::single;
use tepid::study::Piece;
use tepid_output::plot::{Extremes, PlotInfo, TraceRecorder, in_columns, time_series_png, time_series_svg};
use tepid_output::records::{FaultCase as ToldCase, RoomKind, RunResult};
use tepid_output::trace_csv::TraceCsv;
use tepid_output::{csv_text, table};

use tepid_scenarios::{Loaded, NO_FAULT, load_file, log_file, named_fault_set};
use tepid_sim::quantity::parse_millis;
use tepid_sim::run::{RunRequest, run as simulate};
use tepid_sim::scenario::{FaultCase, Happening, Scenario, When};
use tepid_sim::time::{DAY, MINUTE, Millis, hours};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

/// Pixel columns a plotted course is kept at.
const PLOT_COLUMNS: usize = 700;

/// Shortest and longest scored time, as the field `duration` of a scenario has them.
const DURATIONS_MS: std::ops::RangeInclusive<Millis> = MINUTE..=3660 * DAY;

const DEFAULT_SEED: u64 = 7;

/// Arguments of `run`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A scenario of the library, or a file; with --cell a study.
    #[arg(value_name = "SCENARIO|STUDY")]
    scenario: String,
    /// The strategy, by name or file.
    #[arg(long, required_unless_present = "cell")]
    strategy: Option<String>,
    /// Runs one cell of a study again, to the bit as it was scored: its name as results tell it.
    #[arg(long, value_name = "CELL", allow_hyphen_values = true, conflicts_with_all = ["strategy", "fault", "case", "duration", "seed", "replicate", "set"])]
    cell: Option<String>,
    /// A fault set; its worst case is run, where the set leaves the instant open at the worst of those tried.
    #[arg(long)]
    fault: Option<String>,
    /// Which case of the fault set, by name, in place of the worst.
    #[arg(long, requires = "fault")]
    case: Option<String>,
    /// Shows what an alert is worth in place of the scores: the same run with people who take ever longer, up to nobody.
    #[arg(long, conflicts_with_all = ["trace", "plot"])]
    by_response: bool,
    /// The room: the scenario's own, or constant as cold or as warm as the year gets, where verdicts are given.
    #[arg(long, value_enum, default_value_t, conflicts_with = "cell")]
    room: Room,
    /// Scored time in place of the scenario's, for example "365 d": from 1 min to 3660 d.
    #[arg(long, allow_hyphen_values = true)]
    duration: Option<String>,
    /// Seed of weather and noise; without it: 7.
    #[arg(long)]
    seed: Option<u64>,
    /// Which of many runs with other random numbers; without it: 0, the first.
    #[arg(long)]
    replicate: Option<u64>,
    /// Replays a log: its room, humidity and events in place of the scenario's, its water beside the simulated.
    #[arg(long, value_name = "LOG.csv", conflicts_with_all = ["cell", "duration", "room", "by_response"])]
    replay: Option<PathBuf>,
    #[command(flatten)]
    read: LogArguments,
    #[command(flatten)]
    changes: Changes,
    /// Writes the whole course to a CSV file.
    #[arg(long, value_name = "FILE.csv")]
    trace: Option<PathBuf>,
    /// Draws the course to a file, SVG or PNG by its ending.
    #[arg(long, value_name = "FILE.svg|png")]
    plot: Option<PathBuf>,
    #[command(flatten)]
    shown: Shown,
}

/// Where the tank stands.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum Room {
    /// In the scenario's own room.
    #[default]
    Own,
    /// In a room constant at the year's coldest.
    Coldest,
    /// In a room constant at the year's warmest.
    Warmest,
}

impl From<Room> for RoomKind {
    fn from(room: Room) -> Self {
        match room {
            Room::Own => Self::Scenario,
            Room::Coldest => Self::Coldest,
            Room::Warmest => Self::Warmest,
        }
    }
}

/// Runs and shows.
pub fn run(arguments: &Arguments) -> Done {
    if arguments.replay.is_none() {
        arguments.read.none_without("--replay LOG.csv")?;
    }
    if let Some(cell) = &arguments.cell {
        return run_cell(arguments, cell);
    }
    let name = arguments.strategy.as_deref().unwrap_or_default();
    written_apart(arguments)?;
    let mut scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let strategy = tepid_scenarios::strategy(name)?;
    // The same length in every room, where nobody asks for another.
    let duration_ms = scenario.duration_ms;
    scenario = in_room(&scenario, arguments.room.into());
    scenario.duration_ms = duration_ms;
    if let Some(duration) = &arguments.duration {
        scenario.duration_ms = run_length(duration)?;
    }
    let replayed = arguments
        .replay
        .as_deref()
        .map(|path| replayed(arguments, &scenario, path));
    let replayed = replayed.transpose()?;
    if let Some(replayed) = &replayed {
        scenario = replayed.scenario.clone();
    }
    bound(&strategy, &scenario)?;
    let request = RunRequest {
        replicate: arguments.replicate.unwrap_or(0),
        ..RunRequest::new(
            &scenario,
            strategy.recipe.as_ref(),
            arguments.seed.unwrap_or(DEFAULT_SEED),
        )
    };
    let fault = fault(arguments, &scenario, &request)?;
    let (fault, faults) = fault.map_or((None, Vec::new()), |(case, broken)| (Some(case), broken));
    carried_out(
        arguments,
        &RunRequest {
            faults: &faults,
            ..request
        },
        fault,
        replayed.as_ref(),
    )
}

/// The scenario in the room of a log.
fn replayed(arguments: &Arguments, scenario: &Scenario, path: &Path) -> Result<Replayed, Failure> {
    let log = log_file::read(path, &arguments.read.options()?)?;
    Replayed::new(scenario, &log).map_err(|error| Failure::BadInput(error.to_string()))
}

/// Neither course nor picture takes the place of what is read.
fn written_apart(arguments: &Arguments) -> Done {
    for written in [&arguments.trace, &arguments.plot] {
        let files = once(&arguments.scenario)
            .chain(&arguments.strategy)
            .map(Path::new);
        apart(written.as_deref(), files.chain(arguments.replay.as_deref()))?;
    }
    Ok(())
}

/// Runs a cell of a study as the study ran it.
fn run_cell(arguments: &Arguments, name: &str) -> Done {
    written_apart(arguments)?;
    let Loaded::Study(study) = load_file(Path::new(&arguments.scenario))? else {
        return Err(Failure::BadInput(format!(
            "{} is no study; --cell names a cell of one",
            arguments.scenario
        )));
    };
    let plan = super::study::plan(*study)?;
    let place = plan
        .cell_named(name)
        .map_err(|error| Failure::BadInput(error.to_string()))?;
    let piece = Piece::new(&plan, plan.pairs[place.pair], place.replicate).map_err(Failure::Unfinished)?;
    let replay = piece.replay(place.case).map_err(Failure::Unfinished)?;
    let faults: Vec<Happening> = replay
        .case
        .iter()
        .flat_map(FaultCase::happenings)
        .cloned()
        .collect();
    let set = &plan.cases(plan.pairs[place.pair])[place.case].set;
    let told = replay.case.as_ref().map(|case| ToldCase {
        set: set.clone(),
        case: case.fault.name.clone(),
        began_h: replay.began_ms.map(hours),
    });
    let request = RunRequest {
        faults: &faults,
        judged_from_ms: replay.judged_from_ms,
        end_ms: replay.end_ms,
        ..piece.request()
    };
    carried_out(arguments, &request, told, None)
}

/// Runs with all that was asked for, and shows.
fn carried_out(
    arguments: &Arguments,
    request: &RunRequest<'_>,
    fault: Option<ToldCase>,
    replayed: Option<&Replayed>,
) -> Done {
    if arguments.by_response {
        return shown_by_response(arguments, request, fault);
    }
    let kind = arguments
        .plot
        .as_deref()
        .map(|path| PlotKind::of("--plot", path))
        .transpose()?;
    let mut sinks = Sinks::open(arguments, request, replayed)?;
    let mut result = single(request, fault, sinks.wanted());
    sinks.finish(arguments, kind, request.scenario, &mut result)?;
    if let (Some(replayed), Some(replay), None) = (replayed, &mut result.replay, &result.failure) {
        let changes = replayed.changes(request, replay);
        replay.changes = changes.map_err(|error| Failure::Unfinished(error.to_string()))?;
    }
    print(&match arguments.shown.format {
        Format::Table => table::run(&result, arguments.shown.units.into()),
        Format::Json => json(&result)?,
        Format::Csv => csv_text::leaves(&result).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })?;
    match result.failure {
        None => Ok(()),
        Some(_) if arguments.shown.format == Format::Table => Err(Failure::Unfinished(
            "the run failed; why stands in the result".to_owned(),
        )),
        Some(reason) => Err(Failure::Unfinished(reason)),
    }
}

/// What an alert is worth, against how long people take.
fn shown_by_response(arguments: &Arguments, request: &RunRequest<'_>, fault: Option<ToldCase>) -> Done {
    if !somebody_acts(request.scenario) {
        return Err(Failure::BadInput(format!(
            "--by-response: nobody acts on an alert in {}; expected `acts` in a [[watch]], for example acts = {{ does = \"unplug heaters\" }}",
            request.scenario.name
        )));
    }
    let curve = response_curve(request, fault).map_err(|error| Failure::Unfinished(error.to_string()))?;
    print(&match arguments.shown.format {
        Format::Table => table::response_curve(&curve, arguments.shown.units.into()),
        Format::Json => json(&curve)?,
        Format::Csv => {
            csv_text::response_curve(&curve).map_err(|error| Failure::Unfinished(error.to_string()))?
        }
    })
}

/// A scored time within the bounds of a scenario's own `duration`.
fn run_length(text: &str) -> Result<Millis, Failure> {
    match parse_millis(text) {
        Ok(length_ms) if DURATIONS_MS.contains(&length_ms) => Ok(length_ms),
        Ok(_) => Err(Failure::BadInput(format!(
            "--duration {text}: a run lasts at least 1 min and at most 3660 d"
        ))),
        Err(error) => Err(Failure::BadInput(format!(
            "--duration {text}: {error}; expected a length of time such as \"365 d\" or \"2 h 30 min\""
        ))),
    }
}

/// The fault to add, with its instant fixed.
fn fault(
    arguments: &Arguments,
    scenario: &Scenario,
    request: &RunRequest<'_>,
) -> Result<Option<(ToldCase, Vec<Happening>)>, Failure> {
    let Some(name) = &arguments.fault else {
        return Ok(None);
    };
    let mut set = named_fault_set(scenario, name)?;
    if let Some(case) = &arguments.case {
        let known: Vec<String> = set
            .cases
            .iter()
            .map(|known| format!("`{}`", known.fault.name))
            .collect();
        set.cases.retain(|known| known.fault.name == *case);
        if set.cases.is_empty() {
            return Err(Failure::BadInput(format!(
                "fault set `{name}` has no case `{case}`; it has: {}",
                known.join(", ")
            )));
        }
    }
    if set.cases.is_empty() {
        if set.name == NO_FAULT {
            return Ok(None);
        }
        return Err(Failure::BadInput(format!(
            "fault set `{name}` has no case in {}: there is nothing that it could strike",
            scenario.name
        )));
    }
    let scores = simulate(request, None).map_err(|error| Failure::BadInput(error.to_string()))?;
    let healthy = Healthy::new(request, arguments.room.into(), &scores);
    let worst = worst_case(&healthy, &set.cases).map_err(|error| Failure::Unfinished(error.to_string()))?;
    Ok(worst.map(|case| {
        let began_h = match case.fault.when {
            When::At(at_ms) => Some(hours(at_ms)),
            _ => None,
        };
        (
            ToldCase {
                set: set.name,
                case: case.fault.name.clone(),
                began_h,
            },
            case.happenings().cloned().collect(),
        )
    }))
}

/// Where the course goes: opened before the run, so that a wrong path fails at once.
struct Sinks<'r> {
    csv: Option<TraceCsv<BufWriter<File>>>,
    recorder: Option<TraceRecorder>,
    replay: Option<ReplaySink<'r>>,
    /// Recorded water, thinned for a plot.
    recorded: Vec<Option<Extremes>>,
}

impl<'r> Sinks<'r> {
    /// The sink of the run, if anybody wants its course: without one a run is twice as quick.
    fn wanted(&mut self) -> Option<&mut dyn TraceSink> {
        (self.csv.is_some() || self.recorder.is_some() || self.replay.is_some())
            .then_some(self as &mut dyn TraceSink)
    }

    fn open(
        arguments: &Arguments,
        request: &RunRequest<'_>,
        replayed: Option<&'r Replayed>,
    ) -> Result<Self, Failure> {
        let create = |path: &PathBuf| File::create(path).map_err(|error| Failure::writing(path, error));
        let csv = arguments
            .trace
            .as_ref()
            .map(|path| {
                TraceCsv::new(request.scenario, request.faults, BufWriter::new(create(path)?))
                    .map_err(|error| Failure::writing(path, error))
            })
            .transpose()?;
        arguments.plot.as_ref().map(create).transpose()?;
        // What was recorded before the first midnight is shown too.
        let from_ms = replayed
            .and_then(|replayed| replayed.readings().first())
            .map_or(0, |(at_ms, _)| *at_ms);
        let recorder = arguments
            .plot
            .as_ref()
            .map(|_| TraceRecorder::new(from_ms, request.end_ms, PLOT_COLUMNS));
        Ok(Self {
            csv,
            recorder,
            recorded: replayed.map_or_else(Vec::new, |replayed| {
                let readings = replayed.readings().iter().copied();
                in_columns(from_ms, request.end_ms, PLOT_COLUMNS, readings)
            }),
            replay: replayed.map(Replayed::beside),
        })
    }

    fn finish(
        self,
        arguments: &Arguments,
        kind: Option<PlotKind>,
        scenario: &Scenario,
        result: &mut RunResult,
    ) -> Result<(), Failure> {
        result.replay = self.replay.and_then(ReplaySink::finish);
        if let (Some(csv), Some(path)) = (self.csv, &arguments.trace) {
            csv.finish().map_err(|error| Failure::writing(path, error))?;
        }
        if let (Some(recorder), Some(path), Some(kind)) = (self.recorder, &arguments.plot, kind) {
            let fault = result
                .fault
                .as_ref()
                .map_or_else(String::new, |fault| format!(", {}", fault.case));
            let subtitle = format!("{}, {}{fault}", result.strategy, result.settings);
            let course = recorder.finish();
            // The days of a log are found by their dates.
            let dated = result.replay.as_ref().and(scenario.start_date);
            let info = PlotInfo {
                recorded: self.recorded,
                day_names: day_names(dated, course.from_ms, course.to_ms),
                ..PlotInfo::new(scenario, subtitle, result.cautions.clone())
            };
            let bytes = match kind {
                PlotKind::Svg => time_series_svg(&course, &info).map(String::into_bytes),
                PlotKind::Png => time_series_png(&course, &info),
            }
            .map_err(|error| Failure::Unfinished(format!("cannot draw {}: {error}", path.display())))?;
            std::fs::write(path, bytes).map_err(|error| Failure::writing(path, error))?;
        }
        Ok(())
    }
}

impl TraceSink for Sinks<'_> {
    fn row(&mut self, row: &TraceRow<'_>) {
        if let Some(csv) = &mut self.csv {
            csv.row(row);
        }
        if let Some(recorder) = &mut self.recorder {
            recorder.row(row);
        }
        if let Some(replay) = &mut self.replay {
            replay.row(row);
        }
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        if let Some(csv) = &mut self.csv {
            csv.mark(mark);
        }
        if let Some(recorder) = &mut self.recorder {
            recorder.mark(mark);
        }
    }
}
