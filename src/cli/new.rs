//! `tepid new`.

use std::fs::OpenOptions;
use std::io::{BufRead, ErrorKind, IsTerminal, Write};
use std::path::PathBuf;

use clap::ValueEnum;
use tepid_scenarios::interview::{Answers, Topic};
use tepid_scenarios::{FileKind, template};
use tepid_sim::quantity::System;

use super::Done;
use super::exit::{Failure, print};

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// What kind of file. A scenario without FILE asks eight questions if there is a terminal to ask on.
    #[arg(value_enum)]
    kind: Kind,
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
    let somebody_there = std::io::stdin().is_terminal() && std::io::stderr().is_terminal();
    let text = match arguments.kind {
        Kind::Scenario if arguments.file.is_none() && somebody_there => return ask(),
        Kind::Scenario => template(FileKind::Scenario),
        Kind::Strategy => template(FileKind::Strategy),
        Kind::Study => template(FileKind::Study),
    };
    let Some(path) = &arguments.file else {
        return print(&text);
    };
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(|error| match error.kind() {
            ErrorKind::AlreadyExists => Failure::BadInput(format!(
                "{} is there already; it is left as it is",
                path.display()
            )),
            _ => Failure::writing(path, error),
        })?;
    file.write_all(text.as_bytes())
        .map_err(|error| Failure::writing(path, error))?;
    print(&format!(
        "wrote {}; check it with: tepid check {}",
        path.display(),
        path.display()
    ))
}

/// Asks on standard error, so that standard output holds the scenario alone.
fn ask() -> Done {
    let mut answers = Answers::sensible(System::Metric);
    tell("Eight questions; Enter takes what stands in brackets.\n")?;
    for (position, topic) in Topic::ALL.into_iter().enumerate() {
        tell(&format!("\n{}. {}\n", position + 1, topic.question()))?;
        loop {
            tell(&format!("   [{}] ", answers.shown(topic)))?;
            match answers.take(topic, &typed()?) {
                Ok(()) => break,
                Err(error) => tell(&format!("   {error}\n"))?,
            }
        }
    }
    tell("\n")?;
    print(&answers.scenario_text())?;
    tell(
        "\nIn a file (tepid new scenario > mine.toml) it is ready for: tepid check mine.toml\nand: tepid compare mine.toml\n",
    )
}

/// A line of the keyboard.
fn typed() -> Result<String, Failure> {
    let mut line = String::new();
    match std::io::stdin().lock().read_line(&mut line) {
        Ok(0) => Err(Failure::BadInput(
            "the answers ended before the questions; no scenario was made".to_owned(),
        )),
        Ok(_) => Ok(line),
        Err(error) if error.kind() == ErrorKind::InvalidData => Ok("?".to_owned()),
        Err(error) => Err(Failure::Unfinished(format!("cannot read the answer: {error}"))),
    }
}

fn tell(text: &str) -> Done {
    let mut stderr = std::io::stderr().lock();
    stderr
        .write_all(text.as_bytes())
        .and_then(|()| stderr.flush())
        .map_err(|error| Failure::Unfinished(format!("cannot write to standard error: {error}")))
}
