//! Where people tick, initial and date what they have laid.

use crate::report::figure::Figure;
use crate::report::figure::Frame;
use crate::report::figure::Path;
use crate::report::figure::Role;
use crate::report::figure::Type;
use crate::report::figure::shorten;

use super::page::SMALL;
use super::page::count;

/// Height of a row to write in with a pencil.
const ROW: f64 = 7.5;
/// More panels than this get empty rows.
const MOST: usize = 12;

/// Height of the rows on a page so wide.
pub(super) fn height(names: &[&str], width: f64) -> f64 {
    let rows = if names.len() <= 1 {
        1
    } else {
        names.len().min(MOST).div_ceil(columns(width))
    };
    count(rows) * ROW
}

fn columns(width: f64) -> usize {
    if width > 220.0 { 3 } else { 2 }
}

/// Writes the rows at the lower end of a frame.
pub(super) fn write(page: &mut Figure, body: &Frame, names: &[&str]) {
    let top = body.bottom - height(names, body.width());
    let columns = columns(body.width());
    let cell = |at: usize| {
        let (row, column) = (at / columns, at % columns);
        let half = body.width() / count(columns);
        Frame {
            left: body.left + count(column) * half,
            top: top + count(row) * ROW,
            right: body.left + count(column + 1) * half - 3.0,
            bottom: top + count(row + 1) * ROW,
        }
    };
    if names.len() <= 1 {
        tick(page, &cell(0), "laid");
        tick(page, &cell(1), "checked");
        return;
    }
    for at in 0..names.len().min(MOST) {
        let named = if names.len() > MOST {
            None
        } else {
            names.get(at)
        };
        tick(page, &cell(at), named.copied().unwrap_or("panel"));
    }
}

/// A box to tick, a name, and lines for initials and day.
fn tick(page: &mut Figure, cell: &Frame, name: &str) {
    let low = cell.bottom - 1.8;
    let square = Frame {
        left: cell.left,
        top: low - 3.6,
        right: cell.left + 3.6,
        bottom: low,
    };
    page.draw(Path::ring(square.ring(), 0.3));
    let width = cell.width();
    let name = shorten(name, Type::bold(3.0), 0.24 * width);
    page.write(
        (cell.left + 5.0, low - 0.6),
        Type::bold(3.0),
        Role::Words,
        &name,
    );
    for (from, to, words) in [(0.32, 0.66, "initials"), (0.68, 1.0, "date")] {
        let (x, end) = (cell.left + from * width, cell.left + to * width);
        page.write((x, low - 0.6), SMALL, Role::Words, words);
        let begin = x + if words == "date" { 8.0 } else { 13.0 };
        page.line((begin, low), (end, low), 0.2);
    }
}
