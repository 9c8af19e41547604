//! Work that falls into parts which know nothing of each other, on all cores.

use std::num::NonZero;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering;

/// Does every task, several at a time; the answers stand in the order of the tasks, however many cores there are.
///
/// # Examples
///
/// ```
/// assert_eq!(facelay::solver::on_all_cores(&[3, 1, 2], |n| n * 10), [30, 10, 20]);
/// ```
pub fn on_all_cores<Task: Sync, Answer: Send>(
    tasks: &[Task],
    work: impl Fn(&Task) -> Answer + Sync,
) -> Vec<Answer> {
    let cores = std::thread::available_parallelism().map_or(1, NonZero::get);
    let hands = cores.min(tasks.len());
    if hands < 2 {
        return tasks.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let some = || {
        let mut done = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            match tasks.get(at) {
                Some(task) => done.push((at, work(task))),
                None => return done,
            }
        }
    };
    let mut done: Vec<(usize, Answer)> = std::thread::scope(|scope| {
        let hands: Vec<_> = (0..hands).map(|_| scope.spawn(some)).collect();
        let done = hands.into_iter().map(|hand| match hand.join() {
            Ok(done) => done,
            Err(fault) => std::panic::resume_unwind(fault),
        });
        done.flatten().collect()
    });
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, answer)| answer).collect()
}
