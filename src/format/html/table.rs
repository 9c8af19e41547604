//! Tables, and bars by half day as a table.

use std::collections::BTreeSet;

use maud::Markup;
use maud::html;

use crate::report::Bars;
use crate::report::Column;
use crate::report::Kind;
use crate::report::Listing;
use crate::report::Mark;
use crate::report::Share;
use crate::report::Value;
use crate::units::Locale;

use super::derivation::opening;
use super::words::cell;
use super::words::words;

/// A table, the derivations that stand on its page, and how its numbers and days are written.
pub(super) struct Shown<'a> {
    pub(super) listing: &'a Listing,
    pub(super) known: &'a BTreeSet<usize>,
    pub(super) locale: &'a Locale,
}

/// A table in a box of its own, which scrolls where the screen is narrow.
///
/// The caption is left to those who hear the page where `named` says that a heading above says the same.
pub(super) fn listing(shown: &Shown<'_>, named: bool) -> Markup {
    let listing = shown.listing;
    let table = &listing.table;
    let wide: Vec<bool> = (0..table.columns.len())
        .map(|at| is_wordy(&table.rows, at))
        .collect();
    html! {
        div.box tabindex="0" role="region" aria-label=(listing.caption) {
            table {
                caption class=[named.then_some("unseen")] { (words(&listing.caption)) }
                thead {
                    tr {
                        @for (column, wide) in table.columns.iter().zip(wide) {
                            th scope="col" class=[class(column.kind).or(wide.then_some("w"))] { (words(&column.heading)) }
                        }
                    }
                }
                tbody {
                    @for (at, row) in table.rows.iter().enumerate() {
                        (row_of(shown, at, row))
                    }
                }
                @if table.has_totals() {
                    tfoot {
                        tr {
                            @for (at, column) in table.columns.iter().enumerate() {
                                (total(shown, at, column))
                            }
                        }
                    }
                }
            }
        }
        @if listing.left_out > 0 {
            p { (listing.left_out) " more rows stand in the workbooks and CSV files; they are part of every total on this page." }
        }
    }
}

/// Whether a column has words that would stand in a tower of single ones.
fn is_wordy(rows: &[Vec<Value>], at: usize) -> bool {
    const LONG: usize = 24;
    rows.iter().any(
        |row| matches!(row.get(at), Some(Value::Text(text)) if text.chars().nth(LONG).is_some()),
    )
}

fn row_of(table: &Shown<'_>, at: usize, row: &[Value]) -> Markup {
    let listing = table.listing;
    let how = listing.how.get(at).and_then(Option::as_ref);
    let cells = row.iter().zip(&listing.table.columns).enumerate();
    html! {
        tr {
            @for (place, (value, column)) in cells {
                @let shown = words(&localised(value, column.kind, table.locale));
                @let class = class_of(value, column.kind);
                @let shown = if place == listing.opens { opening(&shown, how, table.known) } else { shown };
                @if place == 0 {
                    th scope="row" class=[class] { (shown) }
                } @else {
                    td class=[class] { (shown) }
                }
            }
        }
    }
}

/// A cell as the locale has it; words have been localised with the page's.
fn localised(value: &Value, kind: Kind, locale: &Locale) -> String {
    let shown = cell(value, kind);
    match value {
        Value::Text(_) | Value::Empty => shown,
        Value::Number(_)
        | Value::Decimal(_)
        | Value::Formula(..)
        | Value::Day(_)
        | Value::Time(_) => locale.words(&shown),
    }
}

fn total(table: &Shown<'_>, at: usize, column: &Column) -> Markup {
    let sum = Value::Decimal(table.listing.table.total(at));
    let sum = localised(&sum, column.kind, table.locale);
    match (column.total, at) {
        (true, _) => html! { td class=[class(column.kind)] { (sum) } },
        (false, 0) => html! { th scope="row" { "total" } },
        (false, _) => html! { td {} },
    }
}

/// Numbers stand right, days are not broken.
const fn class(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::Text => None,
        Kind::Day | Kind::Time => Some("d"),
        Kind::Number(_) | Kind::Money | Kind::Percent => Some("n"),
    }
}

/// The same, for words in a column of numbers too.
const fn class_of(value: &Value, kind: Kind) -> Option<&'static str> {
    match value {
        Value::Text(_) | Value::Empty => None,
        Value::Day(_) | Value::Time(_) => Some("d"),
        Value::Number(_) | Value::Decimal(_) | Value::Formula(..) => class(kind),
    }
}

/// Parts of a whole as bars beside their amounts.
pub(super) fn shares(whole: &str, shares: &[Share], locale: &Locale) -> Markup {
    let most = shares.iter().map(|share| share.part).fold(0.001, f64::max);
    html! {
        div.box tabindex="0" role="region" aria-label=(whole) {
            table.shares {
                caption { (words(whole)) }
                thead { tr { th scope="col" { "group" } th.n scope="col" { "amount" } th.n scope="col" { "share" } th scope="col" { span.unseen { "as a bar" } } } }
                tbody {
                    @for share in shares {
                        @let percent = format!("{:.1}", share.part * 100.0);
                        @let long = format!("{:.1}", share.part * 100.0 / most);
                        tr {
                            th scope="row" { (words(&share.name)) }
                            td.n { (share.amount) }
                            td.n { (locale.words(&percent)) " %" }
                            td { span.bar style={ "width:" (long) "%" } {} }
                        }
                    }
                }
            }
        }
    }
}

/// A row a panel or crate, two cells a day.
pub(super) fn bars(bars: &Bars) -> Markup {
    let caption = "Bars by half day: a letter is work, lines are drying";
    html! {
        div.box tabindex="0" role="region" aria-label=(caption) {
            table.days {
                caption { (caption) }
                thead {
                    tr {
                        th scope="col" { (words(&bars.subject)) }
                        @for day in &bars.days {
                            th scope="col" colspan="2" {
                                (day.strftime("%a").to_string()) br; (day.strftime("%-d %b").to_string())
                            }
                        }
                    }
                }
                tbody {
                    @for (name, marks) in &bars.rows {
                        tr {
                            th scope="row" { (words(name)) }
                            @for mark in marks { (half(mark)) }
                        }
                    }
                }
            }
        }
    }
}

fn half(mark: &Mark) -> Markup {
    match mark {
        Mark::Idle => html! { td {} },
        Mark::Drying => html! { td.dry { span.unseen { "drying" } } },
        Mark::Work(sign) => html! { td.work { (words(sign)) } },
    }
}
