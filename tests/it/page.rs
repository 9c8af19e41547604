//! The page for browsers: everything of the plan is on it, names are text whatever they hold, nothing is fetched, the document is whole.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::OnceLock;

use facelay::format;
use facelay::plan::Plan;
use facelay::report;
use facelay::units::Locale;
use html5gum::Token;
use html5gum::Tokenizer;

/// Elements that have no end.
const VOID: [&str; 6] = ["meta", "link", "br", "input", "hr", "img"];

fn example(change: impl Fn(&str, String) -> String) -> Plan {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/three-panels");
    let mut files = facelay::files::read_job(&folder).unwrap();
    for (name, bytes) in &mut files {
        if let Ok(text) = String::from_utf8(bytes.clone()) {
            *bytes = change(name, text).into_bytes();
        }
    }
    let (job, problems) = facelay::job::read(&files);
    let job = job.unwrap_or_else(|| panic!("{problems:?}"));
    let mut plan = facelay::plan::make(job, problems, &mut |_| {});
    facelay::plan::weigh(&mut plan, &mut |_| {});
    plan
}

fn plain() -> &'static Plan {
    static PLAN: OnceLock<Plan> = OnceLock::new();
    PLAN.get_or_init(|| example(|_, text| text))
}

fn written(plan: &Plan) -> String {
    String::from_utf8(format::write_html(&report::page(plan))).unwrap()
}

/// What a parser of HTML (html5gum, after the living standard) reads back.
#[derive(Default)]
struct Read {
    /// The words between the tags, those of the style sheet left out.
    words: String,
    /// Every attribute: element, name, value.
    attributes: Vec<(String, String, String)>,
    /// Every element.
    elements: Vec<String>,
}

/// Reads a document back; every element that begins has to end, in order.
fn read(page: &str) -> Read {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    let mut read = Read::default();
    let mut open: Vec<String> = Vec::new();
    for token in Tokenizer::new(page) {
        match token.unwrap() {
            Token::StartTag(tag) => {
                let name = text(&tag.name);
                for (key, value) in &tag.attributes {
                    read.attributes.push((name.clone(), text(key), text(value)));
                }
                if !tag.self_closing && !VOID.contains(&name.as_str()) {
                    open.push(name.clone());
                }
                read.elements.push(name);
            }
            Token::EndTag(tag) => {
                let ended = open.pop();
                assert_eq!(ended, Some(text(&tag.name)), "at {}", read.words.len());
                read.words.push(' ');
            }
            Token::String(words) => {
                if open.last().is_none_or(|name| name != "style") {
                    read.words += &text(&words);
                }
            }
            Token::Error(error) => panic!("{error:?}"),
            Token::Comment(_) | Token::Doctype(_) => {}
        }
    }
    assert!(open.is_empty(), "not ended: {open:?}");
    read
}

/// Days and decimals of the same plan in another country's customs, in tables, answers, derivations and drawings alike.
#[test]
fn numbers_and_days_are_written_as_the_locale_has_them() {
    let mut plan = plain().clone();
    plan.job.locale = Locale::named("de-DE").unwrap();
    let german = read(&written(&plan)).words;
    let plainly = read(&written(plain())).words;
    let price = plan.bid.total.cents().to_string();
    let price = facelay::units::grouped(&price);
    for (ours, theirs) in [
        (price.clone(), price.replace('.', ",")),
        ("Mon 2027-01-11".to_owned(), "Mon 11.01.2027".to_owned()),
    ] {
        assert!(plainly.contains(&ours) && !german.contains(&ours), "{ours}");
        assert!(german.contains(&theirs), "{theirs}");
    }
    let words = german.split_whitespace();
    let left: Vec<&str> = words.filter(|word| word.starts_with("2027-")).collect();
    assert_eq!(left, Vec::<&str>::new());
}

#[test]
fn everything_of_the_plan_is_on_it() {
    let plan = plain();
    let read = read(&written(plan));
    let mut wanted: Vec<String> = vec![plan.job.title.clone()];
    wanted.extend(plan.survey.panels.iter().map(|panel| panel.id.clone()));
    wanted.extend(
        plan.rolling
            .drums
            .iter()
            .map(|drum| format!("Drum {}", drum.id)),
    );
    wanted.extend(plan.crating.crates.iter().map(|packed| packed.id.clone()));
    wanted.extend(plan.cautions.iter().map(|caution| caution.text.clone()));
    wanted.extend(plan.problems.iter().map(|problem| problem.text.clone()));
    wanted.extend(plan.bid.lines.iter().map(|line| line.text.clone()));
    for order in &plan.purchase.orders {
        wanted.push(plan.job.catalog.suppliers[&order.supplier].name.clone());
        wanted.push(format!(
            "send by {}",
            order.order_by.strftime("%a %Y-%m-%d")
        ));
        let lines = order.lines.iter();
        wanted.extend(lines.map(|line| plan.material_name(&line.material).to_owned()));
    }
    for words in wanted {
        assert!(read.words.contains(&words), "{words} is not on the page");
    }
}

#[test]
fn every_derivation_stands_on_it_once_and_leads_nowhere_else() {
    let plan = plain();
    let read = read(&written(plan));
    let ids: Vec<&String> = read
        .attributes
        .iter()
        .filter(|(_, name, _)| name == "id")
        .map(|(_, _, id)| id)
        .collect();
    let once: BTreeSet<&String> = ids.iter().copied().collect();
    assert_eq!(ids.len(), once.len(), "an id stands twice");
    let derivations = ids.iter().filter(|id| id.starts_with("how-")).count();
    assert_eq!(derivations, plan.ledger.iter().count());
    for (_, name, value) in &read.attributes {
        let targets: Vec<&str> = match name.as_str() {
            "href" => value.strip_prefix('#').into_iter().collect(),
            "for" | "aria-labelledby" => value.split(' ').collect(),
            _ => Vec::new(),
        };
        for target in targets {
            assert!(
                once.contains(&target.to_owned()),
                "nothing has the id {target}"
            );
        }
    }
}

#[test]
fn totals_are_the_plans() {
    let plan = plain();
    let page = written(plan).replace('\u{202f}', "");
    let (bid, purchase) = (&plan.bid, &plan.purchase);
    let mut sums = vec![
        bid.total,
        bid.subtotal,
        bid.contingency,
        bid.overhead,
        bid.markup,
    ];
    sums.push(purchase.total);
    sums.extend(purchase.orders.iter().map(|order| order.total));
    sums.extend(bid.lines.iter().map(|line| line.amount));
    for sum in sums {
        let sum = sum.cents().to_string();
        let amount = format!(">{:.2}<", sum.parse::<rust_decimal::Decimal>().unwrap());
        let amount = amount.trim_matches(['<', '>']);
        assert!(page.contains(amount), "{amount} is not on the page");
    }
}

#[test]
fn nothing_is_fetched_and_nothing_runs() {
    let page = written(plain());
    for banned in [
        "http:",
        "https:",
        "//",
        " src=",
        "url(",
        "@import",
        "<script",
        "javascript:",
        " on",
    ] {
        // `on` as a word is fine, as the beginning of an attribute it is not.
        let found = match banned {
            " on" => {
                page.contains(" onclick=")
                    || page.contains(" onload=")
                    || page.contains(" onerror=")
            }
            "//" => page.contains("\"//"),
            _ => page.contains(banned),
        };
        assert!(!found, "the page holds {banned}");
    }
    assert!(page.contains("default-src 'none'"));
    let read = read(&page);
    for element in &read.elements {
        let banned = [
            "script", "iframe", "img", "object", "embed", "form", "base", "video", "audio",
        ];
        assert!(!banned.contains(&element.as_str()), "{element}");
    }
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    assert_eq!(written(plain()), written(plain()));
}

#[test]
fn headings_go_down_by_one_and_tables_say_what_they_are() {
    let read = read(&written(plain()));
    let mut level = 0;
    for heading in read
        .elements
        .iter()
        .filter_map(|name| name.strip_prefix('h')?.parse::<u8>().ok())
    {
        assert!(heading <= level + 1, "h{heading} after h{level}");
        level = heading;
    }
    let count = |wanted: &str| read.elements.iter().filter(|name| *name == wanted).count();
    assert_eq!(count("h1"), 1);
    assert_eq!(count("table"), count("caption"));
    assert_eq!(count("svg"), count("desc"));
    let cells = read
        .attributes
        .iter()
        .filter(|(element, _, _)| element == "th");
    assert_eq!(
        cells.filter(|(_, name, _)| name == "scope").count(),
        count("th")
    );
}

/// Names that try to be something else: markup, an attribute's end, a formula, emoji, right-to-left, 300 characters.
const NASTY: [&str; 6] = [
    "<script>alert(1)</script>",
    "\" onmouseover='x' <b>&amp;",
    "=HYPERLINK(1)",
    "🎨 ‏קיר צפוני‏",
    "-1+1@SUM(A1)",
    "لوحة \u{202e}txet",
];

#[test]
fn names_are_text_whatever_they_hold() {
    let long = "x".repeat(300);
    let quoted = |name: &str| format!("\"{}\"", name.replace('"', "\"\""));
    let plan = example(|file, text| match file {
        "panels.csv" => text
            .replace(
                "R1,chimney wall",
                &format!("{},{}", quoted(NASTY[0]), quoted(NASTY[1])),
            )
            .replace(
                "R2,window wall",
                &format!("{},{}", quoted(NASTY[2]), quoted(NASTY[3])),
            )
            .replace(
                "R3,door wall",
                &format!("{},{}", quoted(NASTY[5]), quoted(&long)),
            )
            .replace("test patch made 2026-11-18", &quoted(NASTY[4])),
        "job.toml" => text.replace(
            "title = \"Harbour reading room, three panels\"",
            &format!("title = '''{} {}'''", NASTY[0], NASTY[1]),
        ),
        _ => text,
    });
    let page = written(&plan);
    let read = read(&page);
    for name in NASTY.into_iter().chain([long.as_str()]) {
        assert!(
            read.words.contains(name),
            "{name} is not on the page as text"
        );
    }
    let scripts = read
        .elements
        .iter()
        .filter(|name| *name == "script" || *name == "b");
    let bold = read.elements.iter().filter(|name| *name == "b").count();
    assert_eq!(scripts.count(), bold, "a name became an element");
    assert!(
        !read
            .attributes
            .iter()
            .any(|(_, name, _)| name == "onmouseover")
    );
    // What steers the direction of writing stands in an element that ends its effect.
    for (at, _) in page.match_indices('\u{202e}') {
        let before = &page[..at];
        let kept = before.rfind("<bdi>") > before.rfind("</bdi>");
        let drawn = before.rfind("<svg") > before.rfind("</svg>");
        let attribute = before.rfind('<') > before.rfind('>');
        assert!(kept || drawn || attribute, "at {at}");
    }
}
