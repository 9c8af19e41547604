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
