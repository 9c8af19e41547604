//! Faults of the program itself: told as an error, never as a trace.

use std::panic;
use std::panic::AssertUnwindSafe;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;

use super::Ending;
use super::say;

/// Does a command; a fault within it is told in one sentence.
///
/// A fault that the command itself catches, as of a library that reads a damaged workbook, is not told here: whoever caught it says what
/// it means.
pub(super) fn kept_in(command: impl FnOnce() -> Ending) -> Ending {
    let last = Arc::new(Mutex::new(String::new()));
    let heard = Arc::clone(&last);
    panic::set_hook(Box::new(move |fault| {
        let text = fault.to_string().lines().collect::<Vec<_>>().join(" ");
        *heard.lock().unwrap_or_else(PoisonError::into_inner) = text;
    }));
    panic::catch_unwind(AssertUnwindSafe(command)).unwrap_or_else(|_| {
        let text = last.lock().unwrap_or_else(PoisonError::into_inner).clone();
        say::error(
            format!("facelay itself is at fault: {text}"),
            "report this with the job folder",
        );
        Ending::Refused
    })
}
