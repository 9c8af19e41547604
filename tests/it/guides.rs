//! The pages that are made from the code: what a job may say, and how each figure is worked out. `FACELAY_BLESS=1` writes them.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

use facelay::job;

use super::folders::files_ending;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Compares a page with what the code says; writes it where that is asked for.
fn compare(page: &str, made: &str) {
    let path = root().join("examples").join(page);
    if std::env::var_os("FACELAY_BLESS").is_some() {
        fs::write(&path, made).unwrap();
    }
    let stands = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        stands == made,
        "examples/{page} is not what the code says; FACELAY_BLESS=1 writes it, then read it"
    );
}

#[test]
fn the_page_of_inputs_is_what_the_code_says() {
    compare("inputs.md", &job::guide());
}

/// The keys or columns that the page has under each heading.
fn explained() -> BTreeMap<String, BTreeSet<String>> {
    let mut found: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut heading = String::new();
    for line in job::guide().lines() {
        if let Some(title) = line.strip_prefix("### ") {
            title.trim_matches('`').clone_into(&mut heading);
        } else if let Some(rest) = line.strip_prefix("| `") {
            let key = rest.split('`').next().unwrap().to_owned();
            assert!(
                found.entry(heading.clone()).or_default().insert(key),
                "twice: {line}"
            );
        }
    }
    found
}

/// No column or key has this name, nor one near it.
const STRAY: &str = "qqqqqqqq";

/// The names that a problem about the stray one offers: `use one of a, b or c, or delete …`.
fn offered(help: &str) -> Option<BTreeSet<String>> {
    let rest = help.strip_prefix("use one of ")?;
    let names = rest.split(", or delete the ").next().unwrap();
    let names = names.split(", ").flat_map(|part| part.split(" or "));
    Some(
        names
            .map(|name| name.trim_matches('`').to_owned())
            .collect(),
    )
}

/// What the reader knows in each place of a job where the stray name was put, by line of job.toml or by file.
fn known(files: &[(&str, String)]) -> BTreeMap<(String, usize), BTreeSet<String>> {
    let files: BTreeMap<String, Vec<u8>> = files
        .iter()
        .map(|(name, text)| ((*name).to_owned(), text.clone().into_bytes()))
        .collect();
    let (_, problems) = job::read(&files);
    let mut found = BTreeMap::new();
    for problem in &problems {
        let place = match &problem.place {
            Some(facelay::diag::Place::Toml { file, line, .. }) => (file.clone(), *line),
            Some(facelay::diag::Place::Cell { file, .. }) => (file.clone(), 0),
            _ => continue,
        };
        let names = problem.help.iter().find_map(|help| offered(help));
        if let Some(names) = names.filter(|_| problem.text.contains(STRAY)) {
            found.insert(place, names);
        }
    }
    found
}

fn example(file: &str) -> String {
    fs::read_to_string(root().join("examples/three-panels").join(file)).unwrap()
}

/// The reader is asked itself: a stray key in every table makes it name those that it knows.
#[test]
fn every_key_that_the_reader_knows_is_explained_and_no_other() {
    let mut job = example("job.toml");
    let explained = explained();
    let tables: Vec<&String> = explained
        .keys()
        .filter(|table| table.starts_with('[') && !OF_A_RECIPE.contains(&table.as_str()))
        .collect();
    for table in &tables {
        let line = format!("\n{table}\n");
        let stray = format!("{line}{STRAY} = 1\n");
        if job.contains(&line) {
            job = job.replacen(&line, &stray, 1);
        } else {
            job += &stray;
        }
    }
    for kind in ["door", "corner", "lift", "vehicle"] {
        job += &format!("\n[[place.way_out]]\nname = \"{kind}\"\nkind = \"{kind}\"\n{STRAY} = 1\n");
    }
    job = format!("{STRAY} = 1\n{job}");
    let known = known(&[
        ("job.toml", job.clone()),
        ("panels.csv", example("panels.csv")),
    ]);
    let by_table = by_table(&job, "At the top", known);
    for (table, names) in &by_table {
        assert_eq!(Some(names), explained.get(table), "{table}");
    }
    for table in tables {
        assert!(by_table.contains_key(table), "{table} is not read");
    }
    assert!(by_table.len() > 15 && by_table.contains_key("At the top"));
}

/// The tables of a recipe file.
const OF_A_RECIPE: &[&str] = &["[[solution]]", "[[step]]"];

/// What is known in each table of a TOML file, by its heading.
fn by_table(
    text: &str,
    top: &str,
    known: BTreeMap<(String, usize), BTreeSet<String>>,
) -> BTreeMap<String, BTreeSet<String>> {
    let lines: Vec<&str> = text.lines().collect();
    let mut found: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for ((_, line), names) in known {
        let above = lines[..line - 1].iter().rev();
        let table = above.copied().find(|line| line.starts_with('['));
        found
            .entry(table.unwrap_or(top).to_owned())
            .or_default()
            .extend(names);
    }
    found
}

#[test]
fn every_key_of_a_recipe_is_explained_and_no_other() {
    let recipe = format!(
        "{STRAY} = 1\nid = \"own\"\n[[solution]]\nid = \"s\"\n{STRAY} = 1\n[[step]]\nid = \"t\"\n{STRAY} = 1\n"
    );
    let known = known(&[
        ("job.toml", example("job.toml")),
        (
            "panels.csv",
            "panel,width,height,recipe\nR1,3',4',own\n".to_owned(),
        ),
        ("recipes/own.toml", recipe.clone()),
    ]);
    let by_table = by_table(&recipe, "At the top of a recipe", known);
    let explained = explained();
    assert_eq!(by_table.len(), 3, "{by_table:?}");
    for (table, names) in &by_table {
        assert_eq!(Some(names), explained.get(table), "{table}");
    }
}

#[test]
fn every_column_of_a_catalogue_is_explained_and_no_other() {
    let explained = explained();
    let tables = explained
        .iter()
        .filter(|(table, _)| table.strip_suffix(".csv").is_some());
    let mut count = 0;
    for (table, columns) in tables {
        let name = format!("catalogs/{table}");
        let headings: Vec<&str> = columns.iter().map(String::as_str).chain([STRAY]).collect();
        let known = known(&[
            ("job.toml", example("job.toml")),
            ("panels.csv", example("panels.csv")),
            (&name, format!("{}\n", headings.join(","))),
        ]);
        assert_eq!(known.get(&(name.clone(), 0)), Some(columns), "{table}");
        count += 1;
    }
    let files = fs::read_dir(root().join("catalogs")).unwrap();
    let tables = files.filter(|entry| {
        let path = entry.as_ref().unwrap().path();
        path.extension().is_some_and(|ending| ending == "csv")
    });
    assert_eq!(
        count,
        tables.count(),
        "a table of catalogs/ is not explained"
    );
}

#[test]
fn every_column_that_the_reader_knows_is_explained_and_no_other() {
    let explained = explained();
    let tables = &explained["[tables]"];
    for table in tables {
        let columns = &explained[table];
        let headings: Vec<&str> = columns
            .iter()
            .map(String::as_str)
            // Sizes stand either in one column or in two.
            .filter(|column| *column != "size" || table != "panels")
            .chain([STRAY])
            .collect();
        let mut files = vec![
            ("job.toml", example("job.toml")),
            ("panels.csv", example("panels.csv")),
        ];
        let name = format!("{table}.csv");
        let text = format!(
            "{}\n{}\n",
            headings.join(","),
            "x,".repeat(headings.len() - 1)
        );
        files.retain(|(file, _)| *file != name);
        files.push((&name, text));
        let known = known(&files);
        assert_eq!(
            known.get(&(name.clone(), 0)),
            Some(columns),
            "{table}: {known:?}"
        );
    }
}

/// What each module's figures are about, in the order of the work; a module that is not here works out no figure for a reader.
const STAGES: &[(&str, &str)] = &[
    ("geometry", "Shapes"),
    ("survey", "Panels"),
    ("takeoff", "Sheets, cut plans, solutions, consumables"),
    ("rolling", "Drums"),
    ("crating", "Crates and ways out"),
    ("exposure", "Air and drying"),
    ("schedule", "Days"),
    ("purchase", "Orders"),
    ("bid", "Price and odds"),
    ("solver", "Searches, and what they prove"),
];

/// A documentation comment with a formula or a source.
struct Doc {
    file: String,
    lines: Vec<String>,
}

/// The documentation comments of a file that give a formula or a source.
fn docs(path: &Path) -> Vec<Doc> {
    let file = path.strip_prefix(root()).unwrap().display().to_string();
    let text = fs::read_to_string(path).unwrap();
    let mut found = Vec::new();
    let mut lines: Vec<String> = Vec::new();
    for line in text.lines().chain([""]) {
        let line = line.trim_start();
        let words = line
            .strip_prefix("//!")
            .or_else(|| line.strip_prefix("///"));
        if let Some(words) = words {
            lines.push(words.strip_prefix(' ').unwrap_or(words).to_owned());
            continue;
        }
        let lines = std::mem::take(&mut lines);
        if lines
            .iter()
            .any(|line| line == "# Formula" || line == "# Sources")
        {
            let file = file.clone();
            found.push(Doc { file, lines });
        }
    }
    found
}

/// The paragraphs below a heading of a comment; those above the first one for none.
fn section(doc: &Doc, heading: Option<&str>) -> String {
    let mut within = heading.is_none();
    let mut text = String::new();
    for line in &doc.lines {
        if let Some(title) = line.strip_prefix("# ") {
            within = Some(title) == heading;
        } else if within {
            text += line;
            text.push('\n');
        }
    }
    // A link within the code's documentation is a mere name here.
    text.trim().replace("[`", "`").replace("`]", "`")
}

/// One figure: what it is, its formula, limits and sources, and where it is worked out.
fn entry(doc: &Doc) -> String {
    let about = section(doc, None);
    let (title, rest) = match about.split_once("\n\n") {
        Some((title, rest)) => (title.replace('\n', " "), rest.to_owned()),
        None => (about.replace('\n', " "), String::new()),
    };
    let mut letters = title.trim_start_matches("Returns ").chars();
    let first = letters.next().unwrap().to_uppercase().to_string();
    let mut text = format!("\n**{first}{}**\n", letters.as_str());
    if !rest.is_empty() {
        text += &format!("\n{rest}\n");
    }
    for heading in ["Formula", "Limits", "Sources"] {
        let words = section(doc, Some(heading));
        if !words.is_empty() {
            let gap = if words.starts_with("- ") { "\n\n" } else { " " };
            text += &format!("\n*{heading}.*{gap}{words}\n");
        }
    }
    text + &format!("\n(`{}`)\n", doc.file)
}

const FIGURES: &str = "# How each figure is worked out

Every figure of a plan can be asked where it came from, with its own numbers: `facelay why JOB WHAT`. This page has the rules behind them, with
their sources. It is made from the comments that stand above each rule in the program's own text, and a test keeps it so.

*From memory* means what it says: nobody has opened the source for this project. *Common practice* is what people of the trade do without a
published rule. `trade.md` with a section or an ID (F-7, S-10) is the project's own collection of published figures, in which each is marked as
found, computed or from memory. Figures of vapour, fire, load, lifting and strain are estimates to plan by: measurement, local rules and
competent people decide.
";

#[test]
fn the_page_of_figures_is_what_the_code_says() {
    let mut text = FIGURES.to_owned();
    let links = STAGES.iter().map(|(_, title)| {
        let anchor = title.to_lowercase().replace(' ', "-").replace(',', "");
        format!("- [{title}](#{anchor})\n")
    });
    text += &format!("\n{}", links.collect::<String>());
    for (module, title) in STAGES {
        text += &format!("\n## {title}\n");
        let docs = files_ending(&root().join("src").join(module), "rs")
            .iter()
            .flat_map(|path| docs(path))
            .collect::<Vec<_>>();
        assert!(!docs.is_empty(), "{module}");
        text.extend(docs.iter().map(entry));
    }
    compare("figures.md", &text);
}

/// A formula without a source is somebody's word; the solvers' small steps are derived where they stand.
#[test]
fn every_formula_names_its_source() {
    for (module, _) in STAGES.iter().filter(|(module, _)| *module != "solver") {
        for doc in files_ending(&root().join("src").join(module), "rs")
            .iter()
            .flat_map(|path| docs(path))
        {
            assert!(
                !section(&doc, Some("Sources")).is_empty(),
                "{}: {}",
                doc.file,
                doc.lines[0]
            );
        }
    }
}
