//! Which file or sheet holds which table: `panels.csv`, `panels.xlsx`, `panels.ods`, or a sheet of a workbook.

use std::collections::BTreeMap;

use crate::diag::Place;
use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Section;
use crate::input::Table;
use crate::input::tables;
use crate::units::NumberStyle;

use super::job_file;

/// The tables that a job may have.
const NAMES: [&str; 7] = [
    "panels", "openings", "outlines", "stock", "orders", "lines", "progress",
];

/// The sheets of our own templates that explain or list, and hold no data.
const IGNORED: [&str; 3] = ["about", "measures", "lists"];

/// The tables found, by name.
pub(super) struct Tables(BTreeMap<&'static str, Table>);

impl Tables {
    /// Finds every table; two of one name are a problem, and so are no panels.
    pub(super) fn find(
        root: &Section<'_>,
        files: &BTreeMap<String, Vec<u8>>,
        style: NumberStyle,
        problems: &mut Problems,
    ) -> Self {
        let mut found: BTreeMap<&'static str, Vec<Table>> = BTreeMap::new();
        let sources = sources(root, files, problems);
        // Where panels are named, or a workbook cannot be read, that is the problem told.
        let mut told = root
            .field("tables")
            .section(&mut Problems::new())
            .is_some_and(|named| named.has("panels"));
        for (file, own) in sources {
            let Some(bytes) = files.get(&file) else {
                continue;
            };
            let sheets = tables(&file, bytes, style, problems);
            told |= own == Some("panels") || sheets.is_empty();
            if !sheets.is_empty() {
                sort_sheets(&file, own, sheets, &mut found, problems);
            }
        }
        let chosen: BTreeMap<_, _> = found
            .into_iter()
            .filter_map(|(name, tables)| Some((name, choose(name, tables, problems)?)))
            .collect();
        if !chosen.contains_key("panels") && !told {
            no_panels(files, problems);
        }
        Self(chosen)
    }

    /// The table of a name, if the job has it.
    pub(super) fn get(&self, name: &str) -> Option<&Table> {
        self.0.get(name)
    }
}

/// The files that may hold tables, each with the table it is named for.
fn sources(
    root: &Section<'_>,
    files: &BTreeMap<String, Vec<u8>>,
    problems: &mut Problems,
) -> BTreeMap<String, Option<&'static str>> {
    let mut sources = BTreeMap::new();
    let named = root.field("tables").section(problems);
    if let Some(named) = &named {
        named.known(&NAMES, problems);
    }
    for name in NAMES {
        let field = named
            .map(|named| named.field(name))
            .filter(|field| !field.is_blank());
        if let Some(file) = field.and_then(|field| field.text(problems)) {
            if files.contains_key(&file) {
                sources.insert(file, Some(name));
            } else if let Some(field) = field {
                let text = format!("there is no file `{}` in the job folder", field.shown());
                field.problem(text, near_file(&file, files), problems);
            }
            continue;
        }
        for ending in ["csv", "xlsx", "ods"] {
            let file = format!("{name}.{ending}");
            if files.contains_key(&file) {
                sources.insert(file, Some(name));
            }
        }
    }
    for file in ["job.xlsx", "job.ods"] {
        if files.contains_key(file) {
            sources.insert(file.to_owned(), None);
        }
    }
    sources
}

/// Puts a file's tables under their names.
fn sort_sheets(
    file: &str,
    own: Option<&'static str>,
    sheets: Vec<Table>,
    found: &mut BTreeMap<&'static str, Vec<Table>>,
    problems: &mut Problems,
) {
    let name_of = |table: &Table| match table.sheet() {
        None => own,
        Some(_) => NAMES.into_iter().find(|name| table.is_named(name)),
    };
    let counts = |table: &Table| !IGNORED.iter().any(|name| table.is_named(name));
    let (named, others): (Vec<Table>, Vec<Table>) = sheets
        .into_iter()
        .filter(counts)
        .partition(|table| name_of(table).is_some());
    let has_own = named.iter().any(|table| name_of(table) == own);
    for table in named {
        if let Some(name) = name_of(&table) {
            found.entry(name).or_default().push(table);
        }
    }
    let filled: Vec<Table> = others
        .into_iter()
        .filter(|table| !table.is_empty())
        .collect();
    match (own, filled.as_slice()) {
        // The only sheet of `panels.xlsx`, whatever it is called.
        (Some(own), [table]) if !has_own => found.entry(own).or_default().push(table.clone()),
        _ => filled.iter().for_each(|table| warn_unread(table, problems)),
    }
    if let Some(own) = own.filter(|_| !has_own && filled.len() != 1) {
        let place = Place::File {
            file: file.to_owned(),
        };
        let text = format!("the workbook has no sheet `{own}`");
        problems.error(
            Some(place),
            text,
            format!("name the sheet that holds the table `{own}`"),
        );
    }
}

fn warn_unread(table: &Table, problems: &mut Problems) {
    let sheet = table.sheet().unwrap_or("");
    let help = match nearest(sheet, NAMES) {
        Some(near) => format!("rename it to `{near}` if that is meant"),
        None => format!("rename it if it is one of {}", list(&NAMES, "or")),
    };
    let text = format!(
        "the sheet `{sheet}` is not read: it has none of the names that a job's tables have"
    );
    problems.warning(Some(table.place()), text, help);
}

/// Takes the one table that has rows; headings alone give way, two with rows are a problem.
fn choose(name: &str, mut tables: Vec<Table>, problems: &mut Problems) -> Option<Table> {
    if tables.len() > 1 && tables.iter().any(|table| !table.is_empty()) {
        tables.retain(|table| !table.is_empty());
    }
    let mut tables = tables.into_iter();
    let first = tables.next()?;
    for other in tables {
        let text = format!("the table `{name}` is here and in {} too", told(&first));
        problems.error(Some(other.place()), text, "keep one of the two");
    }
    Some(first)
}

fn told(table: &Table) -> String {
    match table.sheet() {
        Some(sheet) => format!("`{}`, sheet `{sheet}`,", table.file()),
        None => format!("`{}`", table.file()),
    }
}

fn no_panels(files: &BTreeMap<String, Vec<u8>>, problems: &mut Problems) {
    let help = near_file("panels.csv", files);
    let text = "there is no table of panels: neither `panels.csv`, `panels.xlsx` nor `panels.ods`, nor a sheet `panels` in `job.xlsx`";
    problems.error(Some(job_file()), text, help);
}

fn near_file(wanted: &str, files: &BTreeMap<String, Vec<u8>>) -> String {
    let is_table = |name: &&str| {
        let lower = name.to_lowercase();
        !name.contains('/')
            && [".csv", ".xlsx", ".ods"]
                .iter()
                .any(|ending| lower.ends_with(ending))
    };
    let names: Vec<&str> = files.keys().map(String::as_str).filter(is_table).collect();
    match (nearest(wanted, names.iter().copied()), names.as_slice()) {
        (Some(near), _) => format!("rename `{near}` to `{wanted}` if it is the one"),
        (None, []) => format!("put a file `{wanted}` into the job folder"),
        (None, names) => format!(
            "name the table's file in job.toml below `[tables]`; the folder has {}",
            list(names, "and")
        ),
    }
}
