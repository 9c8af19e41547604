//! Every file that is made of a plan.

use crate::plan::Plan;
use crate::report;
use crate::report::Purpose;

use super::CannotWrite;

/// Makes every file of a plan, by name; some names have a folder.
///
/// # Errors
/// A workbook, document or table could not be made.
pub fn outputs(plan: &Plan) -> Result<Vec<(String, Vec<u8>)>, CannotWrite> {
    let page = super::write_html(&report::page(plan));
    let mut outputs = vec![("report.html".to_owned(), page)];
    for entry in report::ALL {
        let report = (entry.build)(plan);
        match entry.purpose {
            Purpose::Workbook => {
                outputs.push((
                    format!("{}.xlsx", entry.name),
                    super::write_xlsx(&report, plan.job.order_day, &plan.job.locale)?,
                ));
            }
            Purpose::Tables | Purpose::Files => {
                for table in report.tables().filter(|table| !table.shown_only) {
                    outputs.push((
                        format!("{}.csv", file_name(&table.name)),
                        super::write_csv(table)?,
                    ));
                }
            }
        }
    }
    outputs.push(("schedule.ics".to_owned(), super::write_calendar(plan)));
    drawings(plan, &mut outputs)?;
    outputs.push(("plan.json".to_owned(), super::write_plan(plan)?));
    Ok(outputs)
}

/// The cut sheets: one document to print, and each page as a drawing for screens; then bars and day sheets as drawings.
fn drawings(plan: &Plan, outputs: &mut Vec<(String, Vec<u8>)>) -> Result<(), CannotWrite> {
    let locale = &plan.job.locale;
    let sheets = report::cut_sheets(plan).in_locale(locale);
    let days = report::day_pages(plan).in_locale(locale);
    outputs.push(("cut-sheets.pdf".to_owned(), super::write_pdf(&sheets)?));
    for (folder, pages) in [(SHEETS, &sheets.pages), (DAYS, &days.pages)] {
        for (number, page) in (1_usize..).zip(pages) {
            let name = format!("{folder}/{number:03}-{}.svg", plain_name(&page.title));
            outputs.push((name, super::write_svg(page)));
        }
    }
    Ok(())
}

/// The folder of the cut sheets as drawings.
pub const SHEETS: &str = "cut-sheets";

/// The folder of bars and day sheets as drawings.
pub const DAYS: &str = "days";

/// Letters and digits of a title, others as one dash; short enough for every file system.
fn plain_name(title: &str) -> String {
    const MOST: usize = 40;
    let mut name = String::new();
    for letter in title.to_ascii_lowercase().chars() {
        if letter.is_ascii_alphanumeric() {
            name.push(letter);
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
        if name.len() >= MOST {
            break;
        }
    }
    name.trim_end_matches('-').to_owned()
}

/// Turns a table's name into a file's: `OrderLines` is `order-lines`.
fn file_name(table: &str) -> String {
    let mut name = String::new();
    for letter in table.chars() {
        if letter.is_uppercase() && !name.is_empty() {
            name.push('-');
        }
        name.extend(letter.to_lowercase());
    }
    name
}
