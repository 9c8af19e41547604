//! The page to HTML: one file that needs nothing else, no scripts, no network.
//!
//! Everything passes through `maud`, which escapes whatever is not marked as markup; only the style sheet and drawings are.

mod derivation;
mod drawing;
mod parts;
mod table;
mod words;

use maud::DOCTYPE;
use maud::Markup;
use maud::PreEscaped;
use maud::html;

use crate::report::Page;
use crate::report::Paper;
use crate::report::Part;

use parts::Writer;
use words::words;

/// Look of the page.
const STYLE: &str = include_str!("page.css");

/// Nothing may be fetched and no script may run, whatever a name holds.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/// Writes the page as one file.
pub fn write_html(page: &Page) -> Vec<u8> {
    let document = html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                link rel="icon" href="data:,";
                title { (words(&page.title)) ": plan" }
                style { (PreEscaped(page_style(page))) }
            }
            body { (page_body(page)) }
        }
    };
    document.into_string().into_bytes()
}

/// The look of a page, for whoever puts its body into a page of their own.
pub fn page_style(page: &Page) -> String {
    let size = match page.paper {
        Paper::A4 => "A4",
        Paper::Letter => "letter",
    };
    // The n-th choice shows the n-th part; what is not chosen is not drawn.
    let shown = |option: usize| {
        format!(
            ".switch>input:nth-of-type({option}):checked~.shown>:nth-child({option}){{display:block}}\n"
        )
    };
    let shown: String = (1..=most_options(page)).map(shown).collect();
    format!("{STYLE}{shown}@page{{size:{size};margin:14mm 12mm}}\n")
}

/// The look without what hangs on a page's own choices and paper.
pub fn plain_style() -> String {
    STYLE.to_owned()
}

/// The page without its document, for whoever puts it into a page of their own.
pub fn page_body(page: &Page) -> Markup {
    let mut writer = Writer::new(&page.anchors, &page.locale);
    html! {
        a.skip href="#answer" { "Skip to the answer" }
        header {
            h1 dir="auto" { (words(&page.title)) }
            @for line in &page.lines { p { (words(line)) } }
            p.printed { "What is folded away is not printed: open it on the screen before printing. The cut sheets print every layer." }
        }
        nav aria-label="On this page" {
            ul {
                @for section in &page.sections {
                    li { a href={ "#" (section.id) } { (section.short) } }
                }
            }
        }
        main {
            @for section in &page.sections {
                section id=(section.id) aria-labelledby={ "h-" (section.id) } {
                    h2 id={ "h-" (section.id) } { (section.title) }
                    @for part in &section.parts { (writer.part(part, 3)) }
                }
            }
        }
    }
}

/// The most that any switch of the page has to choose from.
fn most_options(page: &Page) -> usize {
    fn of(parts: &[Part]) -> usize {
        let each = parts.iter().map(|part| match part {
            Part::Switch(switch) => switch.options.len(),
            Part::Cards(cards) => cards.iter().map(|(_, parts)| of(parts)).max().unwrap_or(0),
            Part::Fold(fold) => of(&fold.parts),
            Part::Heading(_)
            | Part::Note(_)
            | Part::Alarm(_)
            | Part::List(_)
            | Part::Facts(_)
            | Part::Table(_)
            | Part::Shares(..)
            | Part::Bars(_)
            | Part::Drawing(_)
            | Part::How(_) => 0,
        });
        each.max().unwrap_or(0)
    }
    let sections = page.sections.iter().map(|section| of(&section.parts));
    sections.max().unwrap_or(0)
}
