//! Faults of the program itself: told as an error, never as a trace.

use std::panic;
use std::panic::AssertUnwindSafe;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;

use super::Ending;
use super::say;

/// Does a piece of work; a fault within it gives its words, so that what runs beside it goes on.
pub(super) fn caught<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    panic::catch_unwind(AssertUnwindSafe(work)).map_err(|fault| {
        let text = fault.downcast_ref::<&str>().map(|text| (*text).to_owned());
        text.or_else(|| fault.downcast_ref::<String>().cloned())
            .unwrap_or_else(|| "no words were given".to_owned())
    })
}

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
