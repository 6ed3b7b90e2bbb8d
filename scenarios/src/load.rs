//! The doors of the crate: files, texts and names in, checked things or a report out.

use std::path::Path;
use std::sync::Arc;

use tepid_sim::scenario::{FaultSet, Scenario};

use crate::fault_sets::fault_set;
use crate::law::is_script;
use crate::nearest::nearest;
use crate::node::from_option;
use crate::problem::{Problem, Problems, Report, Reported};
use crate::read;
use crate::source::{Place, Source};
use crate::strategy_file::{self, StrategyFile, unknown_strategy};
use crate::study::{self, Study};
use crate::text_file;
use crate::variant::{self, Around, Tree, looks_like_path, parse_document, short_name, unknown_scenario};

/// The three kinds of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// What there is and what happens.
    Scenario,
    /// Who controls.
    Strategy,
    /// What is compared, and what must hold.
    Study,
}

/// What was in a file.
#[derive(Debug)]
pub enum Loaded {
    /// A scenario.
    Scenario(Box<Scenario>),
    /// A strategy.
    Strategy(StrategyFile),
    /// A study.
    Study(Box<Study>),
}

/// A change by path, as the command line gives it: `--set heater.left.power="400 W"`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// `PATH=VALUE`.
    pub text: String,
}

impl Setting {
    /// A setting of a path and a value, as a file would write the value (without quotes).
    #[must_use]
    pub fn new(path: &str, value: &str) -> Self {
        Self {
            text: format!("{path}={value}"),
        }
    }
}

/// Loads a file of any kind.
///
/// # Errors
/// [`Report`] with every mistake.
pub fn load_file(path: &Path) -> Result<Loaded, Report> {
    let source = read_source(path)?;
    if is_script(&source.name) {
        let problems = Problems::default();
        let read = strategy_file::of_source(&source, &problems);
        return finish(read.map(Loaded::Strategy), problems);
    }
    load_source(&source, path.parent().unwrap_or(Path::new("")))
}

/// Loads a text of any kind; `name` stands in messages, relative paths start from the current folder.
///
/// # Errors
/// [`Report`] with every mistake.
pub fn load_str(name: &str, text: &str) -> Result<Loaded, Report> {
    load_source(
        &Source::new(name, text.strip_prefix('\u{feff}').unwrap_or(text)),
        Path::new(""),
    )
}

/// Loads bytes of any kind, as [`load_str`].
///
/// # Errors
/// [`Report`] with every mistake; bytes that are no text are one.
pub fn load_bytes(name: &str, bytes: &[u8]) -> Result<Loaded, Report> {
    match text_file::text_of(bytes) {
        Ok(text) => load_str(name, text),
        Err(error) => Err(unreadable(name, &error)),
    }
}

/// Which kind of file a text is, told by its keys: `strategy` → strategy, `scenarios` → study, else scenario.
#[must_use]
pub fn kind_of_text(text: &str) -> FileKind {
    let root = crate::node::parse(&Source::new("", text), &Problems::default());
    kind_of(&root)
}

/// Keys that only a study has: with one of them, `scenarios` is missing or misspelt.
const STUDY_ALONE: [&str; 4] = ["strategies", "replicates", "vary", "gate"];

fn kind_of(root: &crate::node::Table) -> FileKind {
    if root.get("strategy").is_some() {
        FileKind::Strategy
    } else if root.get("scenarios").is_some() || STUDY_ALONE.iter().any(|key| root.get(key).is_some()) {
        FileKind::Study
    } else if only_parameters(root) {
        FileKind::Strategy
    } else {
        FileKind::Scenario
    }
}

/// Whether every key belongs to some strategy: then it is `strategy` itself that is missing or misspelt.
fn only_parameters(root: &crate::node::Table) -> bool {
    let of_a_strategy = |key: &str| {
        let mut params = tepid_strategies::registry().iter().flat_map(|entry| entry.params);
        key == "guard" || params.any(|param| param.name == key)
    };
    let mut keys = root.entries.iter().map(|entry| entry.key.as_str());
    keys.clone().any(of_a_strategy)
        && keys.all(|key| of_a_strategy(key) || nearest(key, ["strategy"]).is_some())
}

/// Loads a scenario by its name in the library or by path, with changes by path.
///
/// # Errors
/// [`Report`] with every mistake; those of a setting are underlined in the setting.
pub fn scenario(name_or_path: &str, settings: &[Setting]) -> Result<Scenario, Report> {
    let problems = Problems::default();
    let built = named_tree(name_or_path, &problems)?.and_then(|mut tree| {
        let changed = changed(&mut tree, settings, &problems);
        let scenario = read::scenario(&tree.root, &tree.titles, &problems);
        changed.and(scenario)
    });
    finish(built, problems)
}

/// The tree of a library name or a path, with changes by path.
pub(crate) fn scenario_tree(
    name_or_path: &str,
    settings: &[Setting],
    problems: &Problems,
) -> Result<Result<Tree, Reported>, Report> {
    let tree = named_tree(name_or_path, problems)?;
    Ok(tree.and_then(|mut tree| changed(&mut tree, settings, problems).map(|()| tree)))
}

/// The tree of a library name or a path; what cannot be read at all is a report of its own.
fn named_tree(name_or_path: &str, problems: &Problems) -> Result<Result<Tree, Reported>, Report> {
    let asked = Source::of_command_line("SCENARIO", name_or_path);
    let place = Place::new(&asked, 0..name_or_path.len());
    if crate::library::text(name_or_path).is_some() {
        let around = Around {
            folder: Path::new(""),
            depth: 0,
        };
        return Ok(variant::named(name_or_path, &place, around, problems));
    }
    if !is_path(name_or_path) {
        return Err(Report::of(unknown_scenario(name_or_path, &place)));
    }
    let path = Path::new(name_or_path);
    let source = read_source(path)?;
    let around = Around {
        folder: path.parent().unwrap_or(Path::new("")),
        depth: 0,
    };
    Ok(whole_tree(&source, around, problems))
}

fn changed(tree: &mut Tree, settings: &[Setting], problems: &Problems) -> Result<(), Reported> {
    let mut result = Ok(());
    for setting in settings {
        result = result.and(apply_setting(tree, setting, problems));
    }
    result
}

/// Loads a scenario from a text.
///
/// # Errors
/// [`Report`] with every mistake.
pub fn scenario_text(name: &str, text: &str) -> Result<Scenario, Report> {
    let problems = Problems::default();
    let source = Source::new(name, text);
    let built = scenario_of(&source, Path::new(""), &problems);
    finish(built, problems)
}

/// Loads a strategy from a text.
///
/// # Errors
/// [`Report`] with every mistake.
pub fn strategy_text(name: &str, text: &str) -> Result<StrategyFile, Report> {
    let problems = Problems::default();
    let read = strategy_file::of_source(&Source::new(name, text), &problems);
    finish(read, problems)
}

/// The fault set of a scenario that an option names.
///
/// # Errors
/// [`Report`] with the nearest name and those there are.
pub fn named_fault_set(scenario: &Scenario, name: &str) -> Result<FaultSet, Report> {
    fault_set(scenario, name).map_err(|error| {
        let asked = Source::of_command_line("--fault", name);
        let place = Place::new(&asked, 0..name.len());
        let whose = format!(" of {}", scenario.name);
        Report::of(study::unknown_fault_set(name, &whose, &error.known, &place))
    })
}

/// Loads a strategy by its name in the registry or by path.
///
/// # Errors
/// [`Report`] with every mistake.
pub fn strategy(name_or_path: &str) -> Result<StrategyFile, Report> {
    let asked = Source::of_command_line("--strategy", name_or_path);
    let place = Place::new(&asked, 0..name_or_path.len());
    if let Some(made) = strategy_file::built_in(name_or_path) {
        return made.map_err(|error| Report::of(Problem::new("parameter", &place, error.to_string())));
    }
    if !is_path(name_or_path) {
        return Err(Report::of(unknown_strategy(name_or_path, &place)));
    }
    let source = read_source(Path::new(name_or_path))?;
    let problems = Problems::default();
    let read = strategy_file::of_source(&source, &problems);
    finish(read, problems)
}

/// [`strategy`], for where a guard's name would do as well: nearest names come from both lists.
///
/// # Errors
/// [`Report`] with every mistake.
pub fn strategy_or_guard(name_or_path: &str) -> Result<StrategyFile, Report> {
    if strategy_file::built_in(name_or_path).is_some() || is_path(name_or_path) {
        return strategy(name_or_path);
    }
    let asked = Source::of_command_line("strategy", name_or_path);
    let place = Place::new(&asked, 0..name_or_path.len());
    let strategies = tepid_strategies::registry().iter().map(|entry| entry.name);
    let guards = tepid_strategies::guard::guards().iter().map(|entry| entry.name);
    let known: Vec<&str> = strategies.chain(guards).collect();
    let problem = Problem::new(
        "unknown-strategy",
        &place,
        format!("no strategy or guard is named `{name_or_path}`"),
    );
    Err(Report::of(
        problem
            .label("no such strategy or guard")
            .found(name_or_path)
            .expected(format!("a strategy file, or one of {}", known.join(", ")))
            .nearest(nearest(name_or_path, known.iter().copied())),
    ))
}

/// A file need not end in ".toml" to be one.
fn is_path(name_or_path: &str) -> bool {
    looks_like_path(name_or_path) || Path::new(name_or_path).is_file()
}

fn load_source(source: &Arc<Source>, folder: &Path) -> Result<Loaded, Report> {
    let problems = Problems::default();
    // The grammar's mistakes are found again by whoever reads the text in full.
    let loaded = match kind_of_text(&source.text) {
        FileKind::Scenario => {
            scenario_of(source, folder, &problems).map(|scenario| Loaded::Scenario(Box::new(scenario)))
        }
        FileKind::Strategy => strategy_file::of_source(source, &problems).map(Loaded::Strategy),
        FileKind::Study => parse_document(source, &problems)
            .and_then(|root| study::read(&root, &short_name(&source.name), folder, &problems))
            .map(|study| Loaded::Study(Box::new(study))),
    };
    finish(loaded, problems)
}

fn scenario_of(source: &Arc<Source>, folder: &Path, problems: &Problems) -> Result<Scenario, Reported> {
    let tree = whole_tree(source, Around { folder, depth: 0 }, problems)?;
    read::scenario(&tree.root, &tree.titles, problems)
}

fn whole_tree(source: &Arc<Source>, around: Around<'_>, problems: &Problems) -> Result<Tree, Reported> {
    variant::tree(source, around, problems)
}

/// Changes a tree by a setting; its mistakes are underlined in the setting itself.
pub(crate) fn apply_setting(tree: &mut Tree, setting: &Setting, problems: &Problems) -> Result<(), Reported> {
    let source = Source::of_command_line("--set", &setting.text);
    let whole = Place::new(&source, 0..setting.text.len());
    let Some(equals) = setting.text.find('=') else {
        let problem = Problem::new("setting", &whole, format!("`{}` is not a setting", setting.text))
            .expected("PATH=VALUE, such as heater.left.power=\"400 W\"");
        return Err(problems.add(problem));
    };
    let path = Place::new(&source, 0..equals);
    variant::apply(&mut tree.root, &path, from_option(&source, equals + 1), problems)
}

pub(crate) fn finish<T>(built: Result<T, Reported>, problems: Problems) -> Result<T, Report> {
    hide_consequences(&problems);
    match built {
        Ok(value) if problems.is_empty() => Ok(value),
        _ => Err(problems.into_report()),
    }
}

/// Where the grammar itself is wrong, what stands on the same line was not understood and fields may only seem to
/// be missing: those complaints would mislead.
fn hide_consequences(problems: &Problems) {
    let mut broken: Vec<Place> = Vec::new();
    problems.retain(|problem| {
        if problem.code == "grammar" {
            broken.push(problem.place.clone());
        }
        true
    });
    problems.retain(|problem| {
        let same_line = |place: &Place| {
            place.source == problem.place.source
                && place.line_and_column().0 == problem.place.line_and_column().0
        };
        problem.code == "grammar"
            || broken.iter().all(|place| {
                place.source != problem.place.source || (problem.code != "missing-field" && !same_line(place))
            })
    });
}

pub(crate) fn read_source(path: &Path) -> Result<Arc<Source>, Report> {
    text_file::read(path).map_err(|error| unreadable(&path.to_string_lossy(), &error))
}

fn unreadable(name: &str, error: &text_file::TextFileError) -> Report {
    if let text_file::TextFileError::NotText { at, readable } = error {
        let source = Source::new(name, readable);
        let broken = readable[*at..].chars().next().map_or(0, char::len_utf8);
        let problem = Problem::new(
            "not-text",
            &Place::new(&source, *at..at + broken),
            error.to_string(),
        )
        .label("no character")
        .expected("a file saved as UTF-8: choose it in the editor's \"save as\"");
        return Report::of(problem);
    }
    let place = Place::new(&Source::unread(name), 0..0);
    Report::of(Problem::new("unreadable", &place, error.to_string()).label(""))
}
