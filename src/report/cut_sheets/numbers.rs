//! Where the numbers of sheets go: within the sheet where there is room, else beside the drawing with a line to it.

use crate::report::figure::Figure;
use crate::report::figure::Fill;
use crate::report::figure::Frame;
use crate::report::figure::Path;
use crate::report::figure::Role;
use crate::report::figure::Type;
use crate::report::figure::text_width;

use super::page::SMALL;
use super::page::count;

/// Smallest and largest type of a number.
const LEAST: f64 = 2.9;
const MOST: f64 = 6.5;
/// Distance of numbers beside the drawing.
const PITCH: f64 = 3.8;
/// Room for numbers on each side of a drawing that needs them.
pub(super) const SIDE: f64 = 12.0;

/// A sheet to be numbered.
#[derive(Clone, Debug)]
pub(super) struct Numbered {
    /// Where it lies on paper.
    pub(super) frame: Frame,
    /// Its number.
    pub(super) number: String,
    /// Its size in words.
    pub(super) size: String,
}

/// A number within its sheet.
struct Label {
    type_size: f64,
    turned: bool,
    width: f64,
    height: f64,
    with_size: bool,
}

/// Says whether a number finds room within its sheet.
pub(super) fn fits(frame: &Frame, number: &str) -> bool {
    label(frame, number, None).is_some()
}

/// Numbers sheets; `shown` says whether a point of the paper is covered, `taken` what words may not touch. Returns those for which no
/// room was left.
pub(super) fn write<'a>(
    page: &mut Figure,
    sheets: &'a [Numbered],
    room: &Frame,
    mut taken: Vec<Frame>,
    shown: &dyn Fn((f64, f64)) -> bool,
) -> Vec<&'a Numbered> {
    let mut beside = Vec::new();
    for sheet in sheets {
        let with_size = label(&sheet.frame, &sheet.number, Some(&sheet.size));
        let alone = label(&sheet.frame, &sheet.number, None);
        let labels: Vec<Label> = with_size.into_iter().chain(alone).collect();
        let tries = [3, 2, 1]
            .into_iter()
            .flat_map(|how| labels.iter().map(move |label| (how, label)));
        let placed = tries.into_iter().find_map(|(how, label)| {
            let good = |at: (f64, f64)| match how {
                3 => corners(&around(label, at))
                    .into_iter()
                    .chain([at])
                    .all(shown),
                2 => shown(at),
                _ => true,
            };
            Some((label, free(&sheet.frame, label, &taken, &good)?))
        });
        match placed {
            Some((label, at)) => {
                put(page, sheet, label, at);
                taken.push(around(label, at));
            }
            None => beside.push(sheet),
        }
    }
    lead(page, beside, room, &taken)
}

fn corners(frame: &Frame) -> [(f64, f64); 4] {
    [
        (frame.left, frame.top),
        (frame.right, frame.top),
        (frame.right, frame.bottom),
        (frame.left, frame.bottom),
    ]
}

/// The largest way to write a number, with its sheet's size below it where that fits too.
fn label(frame: &Frame, number: &str, size: Option<&str>) -> Option<Label> {
    const AIR: f64 = 0.35;
    let (width, height) = (frame.width() - 2.0 * AIR, frame.height() - 2.0 * AIR);
    let digits = text_width(number, 1.0, true);
    let biggest = |across: f64, up: f64| (0.7 * across / digits).min(0.5 * up).min(MOST);
    let tight = |across: f64, up: f64| (across / digits).min(up / 0.8).min(LEAST);
    if let Some(size) = size {
        let type_size = biggest(width, height - 4.0);
        let words = text_width(size, SMALL.size, false);
        return (type_size >= 3.5 && words + 1.4 <= width).then_some(Label {
            type_size,
            turned: false,
            width: words.max(digits * type_size),
            height: 0.75 * type_size + 4.0,
            with_size: true,
        });
    }
    for turned in [false, true] {
        let (across, up) = if turned {
            (height, width)
        } else {
            (width, height)
        };
        let type_size = biggest(across, up).max(tight(across, up));
        if type_size >= LEAST - 1e-9 {
            let (long, tall) = (digits * type_size, 0.75 * type_size);
            return Some(Label {
                type_size,
                turned,
                width: if turned { tall } else { long },
                height: if turned { long } else { tall },
                with_size: false,
            });
        }
    }
    None
}

/// The place nearest to a sheet's middle where a label touches nothing and which is good for it.
fn free(
    frame: &Frame,
    label: &Label,
    taken: &[Frame],
    good: &dyn Fn((f64, f64)) -> bool,
) -> Option<(f64, f64)> {
    const PLACES: [f64; 7] = [0.5, 0.3, 0.7, 0.15, 0.85, 0.0, 1.0];
    let (free_x, free_y) = (frame.width() - label.width, frame.height() - label.height);
    let mut spots: Vec<(f64, f64)> = PLACES
        .iter()
        .flat_map(|down| PLACES.iter().map(|across| (*across, *down)))
        .collect();
    let off = |(x, y): (f64, f64)| (x - 0.5).abs() + (y - 0.5).abs();
    spots.sort_by(|a, b| off(*a).total_cmp(&off(*b)));
    let mut places = spots.into_iter().map(|(across, down)| {
        (
            frame.left + label.width / 2.0 + free_x * across,
            frame.top + label.height / 2.0 + free_y * down,
        )
    });
    places.find(|at| {
        let here = around(label, *at);
        taken.iter().all(|other| !here.meets(other)) && good(*at)
    })
}

fn around(label: &Label, (x, y): (f64, f64)) -> Frame {
    Frame {
        left: x - label.width / 2.0,
        top: y - label.height / 2.0,
        right: x + label.width / 2.0,
        bottom: y + label.height / 2.0,
    }
}

fn put(page: &mut Figure, sheet: &Numbered, label: &Label, (x, y): (f64, f64)) {
    let face = Type::bold(label.type_size);
    let cap = 0.73 * label.type_size;
    let digits = text_width(&sheet.number, label.type_size, true);
    if label.turned {
        page.clear((x, y), (cap, digits));
        page.turn((x + cap / 2.0, y), face, &sheet.number);
    } else if label.with_size {
        let top = y - label.height / 2.0;
        page.clear((x, top + cap / 2.0), (digits, cap));
        page.centre((x, top + cap), face, &sheet.number);
        let words = text_width(&sheet.size, SMALL.size, false);
        page.clear((x, top + cap + 2.4), (words, 2.2));
        page.centre((x, top + cap + 3.4), SMALL, &sheet.size);
    } else {
        page.clear((x, y), (digits, cap));
        page.centre((x, y + cap / 2.0), face, &sheet.number);
    }
}

/// Writes numbers on both sides of a drawing, each with a line to its sheet; returns those for which a side has no room.
fn lead<'a>(
    page: &mut Figure,
    sheets: Vec<&'a Numbered>,
    room: &Frame,
    taken: &[Frame],
) -> Vec<&'a Numbered> {
    let middle = room.middle().0;
    let (left, right): (Vec<_>, Vec<_>) = sheets
        .into_iter()
        .partition(|sheet| sheet.frame.middle().0 < middle);
    let mut without = column(page, left, (room, taken), false);
    without.extend(column(page, right, (room, taken), true));
    without
}

fn column<'a>(
    page: &mut Figure,
    mut sheets: Vec<&'a Numbered>,
    (room, taken): (&Frame, &[Frame]),
    right: bool,
) -> Vec<&'a Numbered> {
    sheets.sort_by(|a, b| a.frame.middle().1.total_cmp(&b.frame.middle().1));
    let mut capacity = 0;
    while count(capacity + 1) * PITCH <= room.height() {
        capacity += 1;
    }
    let mut without = sheets.split_off(sheets.len().min(capacity));
    let mut lines: Vec<f64> = Vec::new();
    for sheet in &sheets {
        let wanted = sheet.frame.middle().1.max(room.top + PITCH);
        lines.push(lines.last().map_or(wanted, |last| wanted.max(last + PITCH)));
    }
    let mut low = room.bottom;
    for line in lines.iter_mut().rev() {
        *line = line.min(low);
        low = *line - PITCH;
    }
    for (sheet, line) in sheets.iter().zip(lines) {
        let (x, y) = sheet.frame.middle();
        let face = Type::bold(LEAST);
        let long = text_width(&sheet.number, face.size, face.bold);
        let (from, to) = if right {
            (room.right - SIDE + 2.0, room.right - SIDE + 2.6)
        } else {
            (room.left + SIDE - 2.0, room.left + SIDE - 2.6 - long)
        };
        let label = Frame {
            left: to,
            top: line - 0.76 * face.size,
            right: to + long,
            bottom: line,
        };
        if taken.iter().any(|other| other.meets(&label)) {
            without.push(*sheet);
            continue;
        }
        page.draw(Path::line(vec![(from, line - 1.0), (x, y)], 0.12));
        page.draw(Path::circle((x, y), 0.35, 0.0).fill(Fill::Black));
        page.write((to, line), face, Role::Label, &sheet.number);
    }
    without
}
