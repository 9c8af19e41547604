//! `facelay plan JOB --out DIR`: plans, writes every file, and says what to do first.

use crate::files;
use crate::files::Written;
use crate::format;
use crate::format::DAYS;
use crate::format::SHEETS;
use crate::plan;
use crate::plan::Plan;
use crate::units::Locale;

use super::Ending;
use super::args::Plan as Arguments;
use super::load;
use super::say;

/// Plans and writes, or says why not.
pub(super) fn run(arguments: &Arguments) -> Ending {
    let instead = load::Instead {
        today: arguments.today,
        progress: &arguments.given.progress,
        effort: arguments.search.effort,
        seconds: arguments.search.seconds,
        ..load::Instead::default()
    };
    let planned = load::case(&arguments.job, (None, instead), plan::weigh);
    let Some(plan) = planned else {
        anstream::eprintln!("nothing was written");
        return Ending::Refused;
    };
    let outputs = match format::outputs(&plan) {
        Ok(outputs) => outputs,
        Err(error) => {
            say::error(error.to_string(), "report this with the job folder");
            anstream::eprintln!("nothing was written");
            return Ending::Refused;
        }
    };
    match files::write_outputs(&arguments.out, &outputs, arguments.replace) {
        Ok(written) => {
            let printed = say::tell(&(summary(&plan) + &written_files(arguments, &written)));
            kept_files(arguments, &written);
            printed
        }
        Err(trouble) => {
            say::trouble(&trouble);
            if trouble.halfway {
                let folder = arguments.out.display();
                anstream::eprintln!(
                    "some of the files in {folder} are new and others old: run the command again before you use them"
                );
            } else {
                anstream::eprintln!("nothing was changed");
            }
            Ending::Refused
        }
    }
}

/// What a person acts on first: orders, drums, days, price, cautions.
fn summary(plan: &Plan) -> String {
    let mut text = Said {
        text: format::wrap("", &plan.job.title),
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
        &format!("{} in all, {}", purchase.total.cents(), purchase.sure()),
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
    let (drawings, files): (Vec<&String>, Vec<&String>) =
        written.written.iter().partition(|name| name.contains('/'));
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
    for (what, inner) in [("the cut sheets", SHEETS), ("bars and day sheets", DAYS)] {
        let own = drawings
            .iter()
            .filter(|name| name.split('/').next() == Some(inner));
        let pages = own.count();
        if pages > 0 {
            let pages = crate::diag::count(pages, "page");
            line(
                &mut text,
                "",
                &format!("{what} as drawings in {folder}/{inner}: {pages}"),
            );
        }
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

/// Says whether people open the file themselves: the page, workbooks and what is printed.
fn is_opened_first(name: &str) -> bool {
    std::path::Path::new(name)
        .extension()
        .is_some_and(|ending| ending == "html" || ending == "xlsx" || ending == "pdf")
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
