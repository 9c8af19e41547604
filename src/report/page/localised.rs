//! Numbers and days within the page's words, as the job's locale has them; cells of tables are written by the format.

use crate::report::Value;
use crate::units::Locale;

use super::How;
use super::Listing;
use super::Opening;
use super::Page;
use super::Part;

impl Page {
    /// The page in the customs of its locale.
    pub(super) fn localised(mut self) -> Self {
        let locale = self.locale;
        if locale != Locale::PLAIN {
            for section in &mut self.sections {
                each(&mut section.parts, &locale);
            }
        }
        self
    }
}

fn each(parts: &mut [Part], locale: &Locale) {
    for part in parts {
        of_part(part, locale);
    }
}

fn said(text: &mut String, locale: &Locale) {
    *text = locale.words(text);
}

fn of_part(part: &mut Part, locale: &Locale) {
    match part {
        Part::Heading(text) | Part::Note(text) | Part::Alarm(text) => said(text, locale),
        Part::List(lines) => lines.iter_mut().for_each(|line| said(line, locale)),
        Part::Facts(facts) => {
            for fact in facts {
                said(&mut fact.label, locale);
                said(&mut fact.value, locale);
                fact.more.iter_mut().for_each(|line| said(line, locale));
                opened(&mut fact.how, locale);
            }
        }
        Part::Table(listing) => of_table(listing, locale),
        Part::Shares(whole, shares) => {
            said(whole, locale);
            for share in shares {
                said(&mut share.name, locale);
                said(&mut share.amount, locale);
            }
        }
        Part::Bars(_) => {}
        Part::Drawing(drawing) => {
            said(&mut drawing.caption, locale);
            drawing.figure.localise(locale);
        }
        Part::Switch(switch) => {
            said(&mut switch.legend, locale);
            for (label, parts) in &mut switch.options {
                said(label, locale);
                each(parts, locale);
            }
        }
        Part::Fold(fold) => {
            said(&mut fold.title, locale);
            each(&mut fold.parts, locale);
        }
        Part::Cards(cards) => cards.iter_mut().for_each(|(_, parts)| each(parts, locale)),
        Part::How(how) => derivation(how, locale),
    }
}

fn of_table(listing: &mut Listing, locale: &Locale) {
    said(&mut listing.caption, locale);
    for value in listing.table.rows.iter_mut().flatten() {
        if let Value::Text(text) = value {
            said(text, locale);
        }
    }
    for how in &mut listing.how {
        opened(how, locale);
    }
}

fn opened(how: &mut Option<Opening>, locale: &Locale) {
    if let Some(Opening::Here(how)) = how {
        derivation(how, locale);
    }
}

/// The id is typed as it stands, and a source is cited as it was published.
fn derivation(how: &mut How, locale: &Locale) {
    said(&mut how.title, locale);
    said(&mut how.result, locale);
    said(&mut how.formula, locale);
    for (name, value, _) in &mut how.inputs {
        said(name, locale);
        said(value, locale);
    }
    if let Some(rounding) = &mut how.rounding {
        said(rounding, locale);
    }
}
