//! A running program: asked line by line, waited for no longer than allowed, and always ended.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStderr, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender, TryRecvError, sync_channel};
use std::thread;
use std::time::Duration;

use super::message::shown;
use super::{NO_ANSWER, Program};

/// Longest line that is read or said, bytes. A pipe takes as much at once on every system, so saying never waits.
const LONGEST_LINE: usize = 16_000;
/// Lines that wait to be read; a program that prints more waits itself.
const WAITING_LINES: usize = 4;
/// How long a program may take to end by itself once its input is closed, and between two looks.
const LOOKS: u32 = 100;
const BETWEEN_LOOKS: Duration = Duration::from_millis(5);
/// How much of what it says on standard error is kept, bytes.
const KEPT_ERRORS: usize = 4_000;

/// What a program printed.
enum Printed {
    Line(String),
    TooLong,
    NotText,
}

pub(super) struct RunningProgram {
    process: Child,
    input: Option<ChildStdin>,
    lines: Receiver<Printed>,
    errors: Receiver<String>,
    answer_within: Duration,
}

impl RunningProgram {
    pub(super) fn start(program: &Program, answer_within: Duration) -> Result<Self, String> {
        let (name, arguments) = program.command.split_first().ok_or("the command is empty")?;
        let mut command = Command::new(executable(name, &program.folder));
        command
            .args(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        if !program.folder.as_os_str().is_empty() {
            command.current_dir(&program.folder);
        }
        let mut process = command
            .spawn()
            .map_err(|error| format!("`{name}` cannot be started: {error}"))?;
        let (say_line, lines) = sync_channel(WAITING_LINES);
        let (say_errors, errors) = sync_channel(1);
        let input = process.stdin.take();
        if let (Some(output), Some(complaints)) = (process.stdout.take(), process.stderr.take()) {
            listen(move || read_lines(output, &say_line));
            listen(move || read_errors(complaints, &say_errors));
        }
        Ok(Self {
            process,
            input,
            lines,
            errors,
            answer_within,
        })
    }

    /// Says one line and waits for one.
    pub(super) fn ask(&mut self, line: &str) -> Result<String, String> {
        match self.lines.try_recv() {
            Ok(Printed::Line(line)) => {
                return Err(format!(
                    "it printed a line that nobody asked for: {}",
                    shown(&line)
                ));
            }
            Ok(odd) => return Err(odd.wrong()),
            Err(TryRecvError::Disconnected) => return Err(self.gone()),
            Err(TryRecvError::Empty) => {}
        }
        self.greet(line)
    }

    /// Says the first line and waits for one, which may be there already: whoever introduces itself unasked is understood.
    pub(super) fn greet(&mut self, line: &str) -> Result<String, String> {
        if line.len() > LONGEST_LINE {
            return Err(format!(
                "a line of {} bytes would have to be said to it; at most {LONGEST_LINE} are",
                line.len()
            ));
        }
        let said = self.input.as_mut().map(|input| {
            input.write_all(line.as_bytes())?;
            input.write_all(b"\n")?;
            input.flush()
        });
        if !matches!(said, Some(Ok(()))) {
            return Err(self.gone());
        }
        match self.lines.recv_timeout(self.answer_within) {
            Ok(Printed::Line(line)) => Ok(line),
            Ok(odd) => Err(odd.wrong()),
            Err(RecvTimeoutError::Timeout) => Err(format!(
                "{NO_ANSWER} within {:?}; does it flush what it prints? If it needs longer, raise `answer_within` in its strategy file",
                self.answer_within
            )),
            Err(RecvTimeoutError::Disconnected) => Err(self.gone()),
        }
    }

    /// Why it talks no more.
    fn gone(&mut self) -> String {
        let Some(status) = ended(&mut self.process) else {
            return "it closed its output and goes on running".to_owned();
        };
        let complaint = self
            .errors
            .recv_timeout(BETWEEN_LOOKS * LOOKS)
            .unwrap_or_default();
        match complaint.lines().rev().find(|line| !line.trim().is_empty()) {
            Some(last) => format!("it ended ({status}); its last words: `{}`", plain(last.trim())),
            None => format!("it ended ({status})"),
        }
    }
}

/// What a program said, to be read by people: no control characters, and no more than fits a few lines.
fn plain(said: &str) -> String {
    const SHOWN: usize = 300;
    let printable = said.chars().map(|c| if c.is_control() { ' ' } else { c });
    let shown: String = printable.take(SHOWN).collect();
    if said.chars().nth(SHOWN).is_some() {
        return format!("{shown}…");
    }
    shown
}

/// However the run ends, the program ends too and is waited for.
impl Drop for RunningProgram {
    fn drop(&mut self) {
        self.input = None;
        if ended(&mut self.process).is_none() {
            // It may have ended between the look and this.
            let _ = self.process.kill();
            let _ = self.process.wait();
        }
    }
}

impl Printed {
    fn wrong(&self) -> String {
        match self {
            Self::Line(line) => shown(line),
            Self::TooLong => format!("it printed a line of more than {LONGEST_LINE} bytes"),
            Self::NotText => "it printed something that is no text (UTF-8)".to_owned(),
        }
    }
}

/// A name with a folder in it is meant from the folder of the strategy file; a bare one is looked up by the system.
fn executable(name: &str, folder: &Path) -> PathBuf {
    let path = Path::new(name);
    if path.components().count() < 2 || path.is_absolute() {
        return path.to_owned();
    }
    let joined = folder.join(path);
    std::path::absolute(&joined).unwrap_or(joined)
}

/// Looks a few times whether it has ended.
fn ended(process: &mut Child) -> Option<std::process::ExitStatus> {
    for look in 0..LOOKS {
        match process.try_wait() {
            Ok(Some(status)) => return Some(status),
            // The first looks come quickly: most programs end at once.
            Ok(None) if look < 10 => thread::sleep(BETWEEN_LOOKS / 10),
            Ok(None) => thread::sleep(BETWEEN_LOOKS),
            Err(_) => return None,
        }
    }
    None
}

#[expect(
    clippy::disallowed_methods,
    reason = "a pipe can only be waited for with a time-out from another thread; it carries lines and computes nothing"
)]
fn listen(work: impl FnOnce() + Send + 'static) {
    thread::spawn(work);
}

/// Hands on line by line until the program ends, prints nonsense, or nobody listens.
fn read_lines(output: ChildStdout, say: &SyncSender<Printed>) {
    let mut reader = BufReader::new(output);
    loop {
        let mut bytes = Vec::new();
        let read = reader
            .by_ref()
            .take(LONGEST_LINE as u64 + 1)
            .read_until(b'\n', &mut bytes);
        if !matches!(read, Ok(1..)) {
            return;
        }
        let printed = if bytes.len() > LONGEST_LINE {
            Printed::TooLong
        } else {
            String::from_utf8(bytes)
                .map_or(Printed::NotText, |line| Printed::Line(line.trim_end().to_owned()))
        };
        let odd = !matches!(printed, Printed::Line(_));
        if say.send(printed).is_err() || odd {
            return;
        }
    }
}

/// Keeps the end of what it says on standard error, and hands it on when it is done.
fn read_errors(mut complaints: ChildStderr, say: &SyncSender<String>) {
    let mut kept = Vec::new();
    let mut piece = [0; 1024];
    while let Ok(length @ 1..) = complaints.read(&mut piece) {
        kept.extend_from_slice(&piece[..length]);
        let too_many = kept.len().saturating_sub(KEPT_ERRORS);
        kept.drain(..too_many);
    }
    // Nobody may be there any more to hear it.
    let _ = say.send(String::from_utf8_lossy(&kept).into_owned());
}
