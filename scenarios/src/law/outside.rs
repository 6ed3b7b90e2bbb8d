//! Strategies from outside: scripts and programs, found from the strategy file's folder.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use tepid_strategies::program::Program;
use tepid_strategies::script::{Script, ScriptProblem};

use super::{PROGRAM, SCRIPT};
use crate::fields::strategy;
use crate::nearest::nearest;
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;
use crate::source::{Place, Source};
use crate::text_file;

/// Reads a script from its text.
pub(crate) fn script_of(source: &Arc<Source>, problems: &Problems) -> Result<Script, Reported> {
    let name = Path::new(&source.name).file_name().and_then(|name| name.to_str());
    Script::read(name.unwrap_or(&source.name), &source.text)
        .map_err(|problem| problems.add(of_script(&problem, source)))
}

pub(super) fn script(table: &Table, problems: &Problems) -> Result<Script, Reported> {
    let fields = [strategy::file_field()];
    let table = table.with_only(&["file"]);
    let reader = Reader::open_fields(&table, &fields, SCRIPT, problems);
    let Some(file) = reader.optional_text("file")? else {
        return Err(reader.missing("file"));
    };
    let path = table.place.source.folder().join(&file);
    let source = text_file::read(&path).map_err(|error| {
        let problem = Problem::new(
            "unreadable",
            reader.place_of("file"),
            format!("`{file}`: {error}"),
        )
        .label("cannot be read")
        .expected("the path of a script, from the folder of this file");
        problems.add(problem)
    })?;
    script_of(&source, problems)
}

pub(super) fn program(table: &Table, problems: &Problems) -> Result<Program, Reported> {
    let fields = [strategy::command_field()];
    let table = table.with_only(&["command"]);
    let reader = Reader::open_fields(&table, &fields, PROGRAM, problems);
    let Some(command) = reader.optional_texts("command")? else {
        return Err(reader.missing("command"));
    };
    let command: Vec<String> = command.into_iter().map(|(word, _)| word).collect();
    if command.first().is_none_or(String::is_empty) {
        let problem = Problem::new(
            "command",
            reader.place_of("command"),
            "the command names no program",
        )
        .label("nothing to run")
        .expected("a list of a program and its arguments such as [\"python3\", \"mine.py\"]");
        return Err(problems.add(problem));
    }
    Ok(Program {
        command,
        folder: folder_of(&table),
    })
}

/// Where a command is run: a program's own way of looking at paths must not depend on how the file was named.
fn folder_of(table: &Table) -> PathBuf {
    let folder = table.place.source.folder();
    std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned())
}

/// A mistake in a script at its place.
fn of_script(problem: &ScriptProblem, source: &Arc<Source>) -> Problem {
    let text = &source.text;
    let before: usize = text
        .split_inclusive('\n')
        .take(problem.line.saturating_sub(1))
        .map(str::len)
        .sum();
    let line = text[before..].lines().next().unwrap_or_default();
    let start = match problem.column {
        Some(column) => line
            .char_indices()
            .nth(column - 1)
            .map_or(line.len(), |(at, _)| at),
        None => line.len() - line.trim_start().len(),
    };
    let of_word = |c: char| c.is_alphanumeric() || c == '_';
    let rest = &line[start..];
    let length = match problem.column {
        // The word that stands there, or the one sign.
        Some(_) => rest
            .find(|c| !of_word(c))
            .filter(|length| *length > 0)
            .or_else(|| rest.starts_with(of_word).then_some(rest.len()))
            .or_else(|| rest.chars().next().map(char::len_utf8))
            .unwrap_or(0),
        None => rest.trim_end().len(),
    };
    let place = Place::new(source, before + start..before + start + length);
    let told = Problem::new("script", &place, problem.message.clone()).label("here");
    match &problem.unknown {
        Some(unknown) => told
            .found(unknown.name.clone())
            .nearest(nearest(&unknown.name, unknown.known.iter().map(String::as_str))),
        None => told,
    }
}
