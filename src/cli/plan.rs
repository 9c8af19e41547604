//! `facelay plan JOB --out DIR`: plans, writes every file, and says what to do first.

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
    println!("{}", plan.job.title);
    orders(plan);
    drums(plan);
    println!("Days      {}", days(plan));
    println!("Price     {} {} with tax ({} before tax)", plan.bid.total, plan.job.currency, before_tax(plan));
    for caution in plan.cautions.iter().take(MOST_CAUTIONS) {
        println!("Caution   {}: {}", caution.about, caution.text);
    }
    if plan.cautions.len() > MOST_CAUTIONS {
        println!("          and {} more in the workbooks' sheet `cautions`", plan.cautions.len() - MOST_CAUTIONS);
    }
}

/// More cautions than this push the orders off the screen; all of them stand in every workbook.
const MOST_CAUTIONS: usize = 5;

fn before_tax(plan: &Plan) -> crate::units::Money {
    plan.bid.total - plan.bid.tax
}

fn orders(plan: &Plan) {
    let purchase = &plan.purchase;
    for (at, order) in purchase.orders.iter().enumerate() {
        let supplier = plan.job.catalog.suppliers.get(&order.supplier).map_or(order.supplier.as_str(), |known| &known.name);
        let label = if at == 0 { "Order" } else { "" };
        let lines = crate::diag::count(order.lines.len(), "line");
        println!("{label:9} by {}: {supplier}, {lines}, {}", order.order_by.strftime("%a %Y-%m-%d"), order.total.cents());
    }
    println!("          {} in all, {}", purchase.total.cents(), purchase.engine);
}

fn drums(plan: &Plan) {
    for (at, drum) in plan.rolling.drums.iter().enumerate() {
        let label = if at == 0 { "Drums" } else { "" };
        let panels: Vec<&str> = drum.panels.iter().map(|rolled| plan.panel_id(rolled.panel)).collect();
        println!("{label:9} {}: {} with {}", drum.id, drum.tube, panels.join(", "));
    }
    for flat in &plan.rolling.flats {
        println!("{:9} flat: {}, {}", "", plan.panel_id(flat.panel), flat.why);
    }
}

fn days(plan: &Plan) -> String {
    let first = plan.schedule.activities.iter().map(|activity| activity.start).min();
    let Some((first, last)) = first.zip(plan.schedule.finish) else { return "nothing to do".into() };
    let hand_over = match (plan.job.hand_over, plan.schedule.wall_clear) {
        (Some(day), Some(clear)) if plan.schedule.late_minutes > 0 => {
            format!("; THE HAND-OVER ON {day} IS MISSED, the wall is clear on {}", clear.strftime("%a %Y-%m-%d %H:%M"))
        }
        (Some(day), Some(clear)) => format!("; wall clear {}, hand-over {day}", clear.strftime("%a %Y-%m-%d %H:%M")),
        (None, Some(clear)) => format!("; wall clear {}", clear.strftime("%a %Y-%m-%d %H:%M")),
        (_, None) => String::new(),
    };
    format!("{} to {}{hand_over}", first.strftime("%a %Y-%m-%d"), last.strftime("%a %Y-%m-%d"))
}

fn written_files(arguments: &Arguments, written: &Written) {
    let folder = arguments.out.display();
    let (books, others): (Vec<&String>, Vec<&String>) = written.written.iter().partition(|name| name.ends_with(".xlsx"));
    for book in books {
        println!("Written   {folder}/{book}");
    }
    if !others.is_empty() {
        println!("          and {} there: {}", crate::diag::count(others.len(), "file"), others.iter().map(|s| s.as_str()).collect::<Vec<_>>().join(", "));
    }
    for kept in &written.kept {
        let why = if kept.edited { "was edited since facelay wrote it" } else { "was not written by facelay" };
        anstream::eprintln!("kept: {folder}/{} {why}; to overwrite it, add --replace", kept.name);
    }
}
