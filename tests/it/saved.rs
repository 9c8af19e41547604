//! What people write into facelay's own workbooks, or into tables beside the job, comes back as progress, orders and stock.

use std::collections::BTreeMap;
use std::path::Path;

use facelay::diag::Problems;
use facelay::format;
use facelay::job;
use facelay::job::Job;
use facelay::plan::Plan;
use facelay::report;
use facelay::units::Locale;
use jiff::civil::date;
use rust_xlsxwriter::ExcelDateTime;
use rust_xlsxwriter::Format;
use rust_xlsxwriter::Workbook;

type Given = (String, Vec<u8>);

/// The whole job of the gallery of mistakes, with some lines of its job.toml exchanged.
fn files(changes: &[(&str, &str)]) -> BTreeMap<String, Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/errors/_whole");
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    let mut settings = read("job.toml");
    for (from, to) in changes {
        assert!(settings.contains(from), "{from}");
        settings = settings.replace(from, to);
    }
    BTreeMap::from([
        ("job.toml".to_owned(), settings.into_bytes()),
        ("panels.csv".to_owned(), read("panels.csv").into_bytes()),
    ])
}

fn said(problems: &Problems) -> Vec<String> {
    let told = problems.iter().map(|problem| {
        let place = problem.place.as_ref().map(ToString::to_string);
        format!(
            "{}: {}: {}",
            problem.level,
            place.unwrap_or_default(),
            problem.text
        )
    });
    told.collect()
}

fn read(given: &[Given]) -> (Job, Vec<String>) {
    let (job, problems) = job::read_with(&files(&[]), given);
    let told = said(&problems);
    (job.unwrap_or_else(|| panic!("{told:?}")), told)
}

fn csv(name: &str, text: &str) -> Given {
    (name.to_owned(), text.as_bytes().to_vec())
}

/// An order sheet as the purchase list has it: sums below the lines, words above, columns in another order.
fn order_sheet(name: &str, whole: [Option<(u16, u8, u8)>; 3]) -> Given {
    let mut book = Workbook::new();
    let days = Format::new().set_num_format("dd/mm/yyyy");
    let page = book.add_worksheet();
    page.write(0, 0, "Order to Paper and Cloth Stores").unwrap();
    let heads = [
        "supplier",
        "arrives",
        "sent on",
        "promised for",
        "all received on",
    ];
    for (at, heading) in (0..).zip(heads) {
        page.write(3, at, heading).unwrap();
    }
    page.write(4, 0, "Paper and Cloth Stores").unwrap();
    let arrives = ExcelDateTime::from_ymd(2026, 11, 30).unwrap();
    page.write_with_format(4, 1, &arrives, &days).unwrap();
    for (at, day) in (2..).zip(whole) {
        if let Some((year, month, day)) = day {
            let day = ExcelDateTime::from_ymd(year, month, day).unwrap();
            page.write_with_format(4, at, &day, &days).unwrap();
        }
    }
    let heads = [
        "packs",
        "material",
        "pack of",
        "received (packs)",
        "received on",
    ];
    for (at, heading) in (0..).zip(heads) {
        page.write(7, at, heading).unwrap();
    }
    for (row, (packs, material, pack)) in (8..).zip([
        (3, "tissue-12", "100 sheet"),
        (2, "gloves-nitrile", "50 each"),
    ]) {
        page.write(row, 0, packs).unwrap();
        page.write(row, 1, material).unwrap();
        page.write(row, 2, pack).unwrap();
    }
    page.write(9, 3, 1).unwrap();
    let came = ExcelDateTime::from_ymd(2026, 12, 1).unwrap();
    page.write_with_format(9, 4, &came, &days).unwrap();
    page.write(10, 0, "Total").unwrap();
    page.write(12, 0, "sum").unwrap();
    page.write(13, 0, "goods").unwrap();
    (name.to_owned(), book.save_to_buffer().unwrap())
}

#[test]
fn an_order_sheet_says_what_came_and_what_is_on_its_way() {
    let sheet = order_sheet(
        "list.xlsx",
        [Some((2026, 11, 20)), Some((2026, 12, 3)), None],
    );
    let (job, told) = read(&[sheet]);
    assert_eq!(told, Vec::<String>::new());
    let coming: Vec<_> = job
        .ordered
        .iter()
        .map(|row| {
            (
                row.material.as_str(),
                row.quantity.to_string(),
                row.promised,
            )
        })
        .collect();
    let promised = date(2026, 12, 3);
    assert_eq!(
        coming,
        [
            ("tissue-12", "300 sheet".to_owned(), promised),
            ("gloves-nitrile", "50 each".to_owned(), promised)
        ]
    );
    assert_eq!(job.received.len(), 1);
    assert_eq!(job.received[0].received, Some(date(2026, 12, 1)));
    assert_eq!(job.stock["gloves-nitrile"].to_string(), "50 each");
    assert!(!job.stock.contains_key("tissue-12"));
}

#[test]
fn all_received_on_a_day_is_every_pack() {
    let whole = [Some((2026, 11, 20)), None, Some((2026, 12, 1))];
    let (job, _) = read(&[order_sheet("list.xlsx", whole)]);
    assert_eq!(job.stock["tissue-12"].to_string(), "300 sheet");
    // One of two packs of gloves is named, so the other is still to come, on the day that the plan reckoned with.
    assert_eq!(job.stock["gloves-nitrile"].to_string(), "50 each");
    assert_eq!(job.ordered.len(), 1);
    assert_eq!(job.ordered[0].promised, date(2026, 11, 30));
}

#[test]
fn two_purchase_lists_would_count_twice() {
    let whole = [Some((2026, 11, 20)), None, None];
    let given = [
        order_sheet("one.xlsx", whole),
        order_sheet("two.xlsx", whole),
    ];
    let (job, problems) = job::read_with(&files(&[]), &given);
    assert!(job.is_none());
    assert_eq!(
        said(&problems),
        [
            "error: two.xlsx: orders are in it and in `one.xlsx` too, so that goods would count twice"
        ]
    );
}

#[test]
fn a_later_file_is_true_and_blanks_of_a_list_of_everything_are_not_done() {
    let first = csv(
        "monday.csv",
        "panel,step,done\nN1,marks,50 %\nN2,marks,yes\n",
    );
    let second = csv(
        "tuesday.csv",
        "panel,step,planned hours,done,finished,at,actual hours,actual solution\nN1,marks,1.5,,2026-12-02,15:30,1.25,\nN1,clean,1,,,,,\n",
    );
    // The column of planned hours belongs to the workbook, not to a table of the job.
    let (_, problems) = job::read_with(&files(&[]), std::slice::from_ref(&second));
    assert!(said(&problems)[0].contains("the column `planned hours` is not known here"));
    let second = (
        second.0,
        String::from_utf8(second.1)
            .unwrap()
            .replace("planned hours,", "")
            .replace(",1.5,", ",")
            .replace("N1,clean,1,,,,,\n", "")
            .into_bytes(),
    );
    let (job, _) = read(&[first, second]);
    let done: Vec<_> = job
        .planning
        .progress
        .iter()
        .map(|row| (row.subject.as_str(), row.done, row.hours))
        .collect();
    assert_eq!(done, [("N1", 1.0, Some(1.25)), ("N2", 1.0, None)]);
}

#[test]
fn a_file_with_nothing_to_read_says_so() {
    let (_, problems) = job::read_with(&files(&[]), &[csv("addresses.csv", "name,street\nA,B\n")]);
    assert!(
        said(&problems)[0]
            .starts_with("error: addresses.csv: there is nothing in it that could be read back")
    );
}

fn plan(changes: &[(&str, &str)], given: &[Given]) -> Plan {
    let (job, problems) = job::read_with(&files(changes), given);
    let told = said(&problems);
    let plan = facelay::plan::make(
        job.unwrap_or_else(|| panic!("{told:?}")),
        problems,
        &mut |_| (),
    );
    assert!(!plan.problems.has_errors(), "{:?}", said(&plan.problems));
    plan
}

fn workbook(plan: &Plan, name: &str) -> Given {
    let entry = report::ALL.iter().find(|entry| entry.name == name).unwrap();
    let bytes = format::write_xlsx(&(entry.build)(plan), plan.job.order_day, &plan.job.locale);
    (format!("{name}.xlsx"), bytes.unwrap())
}

/// What is written into the workbooks of one plan stands in those of the next, and a workbook nobody wrote in changes nothing.
#[test]
fn workbooks_carry_on_what_was_written() {
    let empty = plan(&[], &[]);
    let given = ["purchase-list", "labour-schedule"].map(|name| workbook(&empty, name));
    let again = plan(&[], &given);
    assert_eq!(again.schedule, empty.schedule);
    assert_eq!(again.purchase, empty.purchase);

    let whole = [Some((2026, 11, 20)), Some((2026, 12, 3)), None];
    let given = [
        order_sheet("list.xlsx", whole),
        csv(
            "progress.csv",
            "panel,step,done,finished,at,actual hours\nN1,marks,yes,2026-12-01,11:00,1.5\n",
        ),
    ];
    let today = [("unit = \"mm\"", "unit = \"mm\"\ntoday = 2026-12-02")];
    let first = plan(&today, &given);
    let given = ["purchase-list", "labour-schedule"].map(|name| workbook(&first, name));
    let second = plan(&today, &given);
    assert_eq!(second.schedule, first.schedule);
    assert_eq!(second.purchase, first.purchase);
    assert_eq!(second.job.received.len(), first.job.received.len());
    let hours = |plan: &Plan| {
        plan.job
            .planning
            .progress
            .iter()
            .filter_map(|row| row.hours)
            .sum::<f64>()
    };
    assert!((hours(&second) - 1.5).abs() < 1e-9);
}

#[test]
fn a_locale_sets_mark_paper_currency_and_how_days_are_told() {
    let german = [
        ("decimal = \"point\"", "locale = \"de-DE\""),
        ("currency = \"EUR\"\n", ""),
    ];
    let (job, problems) = job::read(&files(&german));
    let job = job.unwrap_or_else(|| panic!("{:?}", said(&problems)));
    assert_eq!(
        (job.currency.as_str(), job.locale.decimal_comma),
        ("EUR", true)
    );
    let american = [("decimal = \"point\"", "locale = \"en-US\"")];
    let (job, _) = job::read(&files(&american));
    assert_eq!(job.unwrap().paper, job::Paper::Letter);
    let own = [(
        "decimal = \"point\"",
        "decimal = \"point\"\nlocale = \"de-DE\"",
    )];
    let (job, _) = job::read(&files(&own));
    assert!(
        !job.unwrap().locale.decimal_comma,
        "the job's own mark goes before its locale's"
    );

    let plan = plan(&[], &[]);
    let entry = report::ALL
        .iter()
        .find(|entry| entry.name == "buy")
        .unwrap();
    let text =
        |name: &str| format::write_text(&(entry.build)(&plan), &Locale::named(name).unwrap());
    let total = plan.purchase.total.cents().to_string();
    assert!(text("en-GB").contains(&total));
    assert!(text("de-DE").contains(&total.replace('.', ",")));
    for report in [text("de-DE"), text("en-US")] {
        assert!(
            report.lines().all(|line| line.chars().count() <= 80),
            "{report}"
        );
    }
}
