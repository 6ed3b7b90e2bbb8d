//! `tepid new`.

use std::fs::OpenOptions;
use std::io::{BufRead, ErrorKind, IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::ValueEnum;
use tepid_scenarios::interview::{ConversationError, conversation};
use tepid_scenarios::{FileKind, template};
use tepid_sim::quantity::System;
use tepid_strategies::script::TEMPLATE;

use super::Done;
use super::exit::{Failure, print};

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// What kind of file. For a scenario, on a terminal, eight questions are asked; otherwise a commented file is written.
    #[arg(value_enum)]
    kind: Kind,
    /// For a strategy: a script that works, with its rules in functions to change, in place of a file of parameters.
    #[arg(long)]
    script: bool,
    /// Where to write it; without it, to standard output. An existing file is never written over.
    file: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Kind {
    Scenario,
    Strategy,
    Study,
}

/// Writes the file.
pub fn run(arguments: &Arguments) -> Done {
    // Whoever asks for a file that is there should know before eight answers.
    if let Some(path) = arguments.file.as_deref().filter(|path| path.exists()) {
        return Err(there_already(path));
    }
    if arguments.script && !matches!(arguments.kind, Kind::Strategy) {
        return Err(Failure::BadInput(
            "--script belongs to a strategy: tepid new strategy --script mine.rhai".to_owned(),
        ));
    }
    let somebody_there = std::io::stdin().is_terminal() && std::io::stderr().is_terminal();
    let asked = matches!(arguments.kind, Kind::Scenario) && somebody_there;
    let made = |kind| (template(kind), System::Metric);
    let (text, units) = match arguments.kind {
        Kind::Scenario if somebody_there => ask()?,
        Kind::Scenario => made(FileKind::Scenario),
        Kind::Strategy if arguments.script => (TEMPLATE.to_owned(), System::Metric),
        Kind::Strategy => made(FileKind::Strategy),
        Kind::Study => made(FileKind::Study),
    };
    match &arguments.file {
        Some(path) => {
            write_new(path, &text)?;
            if arguments.script {
                let path = path.display();
                return print(&format!(
                    "wrote {path}; try it with: tepid check strategy {path}\nand beside a built-in one: tepid compare --strategy on-off --strategy {path}"
                ));
            }
            wrote(path, units)
        }
        None if asked && std::io::stdout().is_terminal() => offer_to_save(&text, units),
        None => print(&text),
    }
}

/// Asks on standard error, so that standard output holds the scenario alone.
fn ask() -> Result<(String, System), Failure> {
    let answers = conversation(&mut std::io::stdin().lock(), &mut std::io::stderr().lock());
    answers
        .map(|answers| (answers.scenario_text(), answers.units))
        .map_err(|error| match error {
            ConversationError::Ended => Failure::BadInput(error.to_string()),
            _ => Failure::Unfinished(error.to_string()),
        })
}

/// Saves under a name that is asked for, or shows the text.
fn offer_to_save(text: &str, units: System) -> Done {
    loop {
        tell("Save it to a file, for example my-tank.toml? Its name, or Enter to show it here: ")?;
        let mut name = String::new();
        std::io::stdin()
            .lock()
            .read_line(&mut name)
            .map_err(|error| Failure::Unfinished(format!("cannot read the answer: {error}")))?;
        let name = name.trim();
        if name.is_empty() {
            return print(text);
        }
        let mut path = PathBuf::from(name);
        if path.extension().is_none() {
            path.set_extension("toml");
        }
        match write_new(&path, text) {
            Ok(()) => return wrote(&path, units),
            // The answers are not lost over a name.
            Err(Failure::BadInput(why) | Failure::Unfinished(why)) => tell(&format!("{why}\n"))?,
            Err(other) => return Err(other),
        }
    }
}

fn write_new(path: &Path, text: &str) -> Done {
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(|error| match error.kind() {
            ErrorKind::AlreadyExists => there_already(path),
            _ => Failure::writing(path, error),
        })?;
    file.write_all(text.as_bytes())
        .map_err(|error| Failure::writing(path, error))
}

fn there_already(path: &Path) -> Failure {
    Failure::BadInput(format!(
        "{} is there already; it is left as it is",
        path.display()
    ))
}

/// Says where it is and what comes next; `units` are those the file is written in.
fn wrote(path: &Path, units: System) -> Done {
    let path = path.display();
    let mut text = format!("wrote {path}; check it with: tepid check {path}");
    if units == System::UsCustomary {
        text.push_str(&format!(
            "\nresults in °F and gallons: tepid compare {path} --units us"
        ));
    }
    print(&text)
}

fn tell(text: &str) -> Done {
    let mut stderr = std::io::stderr().lock();
    stderr
        .write_all(text.as_bytes())
        .and_then(|()| stderr.flush())
        .map_err(|error| Failure::Unfinished(format!("cannot write to standard error: {error}")))
}
