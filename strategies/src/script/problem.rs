//! What is wrong with a script, and where.

use rhai::{EvalAltResult, ParseError, Position};

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
}

impl ScriptProblem {
    /// At the first line on which `found` stands; the first line where it stands nowhere.
    pub(super) fn at(text: &str, found: &str, message: impl Into<String>) -> Self {
        let line = text.lines().position(|line| line.contains(found)).unwrap_or(0) + 1;
        Self {
            line,
            column: None,
            message: message.into(),
        }
    }

    pub(super) fn of_grammar(error: &ParseError) -> Self {
        let position = error.position();
        Self {
            line: position.line().unwrap_or(1),
            column: position.position(),
            message: error.err_type().to_string(),
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
            other => other.to_string(),
        };
        match place.line() {
            Some(line) => Self {
                line,
                column: place.position(),
                message,
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

/// Whether something ran out.
fn is_limit(error: &EvalAltResult) -> bool {
    matches!(
        error,
        EvalAltResult::ErrorTooManyOperations(_) | EvalAltResult::ErrorDataTooLarge(..)
    )
}
