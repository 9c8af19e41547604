//! Problems as text: level, sentence, place with the line and a caret where there is one, remedy.

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

/// Prints every problem to standard error, sorted by place, then how many there are.
pub(super) fn problems(problems: &Problems) {
    for problem in problems {
        eprintln!("{}\n", rendered(problem));
    }
    if !problems.is_empty() {
        eprintln!("{}", tally(problems));
    }
}

/// Prints trouble with a file or folder.
pub(super) fn trouble(trouble: &FileTrouble) {
    let problem = Problem { level: Level::Error, place: None, text: trouble.to_string(), help: vec![trouble.help.clone()] };
    eprintln!("{}", rendered(&problem));
}

/// Counts problems by level: `2 errors and 1 warning`.
pub(super) fn tally(problems: &Problems) -> String {
    let levels = [Level::Error, Level::Warning, Level::Note];
    let counted = levels.iter().filter_map(|level| {
        let number = problems.iter().filter(|problem| problem.level == *level).count();
        (number > 0).then(|| count(number, level.name()))
    });
    counted.collect::<Vec<_>>().join(", ")
}

fn rendered(problem: &Problem) -> String {
    let heading = match problem.level {
        Level::Error => Heading::ERROR,
        Level::Warning => Heading::WARNING,
        Level::Note => Heading::NOTE,
    };
    let title = heading.primary_title(&problem.text);
    let helps = || problem.help.iter().map(|help| Heading::HELP.message(help.as_str()));
    let renderer = Renderer::styled();
    match &problem.place {
        Some(Place::Toml { file, line, column, width, excerpt }) => {
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
        None => renderer.render(&[title.elements(helps())]),
    }
}

/// The byte at which a character of a line begins; the line's end for those beyond it.
fn byte_of(line: &str, character: usize) -> usize {
    line.char_indices().nth(character).map_or(line.len(), |(byte, _)| byte)
}
