//! A drawing to SVG, in millimetres; what a line stands for is its title, so that a browser shows it.

use svg::Document;
use svg::Node;
use svg::node::element::Element;
use svg::node::element::Path as Line;
use svg::node::element::Title;
use svg::node::element::path::Data;

use crate::report::Figure;
use crate::report::Fill;
use crate::report::Path;
use crate::report::Shape;
use crate::report::Text;

use super::GREY;
use super::dash_lengths;

/// Writes a drawing. Words keep their length in whatever face the reader's machine has.
pub fn write_svg(figure: &Figure) -> Vec<u8> {
    let mut document = Document::new()
        .set("width", format!("{}mm", short(figure.width)))
        .set("height", format!("{}mm", short(figure.height)))
        .set(
            "viewBox",
            (0.0, 0.0, short(figure.width), short(figure.height)),
        )
        .set("font-family", "'DejaVu Sans', Verdana, sans-serif")
        .set("role", "img")
        .add(Title::new(figure.title.clone()))
        .add(
            svg::node::element::Rectangle::new()
                .set("width", short(figure.width))
                .set("height", short(figure.height))
                .set("fill", "white"),
        );
    for shape in &figure.shapes {
        match shape {
            Shape::Path(path) => document.append(stroke(path)),
            Shape::Text(text) => document.append(words(text)),
        }
    }
    format!("{document}\n").into_bytes()
}

fn stroke(path: &Path) -> Line {
    let mut data = Data::new();
    for (at, &(x, y)) in path.points.iter().enumerate() {
        let to = (short(x), short(y));
        data = if at == 0 {
            data.move_to(to)
        } else {
            data.line_to(to)
        };
    }
    if path.closed {
        data = data.close();
    }
    let mut line = Line::new().set("d", data).set("fill", colour(path.fill));
    if path.weight > 0.0 {
        line = line
            .set("stroke", "black")
            .set("stroke-width", short(path.weight));
    }
    if let Some([on, off]) = dash_lengths(path.dash) {
        line = line.set("stroke-dasharray", format!("{on} {off}"));
    }
    match &path.about {
        Some(about) => line.add(Title::new(about.clone())),
        None => line,
    }
}

fn colour(fill: Fill) -> String {
    match fill {
        Fill::Clear => "none".to_owned(),
        Fill::White => "white".to_owned(),
        Fill::Grey => format!("rgb({GREY},{GREY},{GREY})"),
        Fill::Black => "black".to_owned(),
    }
}

fn words(text: &Text) -> Element {
    let (x, y) = (short(text.x), short(text.y));
    let mut element = Element::new("text");
    let attributes = element.get_attributes_mut();
    let mut set = |name: &str, value: String| {
        attributes.insert(name.into(), value.into());
    };
    set("x", x.to_string());
    set("y", y.to_string());
    set("font-size", short(text.size).to_string());
    set("textLength", short(text.length()).to_string());
    set("lengthAdjust", "spacingAndGlyphs".to_owned());
    if text.bold {
        set("font-weight", "bold".to_owned());
    }
    if text.turned {
        set("transform", format!("rotate(-90 {x} {y})"));
    }
    element.append(svg::node::Text::new(text.words.clone()));
    element
}

/// Thousandths of a millimetre are more than any printer shows.
#[allow(
    clippy::cast_possible_truncation,
    reason = "the drawing's own numbers are f32 in this library; paper is far smaller than they hold exactly enough"
)]
fn short(mm: f64) -> f32 {
    ((mm * 1000.0).round() / 1000.0) as f32
}

/// Writes a drawing as a part of a page: no size of its own, ids made unique by a number, coordinates in hundredths of a millimetre.
pub(super) fn inline_svg(figure: &Figure, number: usize) -> String {
    let (title, about) = (format!("t{number}"), format!("d{number}"));
    let (width, height) = (hundredths(figure.width), hundredths(figure.height));
    let mut drawn = Element::new("svg");
    drawn.assign("viewBox", format!("0 0 {width} {height}"));
    drawn.assign("role", "img");
    // Most lines are black and most areas empty; the page's style sheet turns this round for words.
    drawn.assign("fill", "none");
    drawn.assign("stroke", "#000");
    drawn.assign("aria-labelledby", format!("{title} {about}"));
    drawn.assign(
        "style",
        format!("max-width:{}mm", short(figure.width * 1.35)),
    );
    drawn.append(named("title", title, &figure.title));
    drawn.append(named("desc", about, &figure.shows));
    for shape in &figure.shapes {
        match shape {
            Shape::Path(path) => drawn.append(inline_stroke(path)),
            Shape::Text(text) => drawn.append(inline_words(text)),
        }
    }
    drawn.to_string()
}

fn named(element: &str, id: String, words: &str) -> Element {
    let mut named = Element::new(element);
    named.assign("id", id);
    named.append(svg::node::Text::new(words));
    named
}

fn inline_stroke(path: &Path) -> Element {
    let mut data = String::new();
    let mut from = (0, 0);
    for (at, &(x, y)) in path.points.iter().enumerate() {
        let to = (hundredths(x), hundredths(y));
        let (x, y) = (to.0 - from.0, to.1 - from.1);
        let step = match (at, x, y) {
            (0, ..) => format!("M{x} {y}"),
            (_, 0, 0) => String::new(),
            (_, _, 0) => format!("h{x}"),
            (_, 0, _) => format!("v{y}"),
            (_, _, ..0) => format!("l{x}{y}"),
            (..) => format!("l{x} {y}"),
        };
        data.push_str(&step);
        from = to;
    }
    if path.closed {
        data.push('z');
    }
    let mut line = Element::new("path");
    line.assign("d", data);
    if path.fill != Fill::Clear {
        line.assign("fill", colour(path.fill));
    }
    if path.weight > 0.0 {
        line.assign("stroke-width", hundredths(path.weight));
    } else {
        line.assign("stroke", "none");
    }
    if let Some([on, off]) = dash_lengths(path.dash) {
        line.assign(
            "stroke-dasharray",
            format!("{} {}", hundredths(on), hundredths(off)),
        );
    }
    if let Some(about) = &path.about {
        line.append(Title::new(about.clone()));
    }
    line
}

/// Numbers alone are narrower in every face than in the one they were measured with; longer words are kept to their length.
fn inline_words(text: &Text) -> Element {
    let (x, y) = (hundredths(text.x), hundredths(text.y));
    let mut element = Element::new("text");
    element.assign("x", x);
    element.assign("y", y);
    element.assign("font-size", hundredths(text.size));
    if text.words.chars().count() > 3 {
        element.assign("textLength", hundredths(text.length()));
        element.assign("lengthAdjust", "spacingAndGlyphs");
    }
    if text.bold {
        element.assign("font-weight", "bold");
    }
    if text.turned {
        element.assign("transform", format!("rotate(-90 {x} {y})"));
    }
    element.append(svg::node::Text::new(text.words.clone()));
    element
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "paper is far smaller than the numbers can count"
)]
fn hundredths(mm: f64) -> i32 {
    (mm * 100.0).round() as i32
}
