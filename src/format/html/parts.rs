//! The parts of a section, each to markup.

use std::collections::BTreeSet;

use maud::Markup;
use maud::html;

use crate::report::Fact;
use crate::report::Part;
use crate::report::Switch;
use crate::units::Locale;

use super::derivation;
use super::drawing::drawing;
use super::table;
use super::words::words;

/// Writes parts and numbers what needs a name of its own.
pub(super) struct Writer<'a> {
    known: &'a BTreeSet<usize>,
    locale: &'a Locale,
    number: usize,
    /// The heading or fold met last: a table of the same name need not say it again to those who see.
    last: String,
}

impl<'a> Writer<'a> {
    pub(super) const fn new(known: &'a BTreeSet<usize>, locale: &'a Locale) -> Self {
        Self {
            known,
            locale,
            number: 0,
            last: String::new(),
        }
    }

    fn next(&mut self) -> usize {
        self.number += 1;
        self.number
    }

    /// A part, its headings of some level.
    pub(super) fn part(&mut self, part: &Part, level: u8) -> Markup {
        match part {
            Part::Heading(text) => {
                self.last.clone_from(text);
                heading(text, level)
            }
            Part::Note(text) => html! { p.note { (words(text)) } },
            Part::Alarm(text) => html! { p.alarm { b { "Attention: " } (words(text)) } },
            Part::List(lines) => html! { ul { @for line in lines { li { (words(line)) } } } },
            Part::Facts(facts) => html! {
                div.facts { @for fact in facts { (self.fact(fact)) } }
            },
            Part::Table(listing) => {
                let shown = table::Shown {
                    listing,
                    known: self.known,
                    locale: self.locale,
                };
                table::listing(&shown, self.last == listing.caption)
            }
            Part::Shares(whole, shares) => table::shares(whole, shares, self.locale),
            Part::Bars(bars) => table::bars(bars),
            Part::Drawing(shown) => drawing(shown, self.next()),
            Part::Switch(switch) => self.switch(switch, level),
            Part::Fold(fold) => {
                self.last.clone_from(&fold.title);
                html! {
                    details.fold {
                        summary { (words(&fold.title)) }
                        div { @for part in &fold.parts { (self.part(part, level)) } }
                    }
                }
            }
            Part::Cards(cards) => html! {
                div.cards {
                    @for (title, parts) in cards {
                        article {
                            (heading(title, level))
                            @for part in parts { (self.part(part, level + 1)) }
                        }
                    }
                }
            },
            Part::How(how) => derivation::alone(how, self.known),
        }
    }

    fn fact(&self, fact: &Fact) -> Markup {
        let value = html! { span.value { (words(&fact.value)) } };
        html! {
            div.fact.alarm[fact.alarm].wide[fact.wide] {
                p.label {
                    @match fact.section {
                        Some(id) => a href={ "#" (id) } { (words(&fact.label)) },
                        None => (words(&fact.label)),
                    }
                }
                (derivation::opening(&value, fact.how.as_ref(), self.known))
                @if !fact.more.is_empty() {
                    ul { @for line in &fact.more { li { (words(line)) } } }
                }
            }
        }
    }

    /// Radio buttons, and the part that the pressed one stands for.
    fn switch(&mut self, switch: &Switch, level: u8) -> Markup {
        let name = self.next();
        html! {
            fieldset.switch {
                legend { (words(&switch.legend)) }
                @for (at, (label, _)) in switch.options.iter().enumerate() {
                    @let id = format!("s{name}-{at}");
                    input type="radio" name={ "s" (name) } id=(id) checked[at == 0];
                    label for=(id) { (words(label)) }
                }
                div.shown {
                    @for (_, parts) in &switch.options {
                        div { @for part in parts { (self.part(part, level)) } }
                    }
                }
            }
        }
    }
}

fn heading(text: &str, level: u8) -> Markup {
    match level {
        ..=3 => html! { h3 dir="auto" { (words(text)) } },
        4 => html! { h4 dir="auto" { (words(text)) } },
        5.. => html! { h5 dir="auto" { (words(text)) } },
    }
}
