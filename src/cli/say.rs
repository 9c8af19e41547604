//! Problems as text: level, sentence, place with the line and a caret where there is one, remedy.

use std::io::Write;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering;

use annotate_snippets::AnnotationKind;
use annotate_snippets::Level as Heading;
use annotate_snippets::Renderer;
use annotate_snippets::Snippet;
use anstream::eprintln;

use crate::diag::Level;
use crate::diag::Place;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::diag::count;
use crate::files::FileTrouble;

use super::Ending;

/// A line of a file is shown as far as this, around what is wrong with it.
const WIDTH: usize = 80;

/// Whether only problems are said, since the person asked for quiet.
static QUIET: AtomicBool = AtomicBool::new(false);

/// Says nothing but problems from here on.
pub(super) fn hush() {
    QUIET.store(true, Ordering::Relaxed);
}

/// Says whether only problems are said.
pub(super) fn is_quiet() -> bool {
    QUIET.load(Ordering::Relaxed)
}

/// Tells on standard output what was done; nothing where quiet was asked for.
pub(super) fn tell(text: &str) -> Ending {
    if is_quiet() {
        return Ending::Done;
    }
    print(text.as_bytes())
}

/// Prints every problem to standard error, sorted by place, then how many there are.
pub(super) fn problems(problems: &Problems) {
    for problem in problems {
        eprintln!("{}\n", rendered(problem));
    }
    if !problems.is_empty() {
        eprintln!("{}", tally(problems));
    }
}

/// Prints to standard output. A reader that has seen enough closes the pipe; that is no trouble of ours.
pub(super) fn print(bytes: &[u8]) -> Ending {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Ok(()) => Ending::Done,
        Err(trouble) if trouble.kind() == std::io::ErrorKind::BrokenPipe => Ending::Done,
        Err(trouble) => {
            error(
                format!("standard output cannot be written: {trouble}"),
                "make room, or write elsewhere",
            );
            Ending::Refused
        }
    }
}

/// Prints trouble with a file or folder.
pub(super) fn trouble(trouble: &FileTrouble) {
    error(trouble.to_string(), &trouble.help);
}

/// Prints an error that stands in no file.
pub(super) fn error(text: impl Into<String>, help: &str) {
    let help = if help.is_empty() {
        Vec::new()
    } else {
        vec![help.to_owned()]
    };
    eprintln!(
        "{}",
        rendered(&Problem {
            level: Level::Error,
            place: None,
            text: text.into(),
            help
        })
    );
}

/// Counts problems by level: `2 errors, 1 warning and 1 note`.
fn tally(problems: &Problems) -> String {
    let levels = [Level::Error, Level::Warning, Level::Note];
    let counted = levels.iter().filter_map(|level| {
        let number = problems
            .iter()
            .filter(|problem| problem.level == *level)
            .count();
        (number > 0).then(|| count(number, level.name()))
    });
    let counted: Vec<String> = counted.collect();
    match counted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => counted.concat(),
    }
}

fn rendered(problem: &Problem) -> String {
    let heading = match problem.level {
        Level::Error => Heading::ERROR,
        Level::Warning => Heading::WARNING,
        Level::Note => Heading::NOTE,
    };
    let title = heading.primary_title(&problem.text);
    let helps = || {
        problem
            .help
            .iter()
            .map(|help| Heading::HELP.message(help.as_str()))
    };
    let renderer = Renderer::styled().term_width(WIDTH);
    match &problem.place {
        Some(Place::Toml {
            file,
            line,
            column,
            width,
            excerpt,
        }) => {
            let start = byte_of(excerpt, column.saturating_sub(1));
            let end = byte_of(excerpt, column.saturating_sub(1) + width).max(start);
            let snippet = Snippet::source(excerpt.as_str())
                .line_start(*line)
                .path(file.as_str())
                .annotation(AnnotationKind::Primary.span(start..end));
            renderer.render(&[title.element(snippet).elements(helps())])
        }
        Some(place @ (Place::File { .. } | Place::Cell { .. })) => {
            let shown = place.to_string();
            let origin = annotate_snippets::Origin::path(shown.as_str());
            renderer.render(&[title.element(origin).elements(helps())])
        }
        // The library would draw an empty margin for lines that do not exist.
        None => {
            let heading = renderer.render(&[annotate_snippets::Group::with_title(title)]);
            problem
                .help
                .iter()
                .fold(heading, |text, help| format!("{text}\n  = help: {help}"))
        }
    }
}

/// The byte at which a character of a line begins; the line's end for those beyond it.
fn byte_of(line: &str, character: usize) -> usize {
    line.char_indices()
        .nth(character)
        .map_or(line.len(), |(byte, _)| byte)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(problem: &Problem) -> String {
        anstream::adapter::strip_str(&rendered(problem)).to_string()
    }

    #[test]
    fn a_problem_without_a_place_has_no_margin() {
        let problem = Problem {
            level: Level::Warning,
            place: None,
            text: "the room is dry".into(),
            help: vec!["measure it".into()],
        };
        assert_eq!(
            plain(&problem),
            "warning: the room is dry\n  = help: measure it"
        );
    }

    #[test]
    fn levels_are_counted_in_words() {
        let mut problems = Problems::new();
        problems.warning(None, "a", "");
        assert_eq!(tally(&problems), "1 warning");
        problems.error(None, "b", "");
        problems.error(None, "c", "");
        assert_eq!(tally(&problems), "2 errors and 1 warning");
        problems.note(None, "d", "");
        assert_eq!(tally(&problems), "2 errors, 1 warning and 1 note");
    }
}
