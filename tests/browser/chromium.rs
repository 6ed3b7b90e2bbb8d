//! A Chromium of its own for each test, driven over two pipes: no port, no second program, no crate beyond JSON.
//!
//! The browser reads commands from its file descriptor 3 and answers on 4, each message ended by a NUL byte (the DevTools protocol over
//! `--remote-debugging-pipe`). It ends when the pipe to it does.

use std::collections::VecDeque;
use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tempfile::TempDir;

/// Names under which distributions install it.
const NAMES: [&str; 2] = ["chromium", "chromium-browser"];

/// Nothing that a test does here takes as long, also on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// The browser's program: the one that `TEPID_BROWSER` names, else one on the path.
pub fn program() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os("TEPID_BROWSER") {
        return Some(PathBuf::from(named));
    }
    let folders: Vec<PathBuf> = std::env::split_paths(&std::env::var_os("PATH")?).collect();
    NAMES
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)))
        .find(|path| path.is_file())
}

/// A running browser.
pub struct Chromium {
    child: Child,
    commands: ChildStdin,
    messages: Receiver<Value>,
    /// Events that came while somebody waited for something else, oldest first.
    events: VecDeque<Value>,
    last_id: u64,
    _profile: TempDir,
}

impl Chromium {
    /// Starts one with a fresh profile.
    pub fn start() -> Self {
        let program = program().expect("no browser on the path");
        let profile = TempDir::new().expect("a folder for the profile");
        // The shell moves its standard pipes to where the browser looks for them.
        let mut child = Command::new("sh")
            .args(["-c", "exec \"$0\" \"$@\" 3<&0 4>&1 </dev/null >/dev/null 2>&1"])
            .arg(program)
            .args([
                "--headless",
                "--remote-debugging-pipe",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-quic",
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-sync",
                "--disable-dev-shm-usage",
                "--hide-scrollbars",
            ])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .arg("about:blank")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("the browser starts");
        let commands = child.stdin.take().expect("a pipe to the browser");
        let answers = child.stdout.take().expect("a pipe from the browser");
        let (told, messages) = channel();
        std::thread::spawn(move || {
            let mut answers = BufReader::new(answers);
            let mut message = Vec::new();
            while answers.read_until(0, &mut message).is_ok_and(|read| read > 0) {
                message.pop();
                let value = serde_json::from_slice(&message).expect("the browser speaks JSON");
                if told.send(value).is_err() {
                    break;
                }
                message.clear();
            }
        });
        Self {
            child,
            commands,
            messages,
            events: VecDeque::new(),
            last_id: 0,
            _profile: profile,
        }
    }

    /// Sends a command and waits for its result; `session` is the page it is for.
    pub fn ask(&mut self, session: Option<&str>, method: &str, parameters: Value) -> Value {
        self.last_id += 1;
        let id = self.last_id;
        let mut command = json!({"id": id, "method": method, "params": parameters});
        if let Some(session) = session {
            command["sessionId"] = json!(session);
        }
        let mut bytes = command.to_string().into_bytes();
        bytes.push(0);
        self.commands.write_all(&bytes).expect("the browser listens");
        let until = Instant::now() + PATIENCE;
        loop {
            let message = self.next_message(until, method);
            if message["id"] != id {
                self.events.push_back(message);
                continue;
            }
            assert!(message["error"].is_null(), "{method}: {}", message["error"]);
            return message["result"].clone();
        }
    }

    /// Waits for an event of a page and takes it.
    pub fn wait_for(&mut self, session: &str, method: &str) -> Value {
        let until = Instant::now() + PATIENCE;
        let is_it = |event: &Value| event["sessionId"] == session && event["method"] == method;
        loop {
            if let Some(at) = self.events.iter().position(is_it) {
                return self.events.remove(at).expect("it was found");
            }
            let message = self.next_message(until, method);
            self.events.push_back(message);
        }
    }

    /// Everything of some kinds that a page told so far, oldest first.
    pub fn told(&mut self, session: &str, methods: &[&str]) -> Vec<Value> {
        self.events.extend(self.messages.try_iter());
        self.events
            .iter()
            .filter(|event| {
                event["sessionId"] == session && methods.iter().any(|method| event["method"] == *method)
            })
            .cloned()
            .collect()
    }

    fn next_message(&self, until: Instant, waiting_for: &str) -> Value {
        self.messages
            .recv_timeout(until.saturating_duration_since(Instant::now()))
            .unwrap_or_else(|_| panic!("the browser said nothing to {waiting_for}"))
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        // Its profile is removed after it: it must not write there any more.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
