//! `facelay plan JOB --out DIR`: plans, writes every file, and says what to do first.

use anstream::print;
use anstream::println;

use crate::files;
use crate::files::Written;
use crate::format;
use crate::format::CannotWrite;
use crate::plan::Plan;
use crate::report;
use crate::report::Purpose;

use super::Ending;
use super::args::Plan as Arguments;
use super::load;
use super::say;

/// Plans and writes, or says why not.
pub(super) fn run(arguments: &Arguments) -> Ending {
    let Some(plan) = load::plan(&arguments.job) else {
        anstream::eprintln!("nothing was written");
        return Ending::Refused;
    };
    let outputs = match outputs(&plan) {
        Ok(outputs) => outputs,
        Err(error) => {
            anstream::eprintln!("error: {error}\nnothing was written");
            return Ending::Refused;
        }
    };
    match files::write_outputs(&arguments.out, &outputs, arguments.replace) {
        Ok(written) => {
            summary(&plan);
            written_files(arguments, &written);
            Ending::Done
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
                outputs.push((format!("{}.xlsx", entry.name), format::write_xlsx(&report, plan.job.order_day)?));
            }
            Purpose::Tables => {
                for table in report.tables() {
                    outputs.push((format!("{}.csv", file_name(&table.name)), format::write_csv(table)?));
                }
            }
        }
    }
    outputs.push(("plan.json".to_owned(), format::write_plan(plan)?));
    Ok(outputs)
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
fn summary(plan: &Plan) {
    let mut text = format::wrap("", &plan.job.title);
    text += &orders(plan);
    text += &drums(plan);
    text += &format::wrap("Days      ", &days(plan));
    let before_tax = plan.bid.total - plan.bid.tax;
    text += &format::wrap("Price     ", &format!("{} {} with tax ({before_tax} before tax)", plan.bid.total, plan.job.currency));
    text += &cautions(plan);
    print!("{text}");
}

/// The most urgent cautions; more than these push the orders off the screen, and all of them stand in every workbook.
fn cautions(plan: &Plan) -> String {
    const MOST: usize = 4;
    let shown = plan.cautions.iter().take(MOST).map(|caution| format::wrap("Caution   ", &format!("{}: {}", caution.about, caution.text)));
    let mut text: String = shown.collect();
    if plan.cautions.len() > MOST {
        let rest = plan.cautions.len() - MOST;
        text += &format::wrap("          ", &format!("and {rest} more in every workbook's sheet `cautions`"));
    }
    text
}

fn is_workbook(name: &str) -> bool {
    std::path::Path::new(name).extension().is_some_and(|ending| ending == "xlsx")
}

/// More orders or drums than this are better read in the workbooks.
const MOST_LISTED: usize = 12;

fn orders(plan: &Plan) -> String {
    let purchase = &plan.purchase;
    let mut text = String::new();
    for (at, order) in purchase.orders.iter().take(MOST_LISTED).enumerate() {
        let suppliers = &plan.job.catalog.suppliers;
        let supplier = suppliers.get(&order.supplier).map_or(order.supplier.as_str(), |known| &known.name);
        let lines = crate::diag::count(order.lines.len(), "line");
        let by = order.order_by.strftime("%a %Y-%m-%d");
        text += &format::wrap(label("Order", at), &format!("by {by}: {supplier}, {lines}, {}", order.total.cents()));
    }
    if purchase.orders.len() > MOST_LISTED {
        text += &format::wrap(label("", 1), &format!("and {} more", purchase.orders.len() - MOST_LISTED));
    }
    text + &format::wrap(label("", 1), &format!("{} {} in all, {}", purchase.total.cents(), plan.job.currency, purchase.engine))
}

fn label(word: &str, at: usize) -> &str {
    match (word, at) {
        ("Order", 0) => "Order     ",
        ("Drums", 0) => "Drums     ",
        (_, _) => "          ",
    }
}

fn drums(plan: &Plan) -> String {
    let drums = &plan.rolling.drums;
    let mut text = String::new();
    for (at, drum) in drums.iter().take(MOST_LISTED).enumerate() {
        let panels: Vec<&str> = drum.panels.iter().map(|rolled| plan.panel_id(rolled.panel)).collect();
        let tube = plan.material_name(&drum.tube);
        text += &format::wrap(label("Drums", at), &format!("{} with {}: {tube}", drum.id, panels.join(", ")));
    }
    if drums.len() > MOST_LISTED {
        text += &format::wrap(label("", 1), &format!("and {} more", drums.len() - MOST_LISTED));
    }
    let flats = plan.rolling.flats.iter().take(MOST_LISTED);
    text + &flats.map(|flat| format::wrap(label("", 1), &format!("flat: {}, {}", plan.panel_id(flat.panel), flat.why))).collect::<String>()
}

fn days(plan: &Plan) -> String {
    let first = plan.schedule.activities.iter().map(|activity| activity.start).min();
    let Some((first, last)) = first.zip(plan.schedule.finish) else {
        return "nothing to do".into();
    };
    let clear = plan.schedule.wall_clear.map(|clear| clear.strftime("%a %Y-%m-%d %H:%M").to_string());
    let hand_over = match (plan.job.hand_over, clear) {
        (Some(day), Some(clear)) if plan.schedule.late_minutes > 0 => {
            format!("; THE HAND-OVER ON {day} IS MISSED, the wall is clear on {clear}")
        }
        (Some(day), Some(clear)) => format!("; wall clear {clear}, hand-over {day}"),
        (None, Some(clear)) => format!("; wall clear {clear}"),
        (_, None) => String::new(),
    };
    format!("{} to {}{hand_over}", first.strftime("%a %Y-%m-%d"), last.strftime("%a %Y-%m-%d"))
}

fn written_files(arguments: &Arguments, written: &Written) {
    let folder = arguments.out.display();
    let (books, others): (Vec<&String>, Vec<&String>) = written.written.iter().partition(|name| is_workbook(name));
    for book in books {
        println!("Written   {folder}/{book}");
    }
    let others: Vec<&str> = others.into_iter().map(String::as_str).collect();
    if !others.is_empty() {
        let files = crate::diag::count(others.len(), "file");
        print!("{}", format::wrap("          ", &format!("and {files} there: {}", others.join(", "))));
    }
    for kept in &written.kept {
        let why = if kept.edited { "was edited since facelay wrote it" } else { "was not written by facelay" };
        anstream::eprintln!("kept: {folder}/{} {why}; to overwrite it, add --replace", kept.name);
    }
}
