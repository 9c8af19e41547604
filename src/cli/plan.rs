//! `facelay plan JOB --out DIR`: plans, writes every file, and says what to do first.

use crate::files;
use crate::files::Written;
use crate::format;
use crate::format::CannotWrite;
use crate::plan;
use crate::plan::Plan;
use crate::report;
use crate::report::Purpose;
use crate::units::Locale;

use super::Ending;
use super::args::Plan as Arguments;
use super::load;
use super::say;

/// Plans and writes, or says why not.
pub(super) fn run(arguments: &Arguments) -> Ending {
    let days = load::Instead {
        today: arguments.today,
        progress: &arguments.given.progress,
        ..load::Instead::default()
    };
    let planned = load::case(&arguments.job, (None, days), plan::weigh);
    let Some(plan) = planned else {
        anstream::eprintln!("nothing was written");
        return Ending::Refused;
    };
    let outputs = match outputs(&plan) {
        Ok(outputs) => outputs,
        Err(error) => {
            say::error(error.to_string(), "report this with the job folder");
            anstream::eprintln!("nothing was written");
            return Ending::Refused;
        }
    };
    match files::write_outputs(&arguments.out, &outputs, arguments.replace) {
        Ok(written) => {
            let printed =
                say::print((summary(&plan) + &written_files(arguments, &written)).as_bytes());
            kept_files(arguments, &written);
            printed
        }
        Err(trouble) => {
            say::trouble(&trouble);
            anstream::eprintln!("nothing was changed");
            Ending::Refused
        }
    }
}

/// Every file of a plan, by name.
fn outputs(plan: &Plan) -> Result<Vec<(String, Vec<u8>)>, CannotWrite> {
    let mut outputs = Vec::new();
    for entry in report::ALL {
        let report = (entry.build)(plan);
        match entry.purpose {
            Purpose::Workbook => {
                outputs.push((
                    format!("{}.xlsx", entry.name),
                    format::write_xlsx(&report, plan.job.order_day, &plan.job.locale)?,
                ));
            }
            Purpose::Tables | Purpose::Files => {
                for table in report.tables() {
                    outputs.push((
                        format!("{}.csv", file_name(&table.name)),
                        format::write_csv(table)?,
                    ));
                }
            }
        }
    }
    outputs.push(("schedule.ics".to_owned(), format::write_calendar(plan)));
    drawings(plan, &mut outputs)?;
    outputs.push(("plan.json".to_owned(), format::write_plan(plan)?));
    Ok(outputs)
}

/// The cut sheets: one document to print, and each page as a drawing for screens.
fn drawings(plan: &Plan, outputs: &mut Vec<(String, Vec<u8>)>) -> Result<(), CannotWrite> {
    let sheets = report::cut_sheets(plan).in_locale(&plan.job.locale);
    outputs.push(("cut-sheets.pdf".to_owned(), format::write_pdf(&sheets)?));
    for (number, page) in (1_usize..).zip(&sheets.pages) {
        let name = format!("{SHEETS}/{number:03}-{}.svg", plain_name(&page.title));
        outputs.push((name, format::write_svg(page)));
    }
    Ok(())
}

/// The folder of drawings.
const SHEETS: &str = "cut-sheets";

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

/// What a person acts on first: orders, drums, days, price, cautions.
fn summary(plan: &Plan) -> String {
    let mut text = Said {
        text: format!("{}\n", plan.job.title),
        locale: plan.job.locale,
    };
    orders(plan, &mut text);
    drums(plan, &mut text);
    line(&mut text, "Days", &days(plan));
    let bid = &plan.bid;
    let price = format!(
        "{} {} with tax ({} before tax)",
        bid.total.cents(),
        plan.job.currency,
        (bid.total - bid.tax).cents()
    );
    line(&mut text, "Price", &price);
    for caution in plan.cautions.iter().take(MOST_CAUTIONS) {
        line(
            &mut text,
            "Caution",
            &format!("{}: {}", caution.about, caution.text),
        );
    }
    if plan.cautions.len() > MOST_CAUTIONS {
        line(
            &mut text,
            "",
            &format!(
                "and {} more in the workbooks' sheet `cautions`",
                plan.cautions.len() - MOST_CAUTIONS
            ),
        );
    }
    text.text
}

/// More cautions than this push the orders off the screen; all of them stand in every workbook.
const MOST_CAUTIONS: usize = 5;

/// What has been said so far, and how numbers and days in it are written.
struct Said {
    text: String,
    locale: Locale,
}

fn line(said: &mut Said, label: &str, words: &str) {
    said.text += &format::wrap(&format!("{label:10}"), &said.locale.words(words));
}

fn orders(plan: &Plan, text: &mut Said) {
    let purchase = &plan.purchase;
    for (at, order) in purchase.orders.iter().enumerate() {
        let supplier = plan
            .job
            .catalog
            .suppliers
            .get(&order.supplier)
            .map_or(order.supplier.as_str(), |known| &known.name);
        let label = if at == 0 { "Order" } else { "" };
        let lines = crate::diag::count(order.lines.len(), "line");
        line(
            text,
            label,
            &format!(
                "by {}: {supplier}, {lines}, {}",
                order.order_by.strftime("%a %Y-%m-%d"),
                order.total.cents()
            ),
        );
    }
    line(
        text,
        "",
        &format!("{} in all, {}", purchase.total.cents(), purchase.engine),
    );
}

fn drums(plan: &Plan, text: &mut Said) {
    for (at, drum) in plan.rolling.drums.iter().enumerate() {
        let label = if at == 0 { "Drums" } else { "" };
        let panels: Vec<&str> = drum
            .panels
            .iter()
            .map(|rolled| plan.panel_id(rolled.panel))
            .collect();
        line(
            text,
            label,
            &format!("{}: {} with {}", drum.id, drum.tube, panels.join(", ")),
        );
    }
    for flat in &plan.rolling.flats {
        line(
            text,
            "",
            &format!("flat: {}, {}", plan.panel_id(flat.panel), flat.why),
        );
    }
}

fn days(plan: &Plan) -> String {
    let first = plan
        .schedule
        .activities
        .iter()
        .map(|activity| activity.start)
        .min();
    let Some((first, last)) = first.zip(plan.schedule.finish) else {
        return "nothing to do".into();
    };
    let hand_over = match (plan.job.hand_over, plan.schedule.wall_clear) {
        (Some(day), Some(clear)) if plan.schedule.late_minutes > 0 => {
            format!(
                "; THE HAND-OVER ON {day} IS MISSED, the wall is clear on {}",
                clear.strftime("%a %Y-%m-%d %H:%M")
            )
        }
        (Some(day), Some(clear)) => format!(
            "; wall clear {}, hand-over {day}",
            clear.strftime("%a %Y-%m-%d %H:%M")
        ),
        (None, Some(clear)) => format!("; wall clear {}", clear.strftime("%a %Y-%m-%d %H:%M")),
        (_, None) => String::new(),
    };
    format!(
        "{} to {}{hand_over}",
        first.strftime("%a %Y-%m-%d"),
        last.strftime("%a %Y-%m-%d")
    )
}

fn written_files(arguments: &Arguments, written: &Written) -> String {
    let folder = arguments.out.display();
    let (drawings, files): (Vec<&String>, Vec<&String>) = written
        .written
        .iter()
        .partition(|name| name.starts_with(SHEETS) && name.contains('/'));
    let (opened, others): (Vec<&String>, Vec<&String>) =
        files.into_iter().partition(|name| is_opened_first(name));
    let mut text = Said {
        text: String::new(),
        // Names of files are told as they are.
        locale: Locale::PLAIN,
    };
    for name in opened {
        line(&mut text, "Written", &format!("{folder}/{name}"));
    }
    if !drawings.is_empty() {
        let pages = crate::diag::count(drawings.len(), "page");
        line(
            &mut text,
            "",
            &format!("the cut sheets as drawings in {folder}/{SHEETS}: {pages}"),
        );
    }
    if !others.is_empty() {
        let names = others
            .iter()
            .map(|name| name.as_str())
            .collect::<Vec<_>>()
            .join(", ");
        line(
            &mut text,
            "",
            &format!(
                "and {} there: {names}",
                crate::diag::count(others.len(), "file")
            ),
        );
    }
    text.text
}

/// Says whether people open the file themselves: workbooks and what is printed.
fn is_opened_first(name: &str) -> bool {
    std::path::Path::new(name)
        .extension()
        .is_some_and(|ending| ending == "xlsx" || ending == "pdf")
}

fn kept_files(arguments: &Arguments, written: &Written) {
    let folder = arguments.out.display();
    for kept in &written.kept {
        let why = if kept.edited {
            "was edited since facelay wrote it"
        } else {
            "was not written by facelay"
        };
        anstream::eprintln!(
            "kept: {folder}/{} {why}; to overwrite it, add --replace",
            kept.name
        );
    }
}
