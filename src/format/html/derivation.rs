//! How a figure came about, behind the figure.

use std::collections::BTreeSet;

use maud::Markup;
use maud::html;

use crate::report::How;
use crate::report::Opening;

use super::words::words;

/// A figure that opens to how it came about, or leads to where that stands.
pub(super) fn opening(figure: &Markup, how: Option<&Opening>, known: &BTreeSet<usize>) -> Markup {
    match how {
        None => html! { (figure) },
        Some(Opening::There(number)) => html! { a href={ "#how-" (number) } { (figure) } },
        Some(Opening::Here(how)) => html! {
            details.how { summary { (figure) } (came_about(how, known, true)) }
        },
    }
}

/// Words that lead to the derivation they come from, if that stands on the page.
fn leading(text: &str, from: Option<usize>) -> Markup {
    match from {
        Some(number) => html! { a href={ "#how-" (number) } { (words(text)) } },
        None => words(text),
    }
}

/// A derivation that stands for itself.
pub(super) fn alone(how: &How, known: &BTreeSet<usize>) -> Markup {
    html! {
        details.how {
            summary { (words(&how.title)) ": " b { (words(&how.result)) } }
            (came_about(how, known, false))
        }
    }
}

/// The derivation, `named` where the figure above it does not say what it is.
fn came_about(how: &How, known: &BTreeSet<usize>, named: bool) -> Markup {
    html! {
        div.came id={ "how-" (how.anchor) } {
            @if named { p { (words(&how.title)) ": " b { (words(&how.result)) } } }
            p { (words(&how.formula)) }
            @if !how.inputs.is_empty() {
                ul {
                    @for (name, value, from) in &how.inputs {
                        @let from = from.filter(|number| known.contains(number));
                        li {
                            @if value.is_empty() {
                                (leading(name, from))
                            } @else {
                                (words(name)) " = " (leading(value, from))
                            }
                        }
                    }
                }
            }
            @if let Some(rounding) = &how.rounding { p { "Rounded: " (words(rounding)) } }
            @if let Some(source) = &how.source { p { "Source: " (words(source)) } }
            p.id { code { (words(&how.id)) } }
        }
    }
}
