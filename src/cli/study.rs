//! Studies on the command line: what `compare`, `merge` and `run --cell` share.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};

use tepid::study::{
    Baseline, Effort, JournalError, MergeError, Outcome, Plan, PlanError, Shard, StudyError, StudyRequest,
};
use tepid_output::records::{GateVerdict, StudyResult};
use tepid_output::wording::span;
use tepid_output::{csv_text, table};
use tepid_scenarios::Study;

use super::Done;
use super::exit::{Failure, print};
use super::progress::Bar;
use super::shared::{Format, Shown, Threads, json, with_threads};

/// Set by Ctrl-C: the cells under way are finished, then the study ends.
static STOP: AtomicBool = AtomicBool::new(false);

/// Where results of a study go, and what they are held against.
#[derive(Debug, Default, clap::Args)]
pub struct Kept {
    /// Keeps the results of a study in this folder: every finished cell at once, the tables at the end. The same command goes on where it was stopped.
    #[arg(long, value_name = "DIR")]
    pub results: Option<PathBuf>,
    /// What gates with `no_worse_than_baseline` are held against.
    #[arg(long, value_name = "FILE.json")]
    baseline: Option<PathBuf>,
    /// Keeps the figures of this study as a baseline, if its gates hold.
    #[arg(long, value_name = "FILE.json")]
    save_baseline: Option<PathBuf>,
}

impl Kept {
    /// Whether any of them is given.
    pub fn is_asked_for(&self) -> bool {
        self.results.is_some() || self.baseline.is_some() || self.save_baseline.is_some()
    }
}

/// What a study runs, from its file.
pub fn plan(study: Study) -> Result<Plan, Failure> {
    Plan::new(study).map_err(|error| match error {
        PlanError::Values(report) => Failure::Mistakes(report),
        other => Failure::BadInput(other.to_string()),
    })
}

/// What a study will run, and what that takes here.
pub fn checked(name: &str, study: Study) -> Result<String, Failure> {
    let plan = plan(study)?;
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let effort = Effort::of(&plan);
    let mut text = format!("{name}: a study without mistakes: {}\n", plan.study.title);
    let lines = [
        format!(
            "{}, {}, {}, {}: {}",
            counted(plan.scenarios.len() as u64, "scenario"),
            counted(plan.strategies.len() as u64, "strategy"),
            counted(plan.study.faults.len() as u64, "fault set"),
            counted(plan.study.replicates, "replicate"),
            counted(effort.cells, "cell"),
        ),
        format!(
            "takes about {} here on {}, and about {} with --results",
            span(
                (effort.on_one_core / threads as u32)
                    .as_secs_f64()
                    .max(1.0)
                    .round()
            ),
            counted(threads as u64, "thread"),
            size(effort.bytes),
        ),
    ];
    for line in lines {
        text.push_str(&format!("  {line}\n"));
    }
    if plan.study.enough.is_some() {
        text.push_str("  at most: replicates are added until `enough` is known\n");
    }
    for none in &plan.does_not_apply {
        text.push_str(&format!(
            "  does not apply: {} in {}: {}\n",
            none.strategy, none.scenario, none.missing
        ));
    }
    Ok(text)
}

/// "1 cell", "3 strategies".
fn counted(count: u64, word: &str) -> String {
    match (count, word.strip_suffix('y')) {
        (1, _) => format!("1 {word}"),
        (_, Some(stem)) => format!("{count} {stem}ies"),
        (_, None) => format!("{count} {word}s"),
    }
}

/// "40 kB", "1.2 MB".
fn size(bytes: u64) -> String {
    let kilobytes = bytes as f64 / 1000.0;
    if kilobytes < 1000.0 {
        format!("{kilobytes:.0} kB")
    } else {
        format!("{:.1} MB", kilobytes / 1000.0)
    }
}

/// How a study is run and shown.
pub struct Asked<'a> {
    /// The study's file, as it was named.
    pub path: &'a str,
    /// Where results go.
    pub kept: &'a Kept,
    /// Which part of it.
    pub shard: Shard,
    /// Threads.
    pub threads: &'a Threads,
    /// Tells of failures as they come.
    pub verbose: bool,
    /// Form of the output.
    pub shown: &'a Shown,
}

/// Runs a study, or what is missing of it.
pub fn run(asked: &Asked<'_>, study: Study) -> Done {
    let plan = plan(study)?;
    if asked.shard != Shard::WHOLE && (asked.kept.baseline.is_some() || asked.kept.save_baseline.is_some()) {
        return Err(Failure::BadInput(
            "a part of a study is not judged; expected --baseline and --save-baseline beside `tepid merge`"
                .to_owned(),
        ));
    }
    if asked.shard != Shard::WHOLE && asked.kept.results.is_none() {
        return Err(Failure::BadInput(
            "a part of a study is kept for `tepid merge`; expected --results DIR beside --shard".to_owned(),
        ));
    }
    carried_out(asked, &plan, |request, bar| {
        tepid::study::study(request, bar).map_err(failed)
    })
}

/// Puts the parts of a study together.
pub fn merge(asked: &Asked<'_>, study: Study, parts: &[PathBuf]) -> Done {
    let plan = plan(study)?;
    carried_out(asked, &plan, |request, _| {
        tepid::study::merge(request, parts).map_err(|error| match error {
            MergeError::Journal(error) => Failure::BadInput(error.to_string()),
            MergeError::Study(error) => failed(error),
            other => Failure::BadInput(other.to_string()),
        })
    })
}

fn carried_out(
    asked: &Asked<'_>,
    plan: &Plan,
    work: impl FnOnce(&StudyRequest<'_>, &Bar) -> Result<Outcome, Failure> + Send,
) -> Done {
    let baseline = baseline(asked, plan)?;
    let request = StudyRequest {
        plan,
        path: asked.path,
        folder: asked.kept.results.as_deref(),
        shard: asked.shard,
        baseline: baseline.as_ref(),
        stop: &STOP,
    };
    // A second Ctrl-C ends at once; what is written down is kept all the same.
    let handler = ctrlc::set_handler(|| {
        if STOP.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    handler.map_err(|error| Failure::Unfinished(format!("cannot listen for Ctrl-C: {error}")))?;
    let outcome = with_threads(asked.threads, |bar| {
        bar.tells_failures(asked.verbose);
        work(&request, bar)
    })??;
    match outcome {
        Outcome::Whole(result) => whole(asked, plan, &result),
        Outcome::Part { cells_done, cells } => part(asked, cells_done, cells),
    }
}

fn part(asked: &Asked<'_>, cells_done: u64, cells: u64) -> Done {
    if cells_done < cells {
        return Err(interrupted(asked, cells_done, cells));
    }
    print(&format!(
        "Part {} of {}: {cells} cells. When all parts are done: tepid merge {} DIR DIR … --results DIR\n",
        asked.shard.number, asked.shard.of, asked.path
    ))
}

fn interrupted(asked: &Asked<'_>, done: u64, cells: u64) -> Failure {
    let next = match &asked.kept.results {
        Some(folder) => format!("; the same command goes on from there, in {}", folder.display()),
        None => "; with --results DIR they would have been kept".to_owned(),
    };
    Failure::Unfinished(format!("interrupted: {done} of {cells} cells are done{next}"))
}

fn whole(asked: &Asked<'_>, plan: &Plan, result: &StudyResult) -> Done {
    let units = asked.shown.units.into();
    print(&match asked.shown.format {
        Format::Table => table::study(result, units),
        Format::Json => json(result)?,
        Format::Csv => csv_text::study(result).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })?;
    if !result.complete {
        return Err(interrupted(asked, result.cells_done, result.cells));
    }
    judged(result)?;
    // What does not hold is nothing to hold later results against.
    if let Some(path) = &asked.kept.save_baseline {
        let text = json(&Baseline::new(&plan.study, result))?;
        std::fs::write(path, text).map_err(|error| Failure::writing(path, error))?;
        if asked.shown.format == Format::Table {
            print(&format!("\nKept as a baseline in {}\n", path.display()))?;
        }
    }
    Ok(())
}

/// How a finished study ends: broken gates first, then runs that failed, then gates that say nothing.
fn judged(result: &StudyResult) -> Done {
    let count = |verdict: GateVerdict| result.gates.iter().filter(|gate| gate.verdict == verdict).count();
    let gates = |count: usize, one: &str, many: &str| match count {
        1 => format!("1 gate {one}"),
        count => format!("{count} gates {many}"),
    };
    match (
        count(GateVerdict::Broken),
        result.failures.len(),
        count(GateVerdict::NotJudged),
    ) {
        (0, 0, 0) => Ok(()),
        (0, 0, open) => Err(Failure::DoesNotHold(gates(
            open,
            "cannot be judged: its score has no value, or no baseline is kept for it",
            "cannot be judged: their scores have no value, or no baseline is kept for them",
        ))),
        (0, failed, _) => Err(Failure::Unfinished(format!(
            "{failed} of {} runs failed; the reasons are in the result, and the same command tries them again",
            result.cells
        ))),
        (broken, _, _) => Err(Failure::DoesNotHold(gates(
            broken,
            "does not hold",
            "do not hold",
        ))),
    }
}

/// The baseline, where gates need one.
fn baseline(asked: &Asked<'_>, plan: &Plan) -> Result<Option<Baseline>, Failure> {
    let Some(path) = &asked.kept.baseline else {
        let mut gates = plan.study.gates.iter();
        return match gates.position(|gate| gate.no_worse_than_baseline.is_some()) {
            Some(gate) if asked.kept.save_baseline.is_none() && asked.shard == Shard::WHOLE => {
                Err(Failure::BadInput(format!(
                    "gate {} compares with a baseline; expected --baseline FILE.json, or --save-baseline FILE.json to keep a first one",
                    gate + 1
                )))
            }
            _ => Ok(None),
        };
    };
    read_baseline(path, plan).map(Some)
}

/// A kept baseline.
pub fn read_baseline(path: &Path, plan: &Plan) -> Result<Baseline, Failure> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| Failure::BadInput(format!("cannot read {}: {error}", path.display())))?;
    Baseline::read(&text, &plan.study)
        .map_err(|error| Failure::BadInput(format!("{}: {error}", path.display())))
}

/// How a study that could not be run ends.
pub fn failed(error: StudyError) -> Failure {
    match error {
        StudyError::Journal(error) => of_journal(error),
        StudyError::PartOfEnough | StudyError::WithoutParquet { .. } => Failure::BadInput(error.to_string()),
        StudyError::Folder(_) | StudyError::Format(_) => Failure::Unfinished(error.to_string()),
    }
}

/// What is in the way of a folder is bad input; what the system refuses is not.
fn of_journal(error: JournalError) -> Failure {
    match error {
        JournalError::Io { .. } => Failure::Unfinished(error.to_string()),
        JournalError::Foreign { .. } | JournalError::OtherStudy { .. } | JournalError::OtherShard { .. } => {
            Failure::BadInput(error.to_string())
        }
    }
}
