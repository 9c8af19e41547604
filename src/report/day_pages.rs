//! Bars and day sheets as drawings: a page of bars for each stretch of days and panels, and each day with people down and times across.

use jiff::civil::Date;

use crate::plan::Plan;

use super::DaySheet;
use super::Mark;
use super::Stretch;
use super::cut_sheets::page;
use super::cut_sheets::page::BODY;
use super::cut_sheets::page::LEAD;
use super::cut_sheets::page::SMALL;
use super::cut_sheets::page::STRONG;
use super::cut_sheets::page::count;
use super::day_sheets;
use super::days;
use super::figure::Booklet;
use super::figure::Dash;
use super::figure::Figure;
use super::figure::Fill;
use super::figure::Frame;
use super::figure::Path;
use super::figure::Role;
use super::figure::shorten;
use super::figure::wrap;

/// Room for names at the left, in millimetres of paper.
const NAMES: f64 = 34.0;
/// Width of half a day among the bars.
const HALF: f64 = 5.3;
/// Height of a panel's bars.
const BAR: f64 = 5.2;
/// Height of a person's boxes: three lines.
const PERSON: f64 = 12.4;
/// Height of the line of hours or days.
const HEAD: f64 = 9.0;
/// More pages of bars than this would be hung up by nobody; the first days and panels are drawn.
const MOST_BARS: usize = 24;

/// Draws the bars, then each day that has a sheet.
pub fn day_pages(plan: &Plan) -> Booklet {
    let mut pages = bars(plan);
    for day in day_sheets::days(plan) {
        day_page(plan, &day, &mut pages);
    }
    let title = format!("{}: days", plan.job.title);
    page::number_pages(&mut pages, &title);
    Booklet { title, pages }
}

fn bars(plan: &Plan) -> Vec<Figure> {
    let bars = days::bars(plan);
    let legend = format!(
        "{}. Grey: drying. Two cells a working day, before and after noon.",
        days::letters(plan)
    );
    let mut pages = Vec::new();
    let (blank, top) = page::start(plan, true, "Bars", "Bars by half day");
    let body = page::body(&blank, top);
    let words = wrap(&legend, BODY, body.width());
    let room = body.height() - HEAD - LEAD * (count(words.len()) + 1.5);
    let (wide, high) = (
        fitting(body.width() - NAMES, 2.0 * HALF),
        fitting(room, BAR),
    );
    for (from, days) in bars.days.chunks(wide).enumerate() {
        for rows in bars.rows.chunks(high) {
            if pages.len() >= MOST_BARS || days.is_empty() {
                return pages;
            }
            let title = days.first().zip(days.last()).map_or_else(
                || "Bars by half day".to_owned(),
                |(first, last)| {
                    format!(
                        "Bars by half day, {} to {}",
                        first.strftime("%-d %b"),
                        last.strftime("%-d %b %Y")
                    )
                },
            );
            let (mut page, top) = page::start(plan, true, "Bars", &title);
            let body = page::body(&page, top);
            page.shows = format!(
                "Who works on which panel in which half day: {} rows over {} days.",
                rows.len(),
                days.len()
            );
            days_across(&mut page, &body, days, rows.len());
            for (at, (name, marks)) in rows.iter().enumerate() {
                let y = body.top + HEAD + BAR * count(at);
                let marks = marks.iter().skip(2 * wide * from).take(2 * days.len());
                bar(&mut page, (body.left, y), name, marks);
            }
            let low = body.top + HEAD + BAR * count(rows.len()) + LEAD * 0.5;
            page::paragraph(
                &mut page,
                (body.left, low),
                (body.width(), words.len()),
                BODY,
                &legend,
            );
            pages.push(page);
        }
    }
    pages
}

/// How many of a size fit, at least one.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a page holds a few hundred at most, and the number is clamped"
)]
fn fitting(room: f64, size: f64) -> usize {
    (room / size).floor().clamp(1.0, 1_000.0) as usize
}

/// The days over the bars, with a heavier line where a week begins.
fn days_across(page: &mut Figure, body: &Frame, days: &[Date], rows: usize) {
    let bottom = body.top + HEAD + BAR * count(rows);
    let right = body.left + NAMES + 2.0 * HALF * count(days.len());
    let mut week = None;
    for (at, day) in days.iter().enumerate() {
        let x = body.left + NAMES + 2.0 * HALF * count(at);
        let middle = x + HALF;
        page.centre(
            (middle, body.top + 3.6),
            SMALL,
            &day.strftime("%a").to_string(),
        );
        page.centre((middle, body.top + 7.4), SMALL, &short_day(*day));
        let begins = week != Some(day.iso_week_date().week());
        week = Some(day.iso_week_date().week());
        page.line((x, body.top), (x, bottom), if begins { 0.4 } else { 0.1 });
    }
    page.line((right, body.top), (right, bottom), 0.4);
    for row in 0..=rows {
        let y = body.top + HEAD + BAR * count(row);
        page.line((body.left, y), (right, y), 0.1);
    }
}

/// A day as `7/12` would be read two ways, so the month is a word; it is short enough for the column.
fn short_day(day: Date) -> String {
    day.strftime("%-d %b").to_string()
}

fn bar<'a>(
    page: &mut Figure,
    (left, y): (f64, f64),
    name: &str,
    marks: impl Iterator<Item = &'a Mark>,
) {
    let name = shorten(name, BODY, NAMES - 2.0);
    page.write((left, y + 3.7), BODY, Role::Label, &name);
    for (at, mark) in marks.enumerate() {
        let x = left + NAMES + HALF * count(at);
        let cell = Frame {
            left: x,
            top: y,
            right: x + HALF,
            bottom: y + BAR,
        };
        match mark {
            Mark::Idle => {}
            Mark::Drying => page.draw(Path::ring(cell.ring(), 0.1).fill(Fill::Grey)),
            Mark::Work(sign) => {
                page.draw(Path::ring(cell.ring(), 0.3).fill(Fill::White));
                page.centre((x + HALF / 2.0, y + 3.7), STRONG, sign);
            }
        }
    }
}

/// A day: people with their boxes, then the lists, on as many pages as they take.
fn day_page(plan: &Plan, day: &DaySheet, pages: &mut Vec<Figure>) {
    let title = day.day.strftime("%A %-d %B %Y").to_string();
    let mut sheet = Flow::begin(plan, &title);
    sheet.page.shows = format!("What {} people do on {title}.", day.rows.len());
    let fits = fitting(sheet.body.height() - HEAD, PERSON);
    for rows in day.rows.chunks(fits) {
        sheet.room(HEAD + PERSON * count(rows.len()), pages);
        hours_across(&mut sheet, day, rows.len());
        for (name, stretches) in rows {
            person(&mut sheet, day, name, stretches);
        }
    }
    for (heading, lines) in &day.sections {
        // A heading does not stand alone at the foot.
        sheet.y += LEAD * 0.6;
        sheet.room(LEAD * 2.0, pages);
        sheet.y += LEAD;
        let at = (sheet.body.left, sheet.y);
        sheet.page.write(at, STRONG, Role::Words, heading);
        for line in lines {
            for words in wrap(line, BODY, sheet.body.width()) {
                sheet.room(LEAD, pages);
                sheet.y += LEAD;
                let at = (sheet.body.left, sheet.y);
                sheet.page.write(at, BODY, Role::Words, &words);
            }
        }
    }
    pages.push(sheet.page);
}

/// A sheet that goes on over pages.
struct Flow<'a> {
    plan: &'a Plan,
    title: String,
    page: Figure,
    body: Frame,
    /// The last baseline or edge.
    y: f64,
}

impl<'a> Flow<'a> {
    fn begin(plan: &'a Plan, title: &str) -> Self {
        let (page, top) = page::start(plan, true, "Days", title);
        let body = page::body(&page, top);
        Self {
            plan,
            title: title.to_owned(),
            page,
            y: body.top,
            body,
        }
    }

    /// Goes on to the next page where there is not so much room left.
    fn room(&mut self, needed: f64, pages: &mut Vec<Figure>) {
        if self.y + needed <= self.body.bottom || self.y <= self.body.top {
            return;
        }
        let title = self.title.clone();
        let words = if title.ends_with("continued") {
            title
        } else {
            format!("{title}, continued")
        };
        let shows = self.page.shows.clone();
        let mut next = Self::begin(self.plan, &words);
        next.page.shows = shows;
        pages.push(std::mem::replace(self, next).page);
    }

    /// Where a minute of the day stands across the page.
    fn across(&self, day: &DaySheet, minute: u16) -> f64 {
        let (from, to) = (f64::from(day.hours.0), f64::from(day.hours.1));
        let share = (f64::from(minute) - from) / (to - from).max(1.0);
        self.body.left + NAMES + share.clamp(0.0, 1.0) * (self.body.width() - NAMES)
    }
}

/// The hours over the people, with dotted lines down.
fn hours_across(sheet: &mut Flow<'_>, day: &DaySheet, people: usize) {
    let bottom = sheet.y + HEAD + PERSON * count(people);
    for hour in day.hours.0.div_ceil(60)..=day.hours.1 / 60 {
        let x = sheet.across(day, hour * 60);
        let line = Path::line(vec![(x, sheet.y + HEAD - 2.5), (x, bottom)], 0.1);
        sheet.page.draw(line.dash(Dash::Dotted));
        let words = format!("{hour:02}:00");
        let y = sheet.y + HEAD - 3.5;
        if hour * 60 == day.hours.1 {
            sheet.page.write_to((x, y), SMALL, Role::Label, &words);
        } else if hour * 60 == day.hours.0 {
            sheet.page.write((x, y), SMALL, Role::Label, &words);
        } else {
            sheet.page.centre((x, y), SMALL, &words);
        }
    }
    sheet.y += HEAD;
}

fn person(sheet: &mut Flow<'_>, day: &DaySheet, name: &str, stretches: &[Stretch]) {
    let (left, top) = (sheet.body.left, sheet.y);
    for (at, words) in wrap(name, STRONG, NAMES - 2.0).iter().take(2).enumerate() {
        let y = top + 4.4 + LEAD * count(at);
        sheet.page.write((left, y), STRONG, Role::Label, words);
    }
    for stretch in stretches {
        let (from, to) = (
            sheet.across(day, stretch.from),
            sheet.across(day, stretch.to),
        );
        let cell = Frame {
            left: from,
            top: top + 0.6,
            right: to,
            bottom: top + PERSON - 0.6,
        };
        let about = format!(
            "{} {}-{} {}",
            name, stretch.from, stretch.to, stretch.subject
        );
        sheet
            .page
            .draw(Path::ring(cell.ring(), 0.3).fill(Fill::White).about(about));
        in_the_box(&mut sheet.page, &cell, stretch);
    }
    sheet.y += PERSON;
    let right = sheet.body.right;
    sheet.page.line((left, sheet.y), (right, sheet.y), 0.1);
}

/// The panel, and the step in the lines left; what does not fit stands in the list below.
fn in_the_box(page: &mut Figure, cell: &Frame, stretch: &Stretch) {
    const LINE: f64 = 3.5;
    let (x, room) = (cell.left + 0.8, cell.width() - 1.6);
    if room < 2.0 {
        return;
    }
    let subject = shorten(&stretch.subject, STRONG, room);
    page.write((x, cell.top + 3.2), STRONG, Role::Label, &subject);
    let lines = wrap(&stretch.step, SMALL, room);
    let cut = lines.len() > 2;
    for (at, words) in lines.iter().take(2).enumerate() {
        let words = if cut && at == 1 {
            shorten(&format!("{words}…"), SMALL, room)
        } else {
            words.clone()
        };
        let y = cell.top + 3.2 + LINE * count(at + 1);
        page.write((x, y), SMALL, Role::Label, &words);
    }
}
