//! A job folder's files to a checked job, or every problem in them at once.
//!
//! In: file names and bytes. Out: a [`Job`] or none, and the problems. A reader goes on after each problem; what it cannot
//! read it leaves out, and the checks between files look at names only, so that one slip is told once.

mod bounds;
mod buying;
mod calendar;
mod cases;
mod checks;
mod choices;
mod joining;
mod lines;
mod odds;
mod openings;
mod ordered;
mod outlines;
mod panels;
mod people;
mod place;
mod planning;
mod saved;
mod settings;
mod stock;
mod tables;
mod terms;
mod unlikely;

use std::collections::BTreeMap;

use crate::diag::Place;
use crate::diag::Problems;
use crate::diag::nearest;
use crate::input::Document;
use crate::input::sha256;
use crate::units::LengthUnit;
use crate::units::Locale;
use crate::units::NumberStyle;

use super::Choices;
use super::Job;
use super::PanelRow;
use checks::DaysAt;
use choices::Chosen;
pub(crate) use joining::built_in_recipes;
use saved::Saved;
use settings::Settings;
use settings::Writing;
use tables::Tables;

/// The file that every job has.
const JOB_FILE: &str = "job.toml";

/// Reads a job folder; file names are relative to it, with `/` between folders.
///
/// The job is none if and only if a problem is an error.
pub fn read(files: &BTreeMap<String, Vec<u8>>) -> (Option<Job>, Problems) {
    read_with(files, &[])
}

/// As [`read`], with files given beside the job folder, by name and bytes: facelay's own workbooks as somebody filled them in, or
/// tables of progress, orders or stock.
pub fn read_with(
    files: &BTreeMap<String, Vec<u8>>,
    given: &[(String, Vec<u8>)],
) -> (Option<Job>, Problems) {
    let mut problems = Problems::new();
    let job = read_into(files, given, &mut problems).filter(|_| !problems.has_errors());
    if job.is_none() && !problems.has_errors() {
        // A reader that gives nothing has to say why; this line is here so that no job vanishes in silence.
        problems.error(
            Some(job_file()),
            "the job could not be read, and no reason was found",
            "report this with the job folder",
        );
    }
    (job, problems.sorted())
}

fn read_into(
    files: &BTreeMap<String, Vec<u8>>,
    given: &[(String, Vec<u8>)],
    problems: &mut Problems,
) -> Option<Job> {
    let Some(bytes) = files.get(JOB_FILE) else {
        missing_job_file(files, problems);
        return None;
    };
    let bare = NumberStyle {
        unit: LengthUnit::Mm,
        decimal_comma: false,
    };
    let mut document = Document::read(JOB_FILE, bytes, bare, problems)?;
    let writing = settings::writing(&document, problems);
    document.set_style(writing.style);
    Some(joined(&document, &writing, files, given, problems))
}

/// The job that the folder's files make together, each part read after those that it needs.
fn joined(
    document: &Document,
    writing: &Writing,
    files: &BTreeMap<String, Vec<u8>>,
    given: &[(String, Vec<u8>)],
    problems: &mut Problems,
) -> Job {
    let root = document.root();
    settings::check_keys(&root, problems);
    let settings = settings::read(&root, writing.locale, problems);
    let places = place::read(&root, problems);
    let people = people::read(&root, &settings.currency, problems);
    let equipment = people::equipment(&root, &settings.currency, problems);
    let mut terms = terms::read(&root, &settings.currency, problems);
    let odds = odds::read(&root, files, &settings.currency, problems);
    let mut catalog = joining::catalog(&root, files, problems);
    let buying = buying::read(&root, &settings.currency, problems);
    buying::convert(&mut catalog, &settings.currency, &buying, problems);
    let book = joining::recipes(files, &catalog, writing.style, problems);

    let tables = Tables::find(&root, files, writing.style, problems);
    let saved = Saved::find(files, given, writing.style, problems);
    let mut panels = panels::read(
        &tables,
        writing.order,
        settings.default_recipe.as_deref(),
        problems,
    );
    openings::read(&tables, &mut panels, problems);
    let (mut stock, offcuts) = stock::read(&tables, &saved, &catalog, problems);
    let orders = ordered::read(&tables, &saved, &catalog, &mut stock, problems);
    let lines = lines::read(&tables, &settings.currency, problems);
    terms.own_lines.extend(lines);
    let mut recipes =
        checks::recipes_in_use(&panels, &book, &root.field("default_recipe"), problems);
    let recipe_at = panels.iter().map(panels::Panel::named_recipe).collect();
    unlikely::returns(&panels, &settings, problems);
    let panels: Vec<PanelRow> = panels.into_iter().map(|panel| panel.row).collect();
    let known = cases::Known {
        panels: &panels,
        people: &people,
        book: &book,
        currency: &settings.currency,
    };
    let cases = cases::read(&root, known, &mut recipes, problems);
    let found = (&tables, &saved);
    let mut planning = planning::read(&root, found, panels.iter(), &equipment, problems);
    planning.recipes = book.all();
    cases::days(&root, &settings, &cases, problems);
    unlikely::days(&root, &settings, problems);
    unlikely::pay(&root, &people, problems);
    let page = choices::document(files, writing.style, problems);
    let page = page.as_ref().map(Document::root);
    let chosen = page.as_ref().map(|page| {
        let (cases, places) = (cases.as_slice(), places.as_slice());
        choices::read(page, known, (cases, places), &mut recipes, problems)
    });
    let job = Job {
        title: settings.title.clone(),
        currency: settings.currency.clone(),
        unit: writing.style.unit,
        paper: writing.paper,
        locale: writing.locale.unwrap_or(Locale::PLAIN),
        // Without a first day there is no job, but the rest of it is checked all the same.
        first_day: settings.first_day.unwrap_or_default(),
        hand_over: settings.hand_over,
        order_day: settings.first_order().unwrap_or_default(),
        places,
        people,
        equipment,
        terms,
        cases,
        choices: Choices::default(),
        odds,
        panels,
        planning,
        stock: stock.all,
        shelf: stock.shelf,
        ordered: orders.coming,
        received: orders.received,
        buying,
        offcuts,
        useful_offcut: settings.useful_offcut,
        recipes,
        catalog,
        inputs: digests(files, given),
    };
    let at = DaysAt { root, page };
    checked(job, &settings, at, (chosen, recipe_at), problems)
}

/// Every file read, with its digest.
fn digests(
    files: &BTreeMap<String, Vec<u8>>,
    given: &[(String, Vec<u8>)],
) -> BTreeMap<String, String> {
    let given = given.iter().map(|(name, bytes)| (name, bytes));
    let all = files.iter().chain(given);
    all.map(|(name, bytes)| (name.clone(), sha256(bytes)))
        .collect()
}

/// The job with its choices in force, after the checks of what has to agree in it.
fn checked(
    job: Job,
    settings: &Settings,
    at: DaysAt<'_>,
    (chosen, mut recipe_at): (Option<Chosen>, BTreeMap<String, Place>),
    problems: &mut Problems,
) -> Job {
    let chosen = chosen.unwrap_or_default();
    recipe_at.extend(chosen.recipe_at);
    let as_written = job.order_day;
    let mut job = job.with_choices(chosen.choices);
    if settings.order_day.is_none() && job.order_day == as_written {
        job.order_day = job.first_day;
    }
    checks::rolled_in_spite(&job, &recipe_at, problems);
    checks::days(&job, settings, at, problems);
    checks::crew(&job, &at.root, problems);
    job
}

fn job_file() -> Place {
    Place::File {
        file: JOB_FILE.to_owned(),
    }
}

fn missing_job_file(files: &BTreeMap<String, Vec<u8>>, problems: &mut Problems) {
    let near = nearest(
        JOB_FILE,
        files
            .keys()
            .map(String::as_str)
            .filter(|name| !name.contains('/')),
    );
    let help = match near {
        Some(near) => format!("rename `{near}` to `{JOB_FILE}`"),
        None => "start a folder with filled-in templates with `facelay new FOLDER`".to_owned(),
    };
    problems.error(
        Some(job_file()),
        format!("there is no `{JOB_FILE}` in the job folder"),
        help,
    );
}
