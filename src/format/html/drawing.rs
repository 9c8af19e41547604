//! A drawing within the page, with what it shows in words.

use maud::Markup;
use maud::PreEscaped;
use maud::html;

use crate::report::Drawing;

use super::words::words;
use crate::format::svg::inline_svg;

/// A drawing with its caption; `number` makes its ids unique.
pub(super) fn drawing(drawing: &Drawing, number: usize) -> Markup {
    html! {
        figure {
            (PreEscaped(inline_svg(&drawing.figure, number)))
            @if !drawing.caption.is_empty() { figcaption { (words(&drawing.caption)) } }
        }
    }
}
