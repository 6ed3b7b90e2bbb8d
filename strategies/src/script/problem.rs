//! What is wrong with a script, and where.

use rhai::{EvalAltResult, ParseError, ParseErrorType, Position};

use super::DECIDE;
use super::arguments::Argument;
use super::engine::LIMITS;

/// A mistake in a script.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {message}")]
pub struct ScriptProblem {
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1; `None`: the whole line.
    pub column: Option<usize>,
    /// What is wrong, in words.
    pub message: String,
    /// A name that is not known, and what there is.
    pub unknown: Option<UnknownName>,
}

/// A name in a script that is not known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownName {
    /// The name.
    pub name: String,
    /// Names that are.
    pub known: Vec<String>,
}

impl ScriptProblem {
    /// At the first line on which `found` stands; the first line where it stands nowhere.
    pub(super) fn at(text: &str, found: &str, message: impl Into<String>) -> Self {
        let line = text.lines().position(|line| line.contains(found)).unwrap_or(0) + 1;
        Self {
            line,
            column: None,
            message: message.into(),
            unknown: None,
        }
    }

    /// An unknown name at its first place from the first line on that holds `after`.
    pub(super) fn unknown(text: &str, after: &str, unknown: UnknownName, message: String) -> Self {
        let from = text.find(after).unwrap_or(0);
        let at = words(&text[from..])
            .find(|(_, word)| *word == unknown.name)
            .map_or(from, |(at, _)| from + at);
        let line_start = text[..at].rfind('\n').map_or(0, |end| end + 1);
        Self {
            line: text[..at].matches('\n').count() + 1,
            column: Some(text[line_start..at].chars().count() + 1),
            message,
            unknown: Some(unknown),
        }
    }

    pub(super) fn of_grammar(error: &ParseError, text: &str) -> Self {
        let position = error.position();
        let mut problem = Self {
            line: position.line().unwrap_or(1),
            column: position.position(),
            message: error.err_type().to_string(),
            unknown: None,
        };
        match error.err_type() {
            ParseErrorType::VariableUndefined(name) => {
                problem.message = if Argument::is_known(name) {
                    format!(
                        "`{name}` is known only where the function asks for it: put it among the arguments of `{DECIDE}`"
                    )
                } else {
                    format!("nothing is named `{name}` here")
                };
                problem.unknown = Some(UnknownName {
                    name: name.clone(),
                    known: names_near(text, name),
                });
            }
            ParseErrorType::MissingToken(token, _) if token == ";" => problem.move_before(text),
            _ => {}
        }
        problem
    }

    /// What is missing at the beginning of a line belongs to the end of the line of code before it.
    fn move_before(&mut self, text: &str) {
        let lines: Vec<&str> = text.lines().collect();
        let code = |line: &str| line.split("//").next().unwrap_or_default().trim_end().to_owned();
        let begins = lines.get(self.line - 1).is_none_or(|line| {
            let before = line.chars().take(self.column.unwrap_or(1) - 1);
            before.collect::<String>().trim().is_empty()
        });
        if !begins {
            return;
        }
        let before = (1..self.line)
            .rev()
            .find(|number| !code(lines[number - 1]).is_empty());
        if let Some(line) = before {
            self.line = line;
            self.column = Some(code(lines[line - 1]).chars().count());
        }
    }

    /// What went wrong while `function` was called.
    pub(super) fn of_call(error: EvalAltResult, text: &str, function: &str) -> Self {
        let mut place = error.position();
        let mut innermost = error;
        while let EvalAltResult::ErrorInFunctionCall(_, _, inner, _) = innermost {
            innermost = *inner;
            if !innermost.position().is_none() {
                place = innermost.position();
            }
        }
        innermost.set_position(Position::NONE);
        let message = match &innermost {
            EvalAltResult::ErrorTooManyOperations(_) => format!(
                "more than {} operations in one call of `{function}`: is there a loop that never ends?",
                LIMITS.operations
            ),
            EvalAltResult::ErrorStackOverflow(_) => format!("calls nest deeper than {}", LIMITS.calls),
            EvalAltResult::ErrorDataTooLarge(what, _) => format!(
                "{} grew too large; at most {} characters, {} items of an array and {} of a map are kept",
                what.to_lowercase(),
                LIMITS.characters,
                LIMITS.items,
                LIMITS.fields
            ),
            EvalAltResult::ErrorFunctionNotFound(called, _) => no_such_function(called),
            other => other.to_string(),
        };
        match place.line() {
            Some(line) => Self {
                line,
                column: place.position(),
                message,
                unknown: None,
            },
            None if is_limit(&innermost) => Self::in_a_loop(text, function, message),
            None => Self::at(text, &format!("fn {function}"), message),
        }
    }

    /// The engine does not always know where it was when something ran out; the loops are what to look at.
    fn in_a_loop(text: &str, function: &str, message: String) -> Self {
        let begins_loop = |line: &str| {
            let code = line.split("//").next().unwrap_or_default();
            let mut words = code.split(|c: char| !(c.is_alphanumeric() || c == '_'));
            words.any(|word| matches!(word, "loop" | "while" | "for" | "do"))
        };
        let loops: Vec<usize> = (1..)
            .zip(text.lines())
            .filter(|(_, line)| begins_loop(line))
            .map(|(number, _)| number)
            .collect();
        let at = |line: usize, message: String| Self {
            line,
            column: None,
            message,
            unknown: None,
        };
        match loops.as_slice() {
            [] => Self::at(text, &format!("fn {function}"), message),
            [only] => at(*only, message),
            [first, ..] => {
                let all: Vec<String> = loops.iter().map(usize::to_string).collect();
                at(
                    *first,
                    format!("{message} (loops stand on lines {})", all.join(", ")),
                )
            }
        }
    }
}

/// What was called that is not there, and with what, in words. The engine tells it as "- (f64, ())", with nothing between the brackets where nothing
/// was given.
fn no_such_function(called: &str) -> String {
    let (name, given) = called
        .split_once(" (")
        .and_then(|(name, rest)| Some((name, rest.strip_suffix(')')?)))
        .unwrap_or((called, ""));
    let given: Vec<&str> = given.split(", ").filter(|kind| !kind.is_empty()).collect();
    if given.is_empty() {
        return format!("there is no function `{name}` without arguments");
    }
    let kinds: Vec<&str> = given.iter().map(|kind| kind_in_words(kind)).collect();
    let which = match kinds.as_slice() {
        [one, other] if !name.starts_with(char::is_alphabetic) => {
            format!("there is no `{one} {name} {other}`")
        }
        kinds => format!("there is no function `{name}` for ({})", kinds.join(", ")),
    };
    if given.contains(&"()") {
        return format!(
            "{which}: `()` is no reading, the probe is silent; ask first: if temperature == () {{ return false; }}"
        );
    }
    which
}

/// The engine's name of a kind of value, in words.
fn kind_in_words(kind: &str) -> &str {
    match kind {
        "f64" => "number",
        "i64" => "whole number",
        "bool" => "true or false",
        "()" => "nothing",
        "map" => "object map",
        text if text.contains("String") || text.contains("&str") => "text",
        other => other,
    }
}

/// The words of a text, each with its place.
fn words(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let of_word = |c: char| c.is_alphanumeric() || c == '_';
    let mut from = 0;
    std::iter::from_fn(move || {
        let start = from + text[from..].find(of_word)?;
        let length = text[start..].find(|c| !of_word(c)).unwrap_or(text.len() - start);
        from = start + length;
        Some((start, &text[start..from]))
    })
}

/// What a name in a script may have been meant to be: what may be asked for, and the script's own words.
fn names_near(text: &str, name: &str) -> Vec<String> {
    let mut known: Vec<String> = Argument::names().map(str::to_owned).collect();
    let begins_with_letter = |word: &str| word.starts_with(|c: char| c.is_alphabetic());
    for (_, word) in words(text) {
        if word != name && begins_with_letter(word) && !known.iter().any(|other| other == word) {
            known.push(word.to_owned());
        }
    }
    known
}

/// Whether something ran out.
fn is_limit(error: &EvalAltResult) -> bool {
    matches!(
        error,
        EvalAltResult::ErrorTooManyOperations(_) | EvalAltResult::ErrorDataTooLarge(..)
    )
}
