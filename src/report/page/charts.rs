//! Charts of the page: orders over the days, odds of the cost.

use jiff::civil::Date;
use rust_decimal::prelude::ToPrimitive;

use crate::bid::LEVELS;
use crate::bid::Odds;
use crate::plan::Plan;
use crate::report::Dash;
use crate::report::Figure;
use crate::report::Fill;
use crate::report::Frame;
use crate::report::Path;
use crate::report::Role;
use crate::report::Type;
use crate::report::figure::shorten;
use crate::report::figure::text_width;
use crate::report::orders;
use crate::units::Money;

use super::Drawing;
use super::answer::day;
use super::parts;

/// Width of a chart: words keep a readable size on a telephone.
const WIDTH: f64 = 112.0;
const FACE: Type = Type::plain(3.0);
const STRONG: Type = Type::bold(3.0);
/// Orders drawn; more would be a wall.
const MOST_ORDERS: usize = 24;

/// When each order is sent, may be there, and is needed; none without orders.
pub(super) fn deliveries(plan: &Plan) -> Option<Drawing> {
    let all = &plan.purchase.orders;
    let shown = all.iter().take(MOST_ORDERS);
    let needs: Vec<Date> = shown
        .clone()
        .map(|order| {
            let needed = order.lines.iter().map(|line| line.need_by);
            needed.min().unwrap_or(order.arrives)
        })
        .collect();
    let from = shown
        .clone()
        .map(|order| order.order_by)
        .chain([plan.job.order_day])
        .min()?;
    let last = shown
        .clone()
        .map(|order| order.arrives)
        .chain(needs.iter().copied());
    let axis = Axis::new(from, last.chain([plan.job.first_day]).max()?);
    let high = 9.0 + 9.5 * f64::from(u32::try_from(needs.len()).unwrap_or(0));
    let mut page = Figure::new((WIDTH, high + 12.0), "Orders", "Orders over the days");
    axis.draw(&mut page, high);
    let first = axis.at(plan.job.first_day);
    page.draw(Path::line(vec![(first, 5.5), (first, high)], 0.3).dash(Dash::Dashed));
    let mut told = Vec::new();
    for (at, (order, need)) in (0_u32..).zip(shown.zip(&needs)) {
        let y = 12.5 + 9.5 * f64::from(at);
        let name = format!("{}. {}", at + 1, orders::supplier(plan, order));
        told.push(format!(
            "{name}: send by {}, needed {}",
            day(order.order_by),
            day(*need)
        ));
        let words = shorten(&name, STRONG, WIDTH - 4.0);
        let (sent, needed) = (axis.at(order.order_by), axis.at(*need));
        // Behind the words nothing else stands, so that lines of weeks do not cross them.
        let half = text_width(&words, STRONG.size, true) / 2.0;
        page.clear((1.0 + half, y - 1.0), (2.0 * half + 1.0, 3.6));
        page.write((1.0, y), STRONG, Role::Label, &words);
        let y = y + 3.2;
        page.line((axis.at(plan.job.order_day), y), (sent, y), 0.2);
        page.draw(Path::line(vec![(sent, y), (needed, y)], 1.3));
        let arrives = axis.at(order.arrives);
        page.draw(Path::circle((arrives, y), 1.1, 0.3).fill(Fill::White));
        page.draw(
            square((sent, y), 1.5)
                .fill(Fill::Black)
                .about(format!("send by {}", day(order.order_by))),
        );
        page.draw(Path::line(vec![(needed, y - 2.0), (needed, y + 2.0)], 0.7));
    }
    legend(&mut page, high);
    page.shows = told.join("; ");
    Some(Drawing {
        caption: format!(
            "Orders over the days. Dashed: first working day, {}. A ring: there, if it is sent on {}.",
            day(plan.job.first_day),
            day(plan.job.order_day)
        ),
        figure: page,
    })
}

fn square((x, y): (f64, f64), half: f64) -> Path {
    let frame = Frame {
        left: x - half,
        top: y - half,
        right: x + half,
        bottom: y + half,
    };
    Path::ring(frame.ring(), 0.0)
}

fn legend(page: &mut Figure, high: f64) {
    let y = high + 9.0;
    page.draw(square((2.0, y - 1.0), 1.5).fill(Fill::Black));
    page.write((5.0, y), FACE, Role::Label, "send by");
    page.draw(Path::circle((25.0, y - 1.0), 1.1, 0.3).fill(Fill::White));
    page.write((28.0, y), FACE, Role::Label, "soonest there");
    page.draw(Path::line(vec![(58.0, y - 3.0), (58.0, y + 1.0)], 0.7));
    page.write((60.5, y), FACE, Role::Label, "must lie ready");
}

/// Days along the foot of a chart.
struct Axis {
    from: Date,
    days: f64,
}

impl Axis {
    fn new(from: Date, to: Date) -> Self {
        Self {
            from,
            days: f64::from((to - from).get_days()).max(1.0),
        }
    }

    fn at(&self, day: Date) -> f64 {
        let days = f64::from((day - self.from).get_days());
        4.0 + (WIDTH - 8.0) * (days / self.days).clamp(0.0, 1.0)
    }

    /// A line every week, or every so many that their dates keep apart.
    fn draw(&self, page: &mut Figure, high: f64) {
        let weeks = (self.days / 7.0).ceil();
        let each = (weeks / 7.0).ceil().max(1.0);
        let mut week = 0.0;
        while week * 7.0 <= self.days {
            let x = 4.0 + (WIDTH - 8.0) * week * 7.0 / self.days;
            page.draw(Path::line(vec![(x, 5.5), (x, high)], 0.1).dash(Dash::Dotted));
            #[allow(clippy::cast_possible_truncation, reason = "weeks of a job are few")]
            let at = self
                .from
                .saturating_add(jiff::Span::new().weeks(week as i32));
            let words = at.strftime("%-d %b").to_string();
            let half = text_width(&words, FACE.size, false) / 2.0;
            page.centre((x.clamp(half, WIDTH - half), 4.0), FACE, &words);
            week += each;
        }
        page.line((4.0, 5.5), (WIDTH - 4.0, 5.5), 0.25);
    }
}

/// How often a cost is drawn, with the share of draws at or below it.
pub(super) fn odds(plan: &Plan, odds: &Odds) -> Option<Drawing> {
    const HIGH: f64 = 44.0;
    const TOP: f64 = 12.0;
    let number = |money: Money| money.amount().to_f64().unwrap_or(0.0);
    let (first, last) = odds.classes.first().zip(odds.classes.last())?;
    let (least, most) = (number(first.from), number(last.to));
    let highest = odds.classes.iter().map(|class| class.count).max()?;
    let (left, right) = (2.0, WIDTH - 10.0);
    let x = |money: f64| {
        left + (right - left) * ((money - least) / (most - least).max(0.01)).clamp(0.0, 1.0)
    };
    let low = TOP + HIGH;
    let mut page = Figure::new(
        (WIDTH, low + 12.0),
        "Odds",
        "Odds of the sum of the cost lines",
    );
    for class in &odds.classes {
        let bar = Frame {
            left: x(number(class.from)),
            top: low - HIGH * f64::from(class.count) / f64::from(highest.max(1)),
            right: x(number(class.to)),
            bottom: low,
        };
        let about = format!(
            "{} to {}: {} draws",
            parts::money(class.from),
            parts::money(class.to),
            class.count
        );
        page.draw(Path::ring(bar.ring(), 0.2).fill(Fill::Grey).about(about));
    }
    let curve = odds.classes.iter();
    let curve = curve.map(|class| (x(number(class.to)), low - HIGH * class.up_to));
    page.draw(Path::line(
        std::iter::once((x(least), low)).chain(curve).collect(),
        0.6,
    ));
    page.line((left, low), (right, low), 0.3);
    for (share, words) in [(0.0, "0 %"), (0.5, "50 %"), (1.0, "100 %")] {
        let y = low - HIGH * share;
        page.draw(Path::line(vec![(left, y), (right, y)], 0.1).dash(Dash::Dotted));
        page.write((right + 0.8, y + 1.0), Type::plain(2.6), Role::Label, words);
    }
    levels(&mut page, odds, &x, (TOP, low));
    page.shows = told(odds);
    Some(Drawing {
        caption: format!(
            "Sum of the cost lines in {} draws, in {}. Grey: how often; line: share of draws at or below. Dashed: what so many of 100 draws \
             stay at or below.",
            odds.draws, plan.job.currency
        ),
        figure: page,
    })
}

/// The levels as lines with their names above and, where there is room, their costs below.
fn levels(page: &mut Figure, odds: &Odds, x: &dyn Fn(f64) -> f64, (top, low): (f64, f64)) {
    let (mut named, mut priced) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for (level, cost) in LEVELS.iter().zip(&odds.cost) {
        let at = x(cost.value.amount().to_f64().unwrap_or(0.0));
        page.draw(Path::line(vec![(at, top - 3.0), (at, low + 2.0)], 0.25).dash(Dash::Dashed));
        let name = format!("{level} of 100");
        let half = text_width(&name, 2.6, false) / 2.0;
        let up = if at - half < named + 1.0 {
            top - 7.5
        } else {
            top - 4.0
        };
        page.centre((at, up), Type::plain(2.6), &name);
        if up > top - 5.0 {
            named = at + half;
        }
        let words = parts::money(cost.value);
        let half = text_width(&words, 2.6, false) / 2.0;
        let down = if at - half < priced + 1.0 {
            low + 9.5
        } else {
            low + 5.5
        };
        page.centre((at, down), Type::plain(2.6), &words);
        if down < low + 6.0 {
            priced = at + half;
        }
    }
}

fn told(odds: &Odds) -> String {
    let levels = LEVELS.iter().zip(&odds.cost);
    let levels = levels.map(|(level, cost)| {
        format!(
            "{level} of 100 draws cost at most {}",
            parts::money(cost.value)
        )
    });
    levels.collect::<Vec<_>>().join("; ")
}
