//! A line that says what is being done, on a terminal and only once it takes longer than a second.

use std::time::Duration;
use std::time::Instant;

use indicatif::ProgressBar;
use indicatif::ProgressStyle;

/// What is being done, shown on standard error while it lasts; nothing is shown where standard error is no terminal.
pub(super) struct Progress {
    bar: ProgressBar,
    since: Instant,
}

/// Quicker than this needs no line.
const PATIENCE: Duration = Duration::from_secs(1);

impl Progress {
    /// Starts to watch.
    pub(super) fn start() -> Self {
        let bar = ProgressBar::hidden();
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} {elapsed}") {
            bar.set_style(style);
        }
        Self {
            bar,
            since: Instant::now(),
        }
    }

    /// Says what is done next.
    pub(super) fn say(&self, what: &'static str) {
        if self.since.elapsed() > PATIENCE && self.bar.is_hidden() {
            self.bar
                .set_draw_target(indicatif::ProgressDrawTarget::stderr());
            self.bar.enable_steady_tick(Duration::from_millis(200));
        }
        self.bar.set_message(what);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
