//! The sheets that open and close every workbook: what it is, what went in, cautions, problems, how figures came about.

use crate::diag::Derivation;
use crate::plan::Plan;

use super::Block;
use super::Column;
use super::Sheet;
use super::Table;
use super::Value;

/// The first sheet: what this file is, from which input, and how to read it.
pub(super) fn sheet(plan: &Plan, what: &str, how: &[&str]) -> Sheet {
    let job = &plan.job;
    let mut sheet = Sheet::new("about", job.title.clone()).note(what);
    for line in how {
        sheet = sheet.note(*line);
    }
    sheet.table(facts(plan))
}

/// What the job is and from which files it was made.
pub(super) fn facts(plan: &Plan) -> Table {
    let job = &plan.job;
    let facts = [
        ("Job", job.title.clone()),
        ("Currency", job.currency.clone()),
        ("Orders are first sent on", job.order_day.to_string()),
        ("First working day", job.first_day.to_string()),
        (
            "The wall must be clear by the end of",
            job.hand_over
                .map_or_else(|| "(no date given)".into(), |day| day.to_string()),
        ),
        (
            "The rest is planned from",
            job.planning
                .rest_from(job.first_day)
                .map_or_else(|| "(nothing is done yet)".into(), |today| today.to_string()),
        ),
        (
            "Made with",
            concat!("facelay ", env!("CARGO_PKG_VERSION")).to_owned(),
        ),
    ];
    let facts = facts
        .into_iter()
        .map(|(name, value)| vec![Value::text(name), Value::Text(value)]);
    let inputs = job.inputs.iter().map(|(file, digest)| {
        vec![
            Value::text(format!("Input file {file}, SHA-256 begins")),
            Value::text(digest.chars().take(16).collect::<String>()),
        ]
    });
    Table::new("About", vec![Column::text("what"), Column::text("value")])
        .rows(facts)
        .rows(inputs)
}

/// Lists on the first sheet what the others hold; the sheets of single days are one line.
pub(super) fn list_sheets(sheets: &mut [Sheet]) {
    let Some((first, others)) = sheets.split_first_mut() else {
        return;
    };
    let is_day = |sheet: &&Sheet| {
        let mut blocks = sheet.blocks.iter();
        blocks.any(|block| matches!(block, Block::DaySheet(_)))
    };
    let days: Vec<&Sheet> = others.iter().filter(is_day).collect();
    let row = |name: String, what: &str| vec![Value::Text(name), Value::text(what)];
    let day_row = days.first().zip(days.last()).map(|(one, last)| {
        let name = format!("{} to {}", one.name, last.name);
        row(name, "A sheet a day, to print and hang up")
    });
    let listed = others.iter().filter(|sheet| !is_day(sheet));
    let rows = listed.map(|sheet| row(sheet.name.clone(), &sheet.title));
    let rows: Vec<_> = day_row.into_iter().chain(rows).collect();
    let columns = vec![Column::text("sheet"), Column::text("what is on it")];
    first
        .blocks
        .push(Block::Table(Table::new("Sheets", columns).rows(rows)));
}

/// Cautions, then everything that the planner was not happy with.
pub(super) fn cautions(plan: &Plan) -> Sheet {
    let cautions = plan.cautions.iter().map(|caution| {
        vec![
            Value::text(&caution.about),
            Value::text(&caution.text),
            Value::text(&caution.why),
        ]
    });
    let problems = plan.problems.iter().map(|problem| {
        vec![
            Value::text(problem.level.name()),
            problem
                .place
                .as_ref()
                .map_or(Value::Empty, |place| Value::Text(place.to_string())),
            Value::text(&problem.text),
            Value::Text(problem.help.join("; ")),
        ]
    });
    Sheet::new("cautions", "Cautions, and what to look at")
        .across()
        .heading("Cautions: every figure of vapour, load and strain is an estimate; local rules and competent people decide")
        .table(Table::new("Cautions", vec![Column::text("about"), Column::text("caution"), Column::text("why")]).rows(cautions))
        .heading("What to look at")
        .table(
            Table::new("Problems", vec![Column::text("level"), Column::text("where"), Column::text("what"), Column::text("what to do")])
                .rows(problems),
        )
}

/// How the figures of the workbook came about: the derivations whose id begins with one of the given words.
pub(super) fn derivations(plan: &Plan, beginnings: &[&str]) -> Sheet {
    let chosen = plan.ledger.iter().filter(|derivation| {
        beginnings
            .iter()
            .any(|start| derivation.id.starts_with(start))
    });
    let rows = chosen.take(MOST_DERIVATIONS).flat_map(rows_of);
    let columns = [
        "figure",
        "what it is",
        "result",
        "formula",
        "inputs",
        "rounding",
        "source",
    ]
    .map(Column::text);
    Sheet::new("how it came about", "How each figure came about")
        .across()
        .note("Ask for any of these on the command line with: facelay why JOB FIGURE")
        .table(Table::new("Derivations", columns.to_vec()).rows(rows))
}

/// A derivation as a row; inputs that would make it higher than a row can be go on in rows below it.
fn rows_of(derivation: &Derivation) -> Vec<Vec<Value>> {
    let mut inputs = in_cells(derivation).into_iter();
    let mut rows = vec![vec![
        Value::text(&derivation.id),
        Value::text(&derivation.title),
        Value::text(&derivation.result),
        Value::text(&derivation.formula),
        Value::Text(inputs.next().unwrap_or_default()),
        Value::Text(derivation.rounding.clone().unwrap_or_default()),
        Value::Text(derivation.source.clone().unwrap_or_default()),
    ]];
    rows.extend(inputs.map(|more| {
        vec![
            Value::text(&derivation.id),
            Value::text("(more inputs)"),
            Value::Empty,
            Value::Empty,
            Value::Text(more),
            Value::Empty,
            Value::Empty,
        ]
    }));
    rows
}

/// Letters of inputs in one cell: a row holds some 27 lines, however long its text is.
const MOST_LETTERS: usize = 900;

/// The inputs of a derivation, as many to a cell as it has room for.
fn in_cells(derivation: &Derivation) -> Vec<String> {
    let mut cells: Vec<String> = Vec::new();
    for input in &derivation.inputs {
        let told = format!("{} = {}", input.name, input.value);
        match cells.last_mut() {
            Some(cell) if cell.chars().count() + told.chars().count() < MOST_LETTERS => {
                cell.push_str("; ");
                cell.push_str(&told);
            }
            _ => cells.push(told),
        }
    }
    cells
}

/// A workbook with more rows of explanations than this is no help to anybody; `plan.json` holds them all.
const MOST_DERIVATIONS: usize = 5_000;
