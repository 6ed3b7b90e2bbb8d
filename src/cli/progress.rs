//! Progress on a terminal, nothing in a pipe.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use tepid::compare::Progress;

/// A bar on standard error, if that is a terminal.
pub struct Bar(ProgressBar);

impl Bar {
    /// A bar that shows nothing yet.
    pub fn new() -> Self {
        // indicatif hides the bar by itself where standard error is no terminal.
        let bar = ProgressBar::with_draw_target(Some(0), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{bar:30} {pos} of {len} runs, {eta} left") {
            bar.set_style(style.progress_chars("##-"));
        }
        Self(bar)
    }

    /// Takes the bar away.
    pub fn finish(&self) {
        self.0.finish_and_clear();
    }
}

impl Progress for Bar {
    fn expect(&self, pieces: u64) {
        self.0.inc_length(pieces);
    }

    fn done(&self) {
        self.0.inc(1);
    }
}
