//! The pages: the report with the form above it, the files to download, and short notices.

use maud::DOCTYPE;
use maud::Markup;
use maud::PreEscaped;
use maud::html;

use crate::diag::Level;
use crate::diag::Place;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::diag::count;
use crate::format;
use crate::job::CHOICES_FILE;

use super::form;
use super::session::ALL_FILES;
use super::session::Finished;
use super::session::Message;
use super::session::Session;
use super::summary::Line;

/// How the form and what belongs to it look; the rest is the report's own.
const STYLE: &str = include_str!("view.css");

/// The address of a download, relative to the page: only letters, digits, hyphens, dots and slashes are in the names that plans have.
const FILE: &str = "file/";

/// The report with the form above it.
pub fn main_page(session: &Session) -> String {
    let waiting = session.planned < session.revision;
    let (title, style, report) = match &session.now {
        Some((_, made)) => (
            made.page.title.as_str(),
            format::page_style(&made.page),
            format::page_body(&made.page),
        ),
        None => (
            session.base.as_ref().map_or("job", |job| &job.title),
            format::plain_style(),
            html! {
                main { h1 { "No plan yet" } p { "The report stands here as soon as the job can be planned." } }
            },
        ),
    };
    let own = html! {
        a.skip href="#answer" { "Skip to the answer" }
        section.view aria-labelledby="view" {
            h2 id="view" { "Choices" }
            @if let Some(message) = &session.message { (said(message)) }
            @if waiting {
                p.said role="status" {
                    "Still planning; choose again when it is done. Below stands the plan before the last change. This page looks again by itself, or "
                    a href="." { "look now" } "."
                }
            }
            (state(session))
            (changes(session))
            @if !waiting { (problems(&session.problems)) }
            @if !waiting {
                @match form::form(session) {
                    Some(form) => (form),
                    None => p.said.refused { "The files of the job have errors. Mend them, then read the folder again." },
                }
                (others(session))
            }
        }
    };
    document(title, &style, waiting, &html! { (own) (report) })
}

/// The list of files to download; none yet where they are still being made.
pub fn files_page(session: &Session, finished: Option<&Finished>) -> String {
    let none = session.planned >= session.revision && session.plan().is_none();
    let body = html! {
        main.view {
            h1 { "Files of this plan" }
            p { a href="." { "Back to the plan" } }
            @match finished {
                Some(finished) => {
                    @if !session.is_as_saved() {
                        p.hint { "With the choices on the page, which are not saved in the job folder." }
                    }
                    (file_list(finished))
                }
                None if none => p.said.refused { "The job cannot be planned like this, so there are no files. The plan’s page says why." },
                None => {
                    p.said role="status" {
                        "Cases, odds and files are being made. This page looks again by itself, or "
                        a href="files" { "look now" } "."
                    }
                }
            }
        }
    };
    document(
        "Files of this plan",
        &format::plain_style(),
        finished.is_none() && !none,
        &body,
    )
}

/// A short page that says something, as an answer to what cannot be done.
pub fn notice(heading: &str, text: &str, back: bool) -> String {
    let body = html! {
        main.view {
            h1 { (heading) }
            p { (text) }
            @if back { p { a href="." { "Back to the plan" } } }
        }
    };
    document(heading, &format::plain_style(), false, &body)
}

/// A whole page. One that is still being worked on looks again after two seconds.
fn document(title: &str, style: &str, again: bool, body: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                @if again { meta http-equiv="refresh" content="2"; }
                link rel="icon" href="data:,";
                title { (title) }
                style { (PreEscaped(style)) (PreEscaped(STYLE)) }
            }
            body { (body) }
        }
    }
    .into_string()
}

/// What was last done, or why it was not.
fn said(message: &Message) -> Markup {
    html! {
        div.said.refused[message.refused] role=(if message.refused { "alert" } else { "status" }) tabindex="-1" autofocus {
            p { @if message.refused { b { "Not done: " } } (message.text) "." }
            @if !message.help.is_empty() { p { "What to do: " (message.help) "." } }
            (list(&message.problems))
            @if message.reload {
                form method="post" action="reload" { button type="submit" { "Read the folder again" } }
            }
        }
    }
}

/// Whether the page and the folder agree.
fn state(session: &Session) -> Markup {
    let saved = session.is_as_saved();
    html! {
        p.state {
            @if saved && session.picks.is_empty() {
                "This is the job as its folder has it."
            } @else if saved {
                "This is the job as its folder has it, with the choices saved there in " code { (CHOICES_FILE) } "."
            } @else {
                b { "Not saved: " }
                "what is chosen here is on this page only. The job folder is as it was."
            }
            @if let Some(upload) = &session.upload {
                " The panels are those of the uploaded file " q dir="auto" { (upload.label) } "."
            }
        }
    }
}

/// What differs between now, the plan before the last change, and the folder; what is new stands where a narrow window shows it.
fn changes(session: &Session) -> Markup {
    let Some((_, now)) = &session.now else {
        return html! {};
    };
    let locale = &now.page.locale;
    let now = &now.summary.lines;
    let mut others: Vec<(&str, &Vec<Line>)> = [
        ("Before the last change", &session.before),
        ("In the folder", &session.in_folder),
    ]
    .into_iter()
    .filter_map(|(name, summary)| Some((name, &summary.as_ref()?.lines)))
    .filter(|(_, lines)| *lines != now)
    .collect();
    // After the first change both are the same plan, which is told once.
    if matches!(others.as_slice(), [(_, before), (_, folder)] if before == folder) {
        others.remove(0);
    }
    if others.is_empty() {
        return html! {};
    }
    // Who pressed a button goes on here, unless something was said above.
    let goes_on = session.message.is_none();
    html! {
        div.box tabindex="0" role="region" aria-labelledby="changed" autofocus[goes_on] {
            table {
                caption id="changed" { "What changed" }
                thead {
                    tr {
                        th scope="col" { "Figure" }
                        th scope="col" { "Now" }
                        @for (name, _) in &others { th scope="col" { (name) } }
                    }
                }
                tbody {
                    @for (at, line) in now.iter().enumerate() {
                        @let differs = others.iter().any(|(_, lines)| lines.get(at) != Some(line));
                        tr.same[!differs] {
                            th scope="row" { (line.label) }
                            td {
                                @if differs { b { (locale.words(&line.text)) } (locale.words(&difference(line, others.first().and_then(|(_, lines)| lines.get(at))))) }
                                @else { (locale.words(&line.text)) }
                            }
                            @for (_, lines) in &others { td { @if let Some(other) = lines.get(at) { (locale.words(&other.text)) } } }
                        }
                    }
                }
            }
        }
    }
}

/// How much an amount rose or fell, in brackets.
fn difference(now: &Line, before: Option<&Line>) -> String {
    let Some((now, before)) = now.amount.zip(before.and_then(|line| line.amount)) else {
        return String::new();
    };
    let change = now - before;
    let sign = if change.amount().is_sign_negative() {
        ""
    } else {
        "+"
    };
    format!(" ({sign}{})", change.cents())
}

/// What is wrong with the newest change.
fn problems(problems: &Problems) -> Markup {
    let level = |level| {
        problems
            .iter()
            .filter(|problem| problem.level == level)
            .count()
    };
    let errors = level(Level::Error);
    let rest = problems
        .iter()
        .filter(|problem| !is_own_note(problem))
        .count()
        - errors;
    html! {
        @if errors > 0 {
            div.said.refused role="alert" {
                p { b { "No plan: " } (count(errors, "error")) ". Below stands the plan before the last change." }
                (list(problems))
            }
        } @else if rest > 0 {
            details.fold {
                summary { "Worth a look: " (count(rest, "warning or note")) }
                div { (list(problems)) }
            }
        }
    }
}

/// The note that choices are in force says nothing new beside the form.
fn is_own_note(problem: &Problem) -> bool {
    problem.level == Level::Note
        && matches!(&problem.place, Some(Place::File { file }) if file == CHOICES_FILE)
}

/// Problems one by one: how bad, where, what, and what to write instead.
fn list(problems: &Problems) -> Markup {
    let mut shown: Vec<&Problem> = problems
        .iter()
        .filter(|problem| !is_own_note(problem))
        .collect();
    shown.sort_by_key(|problem| problem.level);
    html! {
        @if !shown.is_empty() {
            ul.problems {
                @for problem in &shown {
                    li {
                        b { (problem.level.name()) } ": "
                        @if let Some(place) = &problem.place { span.place { (place_of(place)) } ": " }
                        (problem.text)
                        @for help in &problem.help { br; span.help { "What to do: " (help) } }
                    }
                }
            }
        }
    }
}

/// The place of a problem; the choices stand in the form above, not in a file that the person wrote.
fn place_of(place: &Place) -> String {
    if place.file() == CHOICES_FILE {
        "the choices on this page".to_owned()
    } else {
        place.to_string()
    }
}

/// What else can be done: files, panels, going back.
fn others(session: &Session) -> Markup {
    html! {
        div.others {
            div {
                h3 { "Files" }
                p { a href="files" { "Workbooks, cut sheets and all other files of this plan" } }
                p.hint { "With cases and odds, which the report then shows too. They take a moment." }
            }
            div {
                h3 { "Panels" }
                form method="post" action="panels" enctype="multipart/form-data" {
                    p {
                        label for="pick-panels" { "Try another table of panels (.xlsx, .ods, .csv)" }
                        input id="pick-panels" name="panels" type="file" accept=".xlsx,.ods,.csv";
                    }
                    p { button type="submit" { "Plan with this file" } }
                }
                @if session.upload.is_some() {
                    form method="post" action="own-panels" { p { button type="submit" { "Back to the panels in the folder" } } }
                }
            }
            div {
                h3 { "Start over" }
                form method="post" action="clear" {
                    p { button type="submit" { "Drop all choices" } }
                    p.hint { "Back to job.toml and the tables. What is saved stays until you save again." }
                }
                form method="post" action="reload" {
                    p { button type="submit" { "Read the folder again" } }
                    p.hint { "After a change in a spreadsheet or editor. Choices that are not saved are dropped." }
                }
            }
        }
    }
}

/// The files: what people open first, then drawings and tables, folded.
fn file_list(finished: &Finished) -> Markup {
    let is = |name: &str, endings: &[&str]| endings.iter().any(|ending| name.ends_with(ending));
    let opened = |name: &str| !name.contains('/') && is(name, &[".xlsx", ".pdf", ".html", ".ics"]);
    let all = &finished.outputs;
    let part = |take: &dyn Fn(&str) -> bool| -> Vec<(&str, usize)> {
        let files = all.iter().filter(|(name, _)| take(name));
        files
            .map(|(name, bytes)| (name.as_str(), bytes.len()))
            .collect()
    };
    let drawings = part(&|name| name.contains('/'));
    let tables = part(&|name| !name.contains('/') && !opened(name) && name != ALL_FILES);
    html! {
        p { "All of them in one archive:" }
        (links(&part(&|name| name == ALL_FILES)))
        h2 { "To open, send and print" }
        (links(&part(&opened)))
        h2 { "For other programs" }
        (links(&tables))
        @if !drawings.is_empty() {
            h2 { "Drawings" }
            details.fold { summary { (count(drawings.len(), "page")) } div { (links(&drawings)) } }
        }
    }
}

fn links(files: &[(&str, usize)]) -> Markup {
    html! {
        ul.files {
            @for (name, size) in files { li { a href={ (FILE) (name) } { (name) } " (" (kilobytes(*size)) ")" } }
        }
    }
}

fn kilobytes(bytes: usize) -> String {
    format!("{} kB", bytes.div_ceil(1000))
}
