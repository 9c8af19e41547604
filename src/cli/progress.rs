//! A line that says what is being done and how much of it, on a terminal and only once it takes longer than a second.

use std::time::Duration;
use std::time::Instant;

use indicatif::ProgressBar;
use indicatif::ProgressDrawTarget;
use indicatif::ProgressStyle;

use crate::plan::Waiting;

use super::say;

/// What is being done, shown on standard error while it lasts; nothing is shown where standard error is no terminal.
pub(super) struct Progress {
    bar: ProgressBar,
}

/// Quicker than this needs no line.
const PATIENCE: Duration = Duration::from_secs(1);

/// How often the line moves.
const TICK: Duration = Duration::from_millis(200);

impl Progress {
    /// Starts to watch.
    pub(super) fn start() -> Self {
        let bar = ProgressBar::hidden();
        style(&bar, "{spinner} {msg} {elapsed}");
        if !say::is_quiet() {
            let shown = bar.clone();
            std::thread::spawn(move || {
                std::thread::sleep(PATIENCE);
                if !shown.is_finished() {
                    shown.set_draw_target(ProgressDrawTarget::stderr());
                    shown.enable_steady_tick(TICK);
                }
            });
        }
        Self { bar }
    }

    /// Says what is done next.
    pub(super) fn say(&self, what: &'static str) {
        self.bar.unset_length();
        style(&self.bar, "{spinner} {msg} {elapsed}");
        self.bar.set_message(what);
    }

    /// Listens to a plan being made.
    pub(super) fn listen(&self) -> Listener<'_> {
        self.until(None)
    }

    /// Listens to a plan being made, and ends its search after so many seconds, if any.
    pub(super) fn until(&self, seconds: Option<f64>) -> Listener<'_> {
        Listener {
            progress: self,
            search: seconds.map(Duration::from_secs_f64),
            since: Instant::now(),
        }
    }

    /// Says how much of it is done: so many of all, and of what.
    fn share(&self, done: u64, all: u64, of: &'static str) {
        if self.bar.length() != Some(all) {
            self.bar.set_length(all);
            self.bar.set_prefix(of);
            style(
                &self.bar,
                "{spinner} {msg} [{bar:24}] {pos} of {len} {prefix} {elapsed}",
            );
        }
        self.bar.set_position(done);
    }
}

/// Shows what a plan is busy with; its clock begins anew with each stage.
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

    fn share(&mut self, done: u64, all: u64, of: &'static str) {
        self.progress.share(done, all, of);
    }

    fn is_over(&mut self) -> Option<bool> {
        self.search.map(|search| self.since.elapsed() >= search)
    }
}

/// A bar of plain signs, without colour.
fn style(bar: &ProgressBar, template: &str) {
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style.progress_chars("=> "));
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
