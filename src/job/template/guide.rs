//! The page on everything that a job may say: each column of the tables, each key of job.toml.

use super::TemplateKind;
use super::columns::Column;
use super::columns::LENGTH;
use super::columns::SHEETS;
use super::columns::Sheet;
use super::keys::GROUPS;
use super::keys::Group;
use super::keys_of_kits::KITS;
use super::keys_of_money::MONEY;
use super::own::CATALOGUE;
use super::own::RECIPE;

/// What stands above the tables.
const BEGINNING: &str = "# Everything a job may say

Each column of the tables and each key of `job.toml`: what it means, what may stand there, an example. The two tables to begin with are
`panels` and, in job.toml, the keys at the top. (This page is what `facelay manual inputs` prints; a test keeps it so.)

- [How things are written](#how-things-are-written)
- [The tables](#the-tables)
- [The keys of job.toml](#the-keys-of-jobtoml)
- [The keys of a recipe](#the-keys-of-a-recipe)
- [The tables of a catalogue](#the-tables-of-a-catalogue)

## How things are written

- A table is a CSV, XLSX or ODS file of that name in the job folder, or a sheet of that name in `job.xlsx`, `job.ods` or `panels.xlsx`.
- Columns may stand in any order, and capital letters and spaces in headings do not matter. A column that is not known is an error, so
  that a slip in a heading is not passed over.
- A blank cell means what the column says of blank ones.
- In job.toml, texts stand between straight double quotation marks; numbers, days and `true` do not. A text that itself has a double
  quotation mark goes between single ones: `'10 ft 6\"'`.
- Where a text may be a length, an area or the like, write the unit: `3.2 m`, `2100 g/m2`, `66 °F`. What could be read two ways is an error
  that says both.
- Names may be written in any script. Workbooks and `report.html` show them all; the cut sheets have letters of Latin, Greek, Cyrillic, Armenian,
  Georgian, Hebrew and Arabic script, and print a box in place of any other letter and of most emoji.
- A list of keys under `[name]` belongs to that table; `[[name]]` begins one of several.
";

const RECIPES: &str = "
## The keys of a recipe

A file of the job folder's `recipes/`, one a treatment. The built-in ones are the best examples: `catalogs/recipes/` of this project.
";

const CATALOGUES: &str = "
## The tables of a catalogue

Files of the job folder's `catalogs/`; their rows are put over the built-in ones, which stand in `catalogs/` of this project. `drum.toml` and
`crate.toml` take the keys of `[drum]` and `[crate]` above, `odds.toml` those of `[[odds.spread]]` under `[[spread]]`.
";

/// Returns the page as Markdown.
pub fn guide() -> String {
    let mut parts = vec![BEGINNING.to_owned(), "\n## The tables\n".to_owned()];
    parts.extend(SHEETS.iter().map(columns));
    parts.push(format!("\nA *length* above is {LENGTH}.\n"));
    parts.push("\n## The keys of job.toml\n".to_owned());
    let groups = GROUPS.iter().chain(MONEY).chain(KITS);
    parts.extend(groups.map(|group| keys(group, "")));
    parts.push(RECIPES.to_owned());
    parts.extend(RECIPE.iter().map(|group| keys(group, " of a recipe")));
    parts.push(CATALOGUES.to_owned());
    parts.extend(CATALOGUE.iter().map(|group| keys(group, "")));
    parts.concat()
}

/// The columns of a table.
fn columns(sheet: &Sheet) -> String {
    let mut text = format!("\n### {}\n\n{}\n\n", sheet.name, sheet.about);
    text +=
        "| column | what it means | what may stand there | example |\n| --- | --- | --- | --- |\n";
    text.extend(sheet.columns.iter().map(column));
    text
}

/// The keys of a table; where it belongs stands behind its heading, since a recipe too has a top.
fn keys(group: &Group, of: &str) -> String {
    let heading = if group.table.is_empty() {
        format!("At the top{of}")
    } else {
        format!("`{}`", group.table)
    };
    let mut text = format!("\n### {heading}\n\n{}\n\n", group.about);
    text += "| key | what it means | how it is written |\n| --- | --- | --- |\n";
    let rows = group
        .keys
        .iter()
        .map(|(key, meaning, written)| row(&[&format!("`{key}`"), meaning, written]));
    text.extend(rows);
    text
}

fn column(column: &Column) -> String {
    let example = column
        .cells(TemplateKind::Metric)
        .iter()
        .find(|cell| !cell.is_empty())
        .map_or_else(String::new, |cell| format!("`{cell}`"));
    let allowed = match column.list {
        Some(list) => list
            .words()
            .iter()
            .map(|word| format!("`{word}`"))
            .collect::<Vec<_>>()
            .join(", "),
        None if column.allowed == LENGTH => "a *length*".to_owned(),
        None => column.allowed.to_owned(),
    };
    row(&[
        &format!("`{}`", column.heading),
        column.meaning,
        &allowed,
        &example,
    ])
}

/// A row of a Markdown table; a bar within a cell would begin another.
fn row(cells: &[&str]) -> String {
    let cells = cells.iter().map(|cell| cell.replace('|', "\\|"));
    let cells: Vec<String> = cells.collect();
    format!("| {} |\n", cells.join(" | "))
}
