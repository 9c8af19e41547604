//! Every report on both examples: workbooks read back by calamine cell by cell, CSV by the csv crate, text no wider than a terminal.

use std::io::Cursor;
use std::path::Path;

use calamine::Data;
use calamine::Reader;
use calamine::Xlsx;
use facelay::catalog::MaterialKind;
use facelay::format;
use facelay::plan::Plan;
use facelay::report;
use facelay::report::Kind;
use facelay::report::Purpose;
use facelay::report::Report;
use facelay::report::Table;
use facelay::report::Value;
use rust_decimal::prelude::ToPrimitive;

pub(crate) fn planned(example: &str) -> Plan {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(example);
    let files = facelay::files::read_job(&folder).unwrap();
    let (job, problems) = facelay::job::read(&files);
    facelay::plan::make(job.unwrap(), problems, &mut |_| {})
}

fn reports(plan: &Plan, purpose: Purpose) -> Vec<Report> {
    report::ALL
        .iter()
        .filter(|entry| entry.purpose == purpose)
        .map(|entry| (entry.build)(plan))
        .collect()
}

/// Whether a cell holds a value, as far as cells can: numbers as the column rounds them, days as serial numbers.
fn holds(cell: &Data, value: &Value, kind: Kind) -> bool {
    let half = match kind {
        Kind::Number(places) => 0.5001 * 0.1_f64.powi(places.into()),
        Kind::Percent => 0.005_001,
        Kind::Text | Kind::Money | Kind::Day | Kind::Time => 1e-9,
    };
    match (cell, value) {
        (Data::Error(_), _) => false,
        (Data::Empty, Value::Empty) => true,
        (Data::Empty, Value::Text(text)) => text.is_empty(),
        (Data::String(found), Value::Text(text)) => found == text || text.chars().count() > 32_000,
        (Data::Float(found), Value::Number(number)) => {
            (found - number).abs() <= half.max(number.abs() * 1e-9)
        }
        (Data::Float(found), Value::Decimal(number) | Value::Formula(_, number)) => {
            (found - number.to_f64().unwrap()).abs() < 1e-9 * found.abs().max(1.0)
        }
        (Data::DateTime(found), Value::Day(day)) => {
            let (year, month, date, ..) = found.to_ymd_hms_milli();
            (i32::from(year), i32::from(month), i32::from(date))
                == (day.year().into(), day.month().into(), day.day().into())
        }
        (Data::DateTime(found), Value::Time(time)) => {
            let serial = f64::from((time.date() - jiff::civil::date(1899, 12, 30)).get_days())
                + (f64::from(time.hour()) * 60.0 + f64::from(time.minute())) / 1440.0;
            (found.as_f64() - serial).abs() < 1e-6
        }
        (_, _) => false,
    }
}

/// Finds a table on its sheet by its headings and compares every cell.
fn compare(range: &calamine::Range<Data>, table: &Table) -> usize {
    if table.rows.is_empty() {
        return 0;
    }
    let headings: Vec<&str> = table
        .columns
        .iter()
        .map(|column| column.heading.as_str())
        .collect();
    let end = range.end().unwrap();
    let cell = |row: u32, col: usize| {
        range
            .get_value((row, u32::try_from(col).unwrap()))
            .cloned()
            .unwrap_or(Data::Empty)
    };
    let is_heading = |row: u32| {
        headings
            .iter()
            .enumerate()
            .all(|(col, text)| cell(row, col) == Data::String((*text).to_owned()))
    };
    let starts: Vec<u32> = (0..=end.0).filter(|&row| is_heading(row)).collect();
    let mut best = String::new();
    for start in starts {
        let rows = (start + 1..).zip(&table.rows);
        let wrong = rows
            .flat_map(|(row, values)| {
                values
                    .iter()
                    .enumerate()
                    .map(move |(col, value)| (row, col, value))
            })
            .find(|&(row, col, value)| !holds(&cell(row, col), value, table.columns[col].kind));
        match wrong {
            None => return table.rows.len() * headings.len(),
            Some((row, col, value)) => {
                best = format!(
                    "{} row {row} column {col}: {:?}, not {value:?}",
                    table.name,
                    cell(row, col)
                )
            }
        }
    }
    panic!("{} is not on its sheet as planned: {best}", table.name);
}

#[test]
fn workbooks_hold_what_the_plan_says() {
    for example in ["assembly-hall", "three-panels"] {
        let plan = planned(example);
        let mut cells = 0;
        for report in reports(&plan, Purpose::Workbook) {
            let bytes = format::write_xlsx(&report, plan.job.order_day, &plan.job.locale).unwrap();
            assert_eq!(
                bytes,
                format::write_xlsx(&report, plan.job.order_day, &plan.job.locale).unwrap(),
                "the same bytes twice"
            );
            let mut book: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).unwrap();
            for sheet in &report.sheets {
                let range = book.worksheet_range(&sheet.name).unwrap();
                let errors = range
                    .used_cells()
                    .filter(|(_, _, cell)| matches!(cell, Data::Error(_)))
                    .count();
                assert_eq!(errors, 0, "{}: {}", report.name, sheet.name);
                let tables = sheet.blocks.iter().filter_map(|block| match block {
                    report::Block::Table(table) => Some(table),
                    report::Block::Heading(_)
                    | report::Block::Note(_)
                    | report::Block::Bars(_)
                    | report::Block::Chart(_)
                    | report::Block::DaySheet(_) => None,
                });
                cells += tables.map(|table| compare(&range, table)).sum::<usize>();
            }
        }
        assert!(cells > 1000, "only {cells} cells were compared");
    }
}

#[test]
fn tables_fit_a_terminal_and_read_back_as_csv() {
    for example in ["assembly-hall", "three-panels"] {
        let plan = planned(example);
        for report in reports(&plan, Purpose::Tables) {
            let text = format::write_text(&report, &plan.job.locale);
            let widest = text
                .lines()
                .map(|line| line.chars().count())
                .max()
                .unwrap_or(0);
            assert!(widest <= 80, "{}: a line of {widest} columns", report.name);
            for table in report.tables() {
                let bytes = format::write_csv(table).unwrap();
                let mut reader = csv::Reader::from_reader(bytes.as_slice());
                let headings: Vec<String> = reader
                    .headers()
                    .unwrap()
                    .iter()
                    .map(ToOwned::to_owned)
                    .collect();
                assert_eq!(
                    headings,
                    table
                        .columns
                        .iter()
                        .map(|column| column.heading.clone())
                        .collect::<Vec<_>>()
                );
                assert_eq!(
                    reader.records().map(Result::unwrap).count(),
                    table.rows.len()
                );
            }
        }
    }
}

#[test]
fn bars_show_work_and_drying_and_no_more_days_than_are_worked() {
    let plan = planned("three-panels");
    let report = (report::ALL
        .iter()
        .find(|entry| entry.name == "days")
        .unwrap()
        .build)(&plan);
    let text = format::write_text(&report, &plan.job.locale);
    assert!(text.contains('~'), "something dries overnight");
    assert!(text.contains("Day by day"));
}

#[test]
fn every_table_has_a_name_of_its_own_and_full_rows() {
    let plan = planned("assembly-hall");
    for entry in report::ALL {
        let report = (entry.build)(&plan);
        let mut names: Vec<&str> = report.tables().map(|table| table.name.as_str()).collect();
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(
            names.len(),
            count,
            "{}: a table's name stands twice",
            report.name
        );
        for table in report.tables() {
            assert!(
                table
                    .rows
                    .iter()
                    .all(|row| row.len() == table.columns.len()),
                "{}",
                table.name
            );
        }
    }
}

/// The shelf after one job, as its file says it, is the shelf of the next: whole units and amounts to the last decimal, offcuts to the
/// millimetre below.
#[test]
fn what_one_job_leaves_is_the_stock_of_the_next() {
    let plan = planned("assembly-hall");
    let tables = reports(&plan, Purpose::Tables);
    let mut tables = tables.iter().flat_map(Report::tables);
    let after = tables.find(|table| table.name == "StockAfter").unwrap();
    assert!(!after.shown_only);
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/assembly-hall");
    let mut files = facelay::files::read_job(&folder).unwrap();
    files.remove("orders.csv");
    files.insert("stock.csv".to_owned(), format::write_csv(after).unwrap());
    let (next, problems) = facelay::job::read(&files);
    let next = next.unwrap_or_else(|| panic!("{problems:?}"));
    let mut whole = std::collections::BTreeMap::new();
    for kept in &plan.purchase.shelf_after {
        *whole.entry(kept.material.clone()).or_default() += kept.quantity.amount;
    }
    let read = next.stock.iter();
    let read: std::collections::BTreeMap<_, rust_decimal::Decimal> =
        read.map(|(id, stock)| (id.clone(), stock.amount)).collect();
    assert_eq!(whole, read);
    // The file has whole millimetres, rounded down.
    let flat = |offcuts: &mut dyn Iterator<Item = &facelay::job::Offcut>| {
        let mut all: Vec<_> = offcuts
            .map(|part| {
                let sides = [part.width, part.length].map(|side| side.to_mm().floor());
                (part.material.clone(), format!("{sides:?}"), part.count)
            })
            .flat_map(|(material, sides, count)| {
                std::iter::repeat_n((material, sides), usize::try_from(count).unwrap())
            })
            .collect();
        all.sort();
        all
    };
    let (left, found) = (flat(&mut plan.offcuts()), flat(&mut next.offcuts.iter()));
    assert!(left.iter().any(|part| part.0 == "plywood-12"));
    assert_eq!(left, found);
}

/// Who mixes weighs solids and measures liquids (common practice): a heap of beads takes far more room than the resin in them.
#[test]
fn solids_are_weighed_and_liquids_measured() {
    for example in ["assembly-hall", "three-panels"] {
        let plan = planned(example);
        let schedule = reports(&plan, Purpose::Workbook).remove(1);
        let blocks: Vec<_> = schedule.sheets.iter().flat_map(|s| &s.blocks).collect();
        let told: String = blocks
            .iter()
            .filter_map(|block| match block {
                report::Block::DaySheet(day) => Some(&day.sections),
                report::Block::Table(_)
                | report::Block::Heading(_)
                | report::Block::Note(_)
                | report::Block::Bars(_)
                | report::Block::Chart(_) => None,
            })
            .flatten()
            .flat_map(|(_, lines)| lines)
            .map(|line| format!("{line}\n"))
            .collect();
        let (mut solids, mut liquids) = (0, 0);
        for part in plan.schedule.batches.iter().flat_map(|batch| &batch.parts) {
            let name = plan.material_name(&part.material);
            if plan.job.catalog.materials[&part.material].kind == MaterialKind::Liquid {
                let measured = format!("{name} {:.0} ml", part.volume.unwrap().to_ml());
                assert!(told.contains(&measured), "{measured}: {told}");
                liquids += 1;
            } else {
                let weighed = format!("{name} {:.1} g", part.mass.to_g());
                assert!(told.contains(&weighed), "{weighed}: {told}");
                solids += 1;
            }
        }
        assert!(solids > 0 && liquids > 0, "{solids} {liquids}");
        let mixing = schedule.tables().find(|table| table.name == "Mixing");
        let rows = &mixing.unwrap().rows;
        let blank = rows.iter().filter(|row| row[6] == Value::Empty);
        assert_eq!(blank.count(), solids, "a solid has no millilitres");
    }
}
