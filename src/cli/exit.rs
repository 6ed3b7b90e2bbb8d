//! How a command ends. The codes are part of the interface: 0 holds, 1 a gate does not hold, 2 bad input, 3 could not finish.

use std::io::{IsTerminal, Write};
use std::process::ExitCode;

use tepid_scenarios::Report;

/// A gate or a check does not hold.
const DOES_NOT_HOLD: u8 = 1;
/// Bad input.
const BAD_INPUT: u8 = 2;
/// Could not finish: input or output, failed runs, interrupted.
pub const UNFINISHED: u8 = 3;

/// Why a command did not end well.
#[derive(Debug)]
pub enum Failure {
    /// Mistakes in files or settings, each with its place.
    Mistakes(Box<Report>),
    /// Bad input without a place in a file.
    BadInput(String),
    /// Everything was tried, and something does not hold.
    DoesNotHold(String),
    /// It could not finish.
    Unfinished(String),
    /// The reader of the output went away; nothing is wrong.
    ReaderGone,
}

impl Failure {
    /// Says why on standard error and gives the exit code.
    pub fn report(&self) -> ExitCode {
        let mut stderr = std::io::stderr();
        let (text, code) = match self {
            Self::Mistakes(report) if stderr.is_terminal() && std::env::var_os("NO_COLOR").is_none() => {
                (report.coloured(), BAD_INPUT)
            }
            Self::Mistakes(report) => (report.plain(), BAD_INPUT),
            Self::BadInput(text) => (format!("error: {text}"), BAD_INPUT),
            Self::DoesNotHold(text) => (format!("error: {text}"), DOES_NOT_HOLD),
            Self::Unfinished(text) => (format!("error: {text}"), UNFINISHED),
            Self::ReaderGone => return ExitCode::SUCCESS,
        };
        // Nobody is left to tell if standard error is gone too.
        let _ = writeln!(stderr, "{}", text.trim_end());
        ExitCode::from(code)
    }

    /// A file that could not be written.
    pub fn writing(path: &std::path::Path, error: impl std::fmt::Display) -> Self {
        Self::Unfinished(format!("cannot write {}: {error}", path.display()))
    }
}

impl From<Report> for Failure {
    fn from(report: Report) -> Self {
        Self::Mistakes(Box::new(report))
    }
}

/// Prints to standard output.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut stdout = std::io::stdout().lock();
    let written = stdout.write_all(text.as_bytes()).and_then(|()| {
        if text.ends_with('\n') {
            Ok(())
        } else {
            stdout.write_all(b"\n")
        }
    });
    match written.and_then(|()| stdout.flush()) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Err(Failure::ReaderGone),
        Err(error) => Err(Failure::Unfinished(format!(
            "cannot write to standard output: {error}"
        ))),
    }
}
