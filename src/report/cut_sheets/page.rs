//! What all pages share: paper, heading, paragraphs, scale, footer.

use crate::job::Paper;
use crate::plan::Plan;
use crate::report::figure::Figure;
use crate::report::figure::Fill;
use crate::report::figure::Frame;
use crate::report::figure::Path;
use crate::report::figure::Role;
use crate::report::figure::Type;
use crate::report::figure::shorten;
use crate::report::figure::text_width;
use crate::report::figure::wrap;
use crate::units::Length;
use crate::units::show_length;

/// White edge of the paper in millimetres.
pub(in crate::report) const EDGE: f64 = 12.0;
/// Type of ordinary words, 8½ points.
pub(in crate::report) const BODY: Type = Type::plain(3.0);
/// Type of words that have to stand out.
pub(in crate::report) const STRONG: Type = Type::bold(3.0);
/// The smallest type: a little over 8 points.
pub(in crate::report) const SMALL: Type = Type::plain(2.85);
/// Distance of lines of ordinary words.
pub(in crate::report) const LEAD: f64 = 4.2;
/// Under this y nothing stands but the footer.
const FOOT: f64 = 8.0;

/// A count as a number to draw with.
pub(in crate::report) fn count(number: usize) -> f64 {
    u32::try_from(number).map_or(f64::from(u32::MAX), f64::from)
}

/// A length in the job's unit.
pub(in crate::report) fn shown(plan: &Plan, length: Length) -> String {
    show_length(length, plan.job.unit)
}

/// Two lengths in the job's unit, which is written once where it is metric.
pub(in crate::report) fn pair(plan: &Plan, a: Length, b: Length) -> String {
    let (first, second) = (shown(plan, a), shown(plan, b));
    match first.split_once(' ') {
        Some((number, _)) if !plan.job.unit.is_imperial() => format!("{number} × {second}"),
        _ => format!("{first} × {second}"),
    }
}

/// A page with its heading, and where its body begins.
pub(in crate::report) fn start(plan: &Plan, wide: bool, group: &str, title: &str) -> (Figure, f64) {
    let (short, long) = match plan.job.paper {
        Paper::A4 => (210.0, 297.0),
        Paper::Letter => (215.9, 279.4),
    };
    let size = if wide { (long, short) } else { (short, long) };
    let mut page = Figure::new(size, group, title);
    let room = page.width - 2.0 * EDGE;
    let fit = room / text_width(title, 1.0, true).max(1.0);
    let face = Type::bold(fit.clamp(4.0, 6.5));
    let words = shorten(title, face, room);
    page.write((EDGE, EDGE + 5.0), face, Role::Heading, &words);
    let right = page.width - EDGE;
    page.line((EDGE, EDGE + 7.5), (right, EDGE + 7.5), 0.5);
    (page, EDGE + 8.5)
}

/// The part of a page under `top` that its body may take.
pub(in crate::report) fn body(page: &Figure, top: f64) -> Frame {
    Frame {
        left: EDGE,
        top,
        right: page.width - EDGE,
        bottom: page.height - EDGE - FOOT + 4.0,
    }
}

/// Writes words in lines from a baseline a line below `y`, no more than so many; returns the `y` of the last line.
pub(in crate::report) fn paragraph(
    page: &mut Figure,
    (x, mut y): (f64, f64),
    (width, most): (f64, usize),
    face: Type,
    words: &str,
) -> f64 {
    let lines = wrap(words, face, width);
    let cut = lines.len() > most;
    for (at, line) in lines.iter().take(most).enumerate() {
        y += LEAD;
        if cut && at + 1 == most {
            let line = shorten(&format!("{line} …"), face, width);
            page.write((x, y), face, Role::Words, &line);
        } else {
            page.write((x, y), face, Role::Words, line);
        }
    }
    y
}

/// Writes the job's title and the number of each page at its foot.
pub(in crate::report) fn number_pages(pages: &mut [Figure], title: &str) {
    let all = pages.len();
    for (number, page) in (1_usize..).zip(pages) {
        let (low, right) = (page.height - EDGE + 3.0, page.width - EDGE);
        let words = format!("page {number} of {all}");
        let room = page.width - 2.0 * EDGE - text_width(&words, SMALL.size, false) - 6.0;
        let title = shorten(title, SMALL, room);
        page.write((EDGE, low), SMALL, Role::Words, &title);
        page.write_to((right, low), SMALL, Role::Words, &words);
    }
}

/// How many times smaller something is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::report) struct Scale(pub(in crate::report) f64);

/// Scales that a metric rule or a calculator in the head can follow.
const METRIC: &[f64] = &[
    1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 125.0, 150.0, 200.0,
    250.0, 300.0, 400.0, 500.0, 750.0, 1000.0,
];
/// Scales of so many parts of an inch to the foot.
const FEET: &[f64] = &[
    1.0, 2.0, 4.0, 8.0, 12.0, 16.0, 24.0, 32.0, 48.0, 64.0, 96.0, 192.0, 240.0, 480.0, 960.0,
];

impl Scale {
    /// The largest drawing of so many millimetres that fits so many on paper.
    pub(in crate::report) fn fitting(
        plan: &Plan,
        (wide, high): (f64, f64),
        room: (f64, f64),
    ) -> Self {
        let least = (wide / room.0.max(1.0)).max(high / room.1.max(1.0));
        let known = if plan.job.unit.is_imperial() {
            FEET
        } else {
            METRIC
        };
        let found = known.iter().find(|scale| **scale >= least - 1e-9);
        Self(found.copied().unwrap_or_else(|| least.ceil()))
    }

    /// The largest drawing of so many millimetres that fits so many on paper, at whatever scale.
    pub(super) fn filling((wide, high): (f64, f64), room: (f64, f64)) -> Self {
        Self(
            (wide / room.0.max(1.0))
                .max(high / room.1.max(1.0))
                .max(1e-3),
        )
    }

    /// A length on paper in millimetres.
    pub(in crate::report) fn paper(self, length: Length) -> f64 {
        length.to_mm() / self.0
    }

    /// The scale in words.
    pub(in crate::report) fn words(self, plan: &Plan) -> String {
        let ratio = self.0;
        if plan.job.unit.is_imperial() && FEET.contains(&ratio) && (2.0..=192.0).contains(&ratio) {
            let inches = shown(plan, Length::inches(12.0 / ratio));
            format!("scale 1:{ratio:.0} ({inches} = 1 ft)")
        } else {
            format!("scale 1:{ratio:.0}")
        }
    }

    /// Draws a bar to measure by, and says the scale beside it; `x` and `y` are its left end.
    pub(in crate::report) fn bar(self, plan: &Plan, page: &mut Figure, at: (f64, f64)) {
        self.measured(plan, page, at, &format!(" · {}", self.words(plan)));
    }

    /// Draws a bar to measure by alone, for drawings that are shown at any size.
    pub(super) fn rule(self, plan: &Plan, page: &mut Figure, at: (f64, f64)) {
        self.measured(plan, page, at, "");
    }

    fn measured(self, plan: &Plan, page: &mut Figure, (x, y): (f64, f64), scale: &str) {
        let length = self.bar_length(plan);
        let (long, thick) = (self.paper(length), 1.6);
        for (from, fill) in [(0.0, Fill::Black), (0.5, Fill::White)] {
            let half = Frame {
                left: x + from * long,
                top: y - thick,
                right: x + (from + 0.5) * long,
                bottom: y,
            };
            page.draw(Path::ring(half.ring(), 0.2).fill(fill));
        }
        let words = format!("{}{scale}", shown(plan, length));
        page.write((x + long + 1.5, y), STRONG, Role::Label, &words);
    }

    /// A round length that takes some 25 to 60 mm of paper.
    fn bar_length(self, plan: &Plan) -> Length {
        let steps: &[f64] = if plan.job.unit.is_imperial() {
            &[
                1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 36.0, 60.0, 120.0, 240.0, 600.0,
            ]
        } else {
            &[
                20.0, 50.0, 100.0, 200.0, 500.0, 1e3, 2e3, 5e3, 1e4, 2e4, 5e4,
            ]
        };
        let length = |step: &f64| {
            if plan.job.unit.is_imperial() {
                Length::inches(*step)
            } else {
                Length::mm(*step)
            }
        };
        let mut lengths = steps.iter().map(length);
        let long = |length: &Length| self.paper(*length) >= 20.0;
        let longest = steps.last().map(length);
        lengths.find(long).or(longest).unwrap_or_default()
    }
}
