//! A page a crate: three views with dimensions, what lies in it, what to mark on it, which ways it passes.

use crate::crating::Contents;
use crate::crating::Crate;
use crate::plan::Plan;
use crate::report::figure::Dash;
use crate::report::figure::Figure;
use crate::report::figure::Fill;
use crate::report::figure::Frame;
use crate::report::figure::Path;
use crate::report::figure::Role;
use crate::report::figure::Type;
use crate::units::Length;

use super::page;
use super::page::BODY;
use super::page::SMALL;
use super::page::STRONG;
use super::page::Scale;
use super::page::count;
use super::page::paragraph;
use super::page::shown;

/// The page of a crate.
pub(super) fn page(plan: &Plan, packed: &Crate) -> Figure {
    let title = format!("Crate {}", packed.id);
    let (mut page, top) = page::start(plan, false, "Crates", &title);
    let body = page::body(&page, top);
    let mut y = top;
    for words in facts(plan, packed) {
        y = paragraph(&mut page, (body.left, y), (body.width(), 4), BODY, &words);
    }
    let views = Frame {
        top: y + 4.0,
        bottom: y + 130.0,
        ..body
    };
    let low = draw(plan, &mut page, packed, &views);
    let low = ways_out(plan, &mut page, packed, (low, &body));
    marking(plan, &mut page, packed, (low, &body));
    page.shows = format!(
        "crate {} from the side, from the end and from above",
        packed.id
    );
    page
}

fn facts(plan: &Plan, packed: &Crate) -> Vec<String> {
    let (drums, flats) = plan.contents_of(packed);
    let holds = match (drums.as_slice(), flats.as_slice()) {
        (drums, []) => format!("drum {}", drums.join(", ")),
        (_, flats) => format!("flat on a support board: {}", flats.join(", ")),
    };
    let carried = packed.carriers.map_or_else(
        || "too heavy to carry by hand: lifting gear".to_owned(),
        |people| format!("carried by {people} people on flat ground"),
    );
    vec![
        format!(
            "Holds {holds}. Crate {:.0} kg, with contents {:.0} kg, charged as {:.0} kg; {carried}.",
            packed.tare.to_kg(),
            packed.gross.to_kg(),
            packed.charged.to_kg()
        ),
        "Caution: masses are estimates: weigh before lifting; a competent person plans every lift. Keep people clear of suspended loads."
            .to_owned(),
    ]
}

/// Draws the three views; returns where they end.
fn draw(plan: &Plan, page: &mut Figure, packed: &Crate, room: &Frame) -> f64 {
    const APART: f64 = 16.0;
    let [long, wide, high] = packed.outside;
    let across = room.width() - 16.0 - APART;
    let up = room.height() - 14.0 - APART;
    let scale = Scale::fitting(
        plan,
        ((long + wide).to_mm(), (high + wide).to_mm()),
        (across, up),
    );
    let left = room.left + 8.0;
    let top = room.top + 12.0;
    let right = left + scale.paper(long) + APART;
    let below = top + scale.paper(high) + APART;
    let side = View {
        at: (left, top),
        scale,
    };
    let end = View {
        at: (right, top),
        scale,
    };
    let above = View {
        at: (left, below),
        scale,
    };
    let [inside_long, inside_wide, inside_high] = packed.inside;
    side.boxes(page, (long, high), (inside_long, inside_high), "side");
    end.boxes(page, (wide, high), (inside_wide, inside_high), "end");
    above.boxes(page, (long, wide), (inside_long, inside_wide), "above");
    contents(plan, page, packed, (&side, &end, &above));
    for (view, words) in [
        (&side, "From the side"),
        (&end, "From the end"),
        (&above, "From above"),
    ] {
        page.write((view.at.0, view.at.1 - 7.5), STRONG, Role::Label, words);
    }
    dimensions(plan, page, packed, (&side, &end, &above));
    let low = below + scale.paper(wide) + 12.0;
    scale.bar(plan, page, (room.left, low));
    low
}

/// A view of the crate.
struct View {
    at: (f64, f64),
    scale: Scale,
}

impl View {
    /// Boards outside, room inside, both about the same middle.
    fn boxes(
        &self,
        page: &mut Figure,
        outside: (Length, Length),
        inside: (Length, Length),
        about: &str,
    ) {
        let outer = self.centred(outside, outside);
        page.draw(Path::ring(outer.ring(), 0.7).fill(Fill::Grey).about(about));
        let inner = self.centred(outside, inside);
        page.draw(Path::ring(inner.ring(), 0.3).fill(Fill::White));
    }

    /// A rectangle in the middle of the view.
    fn centred(
        &self,
        (wide, high): (Length, Length),
        (inner_wide, inner_high): (Length, Length),
    ) -> Frame {
        let (x, y) = (
            self.at.0 + self.scale.paper(wide) / 2.0,
            self.at.1 + self.scale.paper(high) / 2.0,
        );
        let (half_wide, half_high) = (
            self.scale.paper(inner_wide) / 2.0,
            self.scale.paper(inner_high) / 2.0,
        );
        Frame {
            left: x - half_wide,
            top: y - half_high,
            right: x + half_wide,
            bottom: y + half_high,
        }
    }
}

/// What lies in the crate: drums side by side across it, flat panels on edge.
fn contents(
    plan: &Plan,
    page: &mut Figure,
    packed: &Crate,
    (side, end, above): (&View, &View, &View),
) {
    let [long, wide, high] = packed.outside;
    match &packed.contents {
        Contents::Drums(drums) => {
            let share = Length::steps(
                packed.inside[1].to_steps() / i64::try_from(drums.len().max(1)).unwrap_or(1),
            );
            for (at, drum) in drums
                .iter()
                .filter_map(|&at| plan.rolling.drums.get(at))
                .enumerate()
            {
                let over = drum.outside_diameter;
                let shift = side.scale.paper(share) * (count(at) + 0.5 - count(drums.len()) / 2.0);
                let seen = end.centred((wide, high), (over, over));
                let (x, y) = seen.middle();
                let radius = end.scale.paper(over) / 2.0;
                page.draw(Path::circle((x + shift, y), radius, 0.4).about(&drum.id));
                let tube = end.scale.paper(drum.diameter) / 2.0;
                page.draw(Path::circle((x + shift, y), tube, 0.3).dash(Dash::Dashed));
                label(page, (x + shift, y), &drum.id);
                let front = side.centred((long, high), (drum.face, over));
                if at == 0 {
                    page.draw(Path::ring(front.ring(), 0.4));
                    label(page, front.middle(), &drum.id);
                }
                let mut plan_view = above.centred((long, wide), (drum.face, over));
                plan_view.top += shift;
                plan_view.bottom += shift;
                page.draw(Path::ring(plan_view.ring(), 0.4));
                label(page, plan_view.middle(), &drum.id);
            }
        }
        Contents::Flats(flats) => {
            let size = |at: usize| {
                plan.survey
                    .panels
                    .get(at)
                    .map(|panel| (panel.width, panel.height))
            };
            if let Some((panel_wide, panel_high)) = flats.first().and_then(|&at| size(at)) {
                let front = side.centred((long, high), (panel_wide, panel_high));
                page.draw(Path::ring(front.ring(), 0.4));
                let names: Vec<&str> = flats.iter().map(|&at| plan.panel_id(at)).collect();
                label(page, front.middle(), &names.join(", "));
            }
        }
    }
}

fn label(page: &mut Figure, (x, y): (f64, f64), words: &str) {
    page.centre((x, y + 1.3), Type::bold(3.6), words);
}

fn dimensions(
    plan: &Plan,
    page: &mut Figure,
    packed: &Crate,
    (side, end, above): (&View, &View, &View),
) {
    let [long, wide, high] = packed.outside;
    let scale = side.scale;
    let level = |page: &mut Figure, view: &View, outer: Length| {
        let (x, y) = view.at;
        page.level_dimension((x, x + scale.paper(outer)), y - 1.8, &shown(plan, outer));
    };
    let upright = |page: &mut Figure, view: &View, outer: Length| {
        let (x, y) = view.at;
        page.upright_dimension((y, y + scale.paper(outer)), x - 2.2, &shown(plan, outer));
    };
    level(page, side, long);
    upright(page, side, high);
    level(page, end, wide);
    upright(page, above, wide);
    let [inside_long, inside_wide, inside_high] = packed.inside.map(|side| shown(plan, side));
    let (x, y) = (end.at.0 - 8.0, above.at.1);
    for (line, words) in [
        "Inside:".to_owned(),
        format!("long {inside_long}"),
        format!("wide {inside_wide}"),
        format!("high {inside_high}"),
    ]
    .iter()
    .enumerate()
    {
        page.write((x, y + 2.0 + 4.4 * count(line)), BODY, Role::Label, words);
    }
}

/// Every way out with what is spare; returns where the list ends.
fn ways_out(plan: &Plan, page: &mut Figure, packed: &Crate, (top, body): (f64, &Frame)) -> f64 {
    let mut y = top + 8.0;
    page.write((body.left, y), STRONG, Role::Words, "Ways out");
    for passage in packed.ways_out.iter().take(12) {
        let spare = shown(plan, passage.spare.abs());
        let verdict = if passage.fits {
            format!("passes, {spare} spare")
        } else {
            format!("DOES NOT PASS, {spare} missing")
        };
        let words = format!(
            "{} ({}): {verdict}, tightest: {}",
            passage.way, passage.place, passage.tightest
        );
        y = paragraph(page, (body.left, y), (body.width(), 2), BODY, &words);
    }
    y
}

/// What is written on the crate.
fn marking(plan: &Plan, page: &mut Figure, packed: &Crate, (top, body): (f64, &Frame)) {
    let (drums, flats) = plan.contents_of(packed);
    let names: Vec<&str> = drums.into_iter().chain(flats).collect();
    let lines = [
        format!("{} · {}", packed.id, names.join(", ")),
        format!(
            "gross {:.0} kg · ↑ THIS WAY UP · KEEP DRY · KEEP FROM FROST AND SUN",
            packed.gross.to_kg()
        ),
        "painting on canvas, facing on, paint outwards · packed on ____________ by ____________"
            .to_owned(),
    ];
    let high = 6.0 + 5.0 * count(lines.len());
    let low = (top + 12.0).min(body.bottom - high);
    page.write(
        (body.left, low - 2.0),
        STRONG,
        Role::Words,
        "Mark on two sides and one end",
    );
    let frame = Frame {
        left: body.left,
        top: low,
        right: body.right,
        bottom: low + high,
    };
    page.draw(Path::ring(frame.ring(), 0.5));
    for (at, words) in lines.iter().enumerate() {
        let words = crate::report::figure::shorten(words, SMALL, frame.width() - 6.0);
        page.write(
            (frame.left + 3.0, low + 6.5 + 5.0 * count(at)),
            SMALL,
            Role::Words,
            &words,
        );
    }
}
