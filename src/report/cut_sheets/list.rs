//! Short entries in columns, with pages of their own for those that find no room.

use crate::plan::Plan;
use crate::report::figure::Figure;
use crate::report::figure::Frame;
use crate::report::figure::Role;
use crate::report::figure::text_width;
use crate::report::figure::wrap;

use super::page;
use super::page::BODY;
use super::page::LEAD;
use super::page::count;

/// Between columns.
const GUTTER: f64 = 5.0;

/// Height of so many entries, no more than `most`.
pub(super) fn height(entries: &[String], width: f64, most: f64) -> f64 {
    let (columns, column) = columns(entries, width);
    let lines: usize = entries
        .iter()
        .map(|entry| wrap(entry, BODY, column).len())
        .sum();
    // A column may end before an entry that does not fit whole, hence a line more.
    let tall = lines.div_ceil(columns) + usize::from(columns > 1 && lines > columns);
    (count(tall) * LEAD + 2.0).min(most)
}

/// Writes entries column by column; returns those for which the frame has no room.
pub(super) fn write(page: &mut Figure, at: &Frame, entries: &[String]) -> Vec<String> {
    let (columns, column) = columns(entries, at.width());
    let mut left = entries.iter();
    let mut next = left.next();
    for number in 0..columns {
        let x = at.left + count(number) * (column + GUTTER);
        let mut y = at.top;
        while let Some(entry) = next {
            let lines = wrap(entry, BODY, column);
            let fresh = (y - at.top).abs() < 1e-9;
            if y + count(lines.len()) * LEAD > at.bottom + 1e-6 && !(fresh && tall(&lines, at)) {
                break;
            }
            for line in lines {
                y += LEAD;
                if y <= at.bottom + 1e-6 {
                    page.write((x, y), BODY, Role::Words, &line);
                }
            }
            next = left.next();
        }
    }
    next.into_iter().chain(left).cloned().collect()
}

/// Says whether an entry is higher than any column, so that waiting for room would be in vain.
fn tall(lines: &[String], at: &Frame) -> bool {
    count(lines.len()) * LEAD > at.height() && at.height() > 100.0
}

/// Pages of entries.
pub(super) fn pages(plan: &Plan, group: &str, title: &str, mut rest: Vec<String>) -> Vec<Figure> {
    let mut pages = Vec::new();
    while !rest.is_empty() {
        let (mut page, top) = page::start(plan, false, group, title);
        let at = page::body(&page, top);
        let left = write(&mut page, &at, &rest);
        page.shows = format!("{title}, a list");
        pages.push(page);
        if left.len() >= rest.len() {
            break;
        }
        rest = left;
    }
    pages
}

/// How many columns the entries take, and how wide each is.
fn columns(entries: &[String], width: f64) -> (usize, f64) {
    let longest = entries
        .iter()
        .map(|entry| text_width(entry, BODY.size, false))
        .fold(20.0, f64::max);
    let mut columns = 1;
    while columns < 4 && count(columns + 1) * (longest.min(0.45 * width) + GUTTER) <= width + GUTTER
    {
        columns += 1;
    }
    (columns, (width + GUTTER) / count(columns) - GUTTER)
}
