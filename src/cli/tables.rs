//! `facelay quantities`, `drums`, `days`, `buy`, `bid`: a report's tables as text, JSON or CSV.

use crate::format;
use crate::format::CannotWrite;
use crate::plan;
use crate::plan::Plan;
use crate::report;
use crate::report::Report;
use crate::report::Value;
use crate::units::Locale;

use super::Ending;
use super::args::Bid;
use super::args::Buy;
use super::args::Tables;
use super::load;
use super::load::Instead;
use super::say;

/// Plans the job's sheets, drums and crates and prints the report of that name, of one panel only if asked.
pub(super) fn of_things(name: &str, arguments: &Tables, panel: Option<&str>) -> Ending {
    match load::up_to_crates(&arguments.job) {
        Some(plan) => print_named(&plan, name, arguments, panel),
        None => Ending::Refused,
    }
}

/// Plans the job and prints its orders, sent from another day on if one is given.
pub(super) fn buy(arguments: &Buy) -> Ending {
    let days = Instead {
        order_day: arguments.today,
        progress: &arguments.given.progress,
        ..Instead::default()
    };
    match load::plan_on(&arguments.tables.job, days) {
        Some(plan) => print_named(&plan, "buy", &arguments.tables, None),
        None => Ending::Refused,
    }
}

/// Plans the job, or a case of it, draws its odds and prints the price.
pub(super) fn bid(arguments: &Bid) -> Ending {
    let case = arguments.case.as_deref();
    let given = Instead {
        progress: &arguments.given.progress,
        ..Instead::default()
    };
    let planned = load::case(&arguments.tables.job, (case, given), plan::draw);
    match planned {
        Some(plan) => print_named(&plan, "price", &arguments.tables, None),
        None => Ending::Refused,
    }
}

/// Plans the job and its cases and prints them side by side.
pub(super) fn compare(arguments: &Tables) -> Ending {
    match load::case(&arguments.job, (None, Instead::default()), plan::compare) {
        Some(plan) => print_named(&plan, "compare", arguments, None),
        None => Ending::Refused,
    }
}

fn print_named(plan: &Plan, name: &str, arguments: &Tables, panel: Option<&str>) -> Ending {
    let Some(mut report) = named(plan, name) else {
        return Ending::Refused;
    };
    if let Some(panel) = panel {
        if !plan.survey.panels.iter().any(|known| known.id == panel) {
            return no_such_panel(plan, panel);
        }
        keep_panel(&mut report, panel);
    }
    print(&report, arguments, &plan.job.locale)
}

/// The tables of a name.
pub(super) fn named(plan: &Plan, name: &str) -> Option<Report> {
    let mut entries = report::ALL.iter();
    let entry =
        entries.find(|entry| entry.name == name && entry.purpose == report::Purpose::Tables)?;
    Some((entry.build)(plan))
}

/// Plans the job's drums and prints why one panel needs its own.
pub(super) fn panel_drum(arguments: &Tables, panel: &str) -> Ending {
    let Some(plan) = load::up_to_crates(&arguments.job) else {
        return Ending::Refused;
    };
    let known = plan
        .survey
        .panels
        .iter()
        .position(|known| known.id == panel);
    let Some(at) = known else {
        return no_such_panel(&plan, panel);
    };
    let Some(report) = report::panel_drum(&plan, at) else {
        say::error(
            format!(
                "panel `{panel}` is not rolled: its paint takes no bending, or its layers are not known"
            ),
            "`facelay drums JOB` shows what stays flat and why",
        );
        return Ending::Refused;
    };
    print(&report, arguments, &plan.job.locale)
}

/// Prints a report as text, JSON or CSV.
pub(super) fn print(report: &Report, arguments: &Tables, locale: &Locale) -> Ending {
    match bytes(report, arguments, locale) {
        Ok(bytes) => say::print(&bytes),
        Err(error) => {
            say::error(error.to_string(), "report this with the job folder");
            Ending::Refused
        }
    }
}

fn bytes(report: &Report, arguments: &Tables, locale: &Locale) -> Result<Vec<u8>, CannotWrite> {
    if arguments.json {
        return format::write_json(report);
    }
    if arguments.csv {
        let tables = report
            .tables()
            .map(format::write_csv)
            .collect::<Result<Vec<_>, _>>()?;
        return Ok(tables.join(&b"\r\n"[..]));
    }
    Ok(format::write_text(report, locale).into_bytes())
}

fn no_such_panel(plan: &Plan, panel: &str) -> Ending {
    let known = plan.survey.panels.iter().map(|panel| panel.id.as_str());
    let help = match crate::diag::nearest(panel, known) {
        Some(near) => format!("write `{near}` if that is meant"),
        None => "leave out `--panel` to see the names of all panels".to_owned(),
    };
    say::error(format!("there is no panel `{panel}`"), &help);
    Ending::Refused
}

/// Leaves the rows of one panel in the tables that have a column for it, and drops the other tables.
fn keep_panel(report: &mut Report, panel: &str) {
    for sheet in &mut report.sheets {
        let blocks = std::mem::take(&mut sheet.blocks);
        sheet.blocks = blocks
            .into_iter()
            .filter_map(|block| match block {
                report::Block::Table(mut table) => {
                    let at = table
                        .columns
                        .iter()
                        .position(|column| column.heading == "panel")?;
                    table
                        .rows
                        .retain(|row| row.get(at) == Some(&Value::text(panel)));
                    Some(report::Block::Table(table))
                }
                report::Block::Heading(_)
                | report::Block::Note(_)
                | report::Block::Bars(_)
                | report::Block::DaySheet(_)
                | report::Block::Chart(_) => None,
            })
            .collect();
    }
}
