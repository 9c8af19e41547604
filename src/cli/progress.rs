//! A line that says what is being done, on a terminal and only once it takes longer than a second.

use std::time::Duration;
use std::time::Instant;

use indicatif::ProgressBar;
use indicatif::ProgressStyle;

use crate::plan::Waiting;

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

impl Progress {
    /// Listens to a plan being made, and ends its search after so many seconds, if any.
    pub(super) fn until(&self, seconds: Option<f64>) -> Listener<'_> {
        Listener {
            progress: self,
            search: seconds.map(Duration::from_secs_f64),
            since: Instant::now(),
        }
    }
}

/// Shows what is done next; its clock begins anew with each stage.
pub(super) struct Listener<'a> {
    progress: &'a Progress,
    search: Option<Duration>,
    since: Instant,
}

impl Waiting for Listener<'_> {
    fn next(&mut self, stage: &'static str) {
        self.progress.say(stage);
        self.since = Instant::now();
    }

    fn is_over(&mut self) -> Option<bool> {
        self.search.map(|search| self.since.elapsed() >= search)
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
