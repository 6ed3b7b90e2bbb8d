//! Progress on a terminal, nothing in a pipe.

use std::io::Write;
use std::sync::atomic::{AtomicBool, Ordering};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};
use tepid::compare::Progress;

/// A bar on standard error, if that is a terminal.
pub struct Bar {
    bar: ProgressBar,
    tells_failures: AtomicBool,
}

impl Bar {
    /// A bar that shows nothing yet.
    pub fn new() -> Self {
        // indicatif hides the bar by itself where standard error is no terminal.
        let bar = ProgressBar::with_draw_target(Some(0), ProgressDrawTarget::stderr());
        if let Ok(style) =
            ProgressStyle::with_template("{bar:30} {pos} of {len} runs, {rate} a second, {eta} left")
        {
            let rate = |state: &ProgressState, text: &mut dyn std::fmt::Write| {
                // Writing to a string cannot fail.
                let _ = write!(text, "{:.0}", state.per_sec());
            };
            bar.set_style(style.with_key("rate", rate).progress_chars("##-"));
        }
        Self {
            bar,
            tells_failures: AtomicBool::new(false),
        }
    }

    /// Whether failures are told as they come, also in a pipe.
    pub fn tells_failures(&self, tells: bool) {
        self.tells_failures.store(tells, Ordering::Relaxed);
    }

    /// Takes the bar away.
    pub fn finish(&self) {
        self.bar.finish_and_clear();
    }
}

impl Progress for Bar {
    fn expect(&self, pieces: u64) {
        self.bar.inc_length(pieces);
    }

    fn done(&self) {
        self.bar.inc(1);
    }

    fn failed(&self, piece: &str, reason: &str) {
        if self.tells_failures.load(Ordering::Relaxed) {
            // Nobody is left to tell if standard error is gone.
            self.bar.suspend(|| {
                let _ = writeln!(std::io::stderr(), "failed: {piece}: {reason}");
            });
        }
    }
}
