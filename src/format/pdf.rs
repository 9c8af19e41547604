//! Drawings to PDF with tags and bookmarks, the same bytes for the same drawings; fonts are embedded as the letters used.

use krilla::Document;
use krilla::color::luma;
use krilla::geom::PathBuilder;
use krilla::geom::Point;
use krilla::geom::Transform;
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::Outline;
use krilla::outline::OutlineNode;
use krilla::page::PageSettings;
use krilla::paint::Fill as Ink;
use krilla::paint::Stroke as Pen;
use krilla::paint::StrokeDash;
use krilla::surface::Surface;
use krilla::tagging::ContentTag;
use krilla::tagging::Identifier;
use krilla::tagging::Tag;
use krilla::tagging::TagGroup;
use krilla::tagging::TagTree;
use krilla::text::Font;
use krilla::text::TextDirection;

use crate::report::BOLD;
use crate::report::Booklet;
use crate::report::Dash;
use crate::report::Figure;
use crate::report::Fill;
use crate::report::PLAIN;
use crate::report::Path;
use crate::report::Role;
use crate::report::Shape;
use crate::report::Text;

use super::CannotWrite;
use super::GREY;
use super::dash_lengths;

/// Writes drawings as a document, a page each. It carries no date, so that the same job gives the same bytes.
///
/// # Errors
/// The library refuses the document.
pub fn write_pdf(booklet: &Booklet) -> Result<Vec<u8>, CannotWrite> {
    let refused = |why: &str| CannotWrite {
        file: booklet.title.clone(),
        why: why.to_owned(),
    };
    let fonts = Fonts::load().ok_or_else(|| refused("its font cannot be read"))?;
    let mut document = Document::new();
    document.set_metadata(
        Metadata::new()
            .title(booklet.title.clone())
            .language("en".to_owned())
            .creator("facelay".to_owned())
            .document_id(format!("facelay {}", booklet.title)),
    );
    let mut tags = TagTree::new().with_lang(Some("en".to_owned()));
    for figure in &booklet.pages {
        let settings = PageSettings::from_wh(points(figure.width), points(figure.height))
            .ok_or_else(|| refused("a page has no size"))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        tags.push(draw(&mut surface, &fonts, figure));
        surface.finish();
        page.finish();
    }
    document.set_tag_tree(tags);
    document.set_outline(outline(booklet));
    document
        .finish()
        .map_err(|error| refused(&format!("{error:?}")))
}

struct Fonts {
    plain: Font,
    bold: Font,
}

impl Fonts {
    fn load() -> Option<Self> {
        Some(Self {
            plain: Font::new(PLAIN.into(), 0)?,
            bold: Font::new(BOLD.into(), 0)?,
        })
    }
}

/// Draws a page and gives its place in the document's structure: heading, words to read, one picture.
fn draw(surface: &mut Surface<'_>, fonts: &Fonts, figure: &Figure) -> TagGroup {
    let mut section = TagGroup::new(Tag::Section);
    let mut picture: Vec<Identifier> = Vec::new();
    for run in figure.shapes.chunk_by(|a, b| role(a) == role(b)) {
        let role = run.first().map_or(Role::Label, role);
        let tag = surface.start_tagged(ContentTag::Other);
        for shape in run {
            match shape {
                Shape::Path(path) => stroke(surface, path),
                Shape::Text(text) => write(surface, fonts, text),
            }
        }
        surface.end_tagged();
        match role {
            Role::Heading => {
                let title = Some(figure.title.clone());
                section.push(TagGroup::with_children(
                    Tag::Hn(std::num::NonZeroU16::MIN, title),
                    vec![tag.into()],
                ));
            }
            Role::Words => section.push(TagGroup::with_children(Tag::P, vec![tag.into()])),
            Role::Label => picture.push(tag),
        }
    }
    if !picture.is_empty() {
        let children = picture.into_iter().map(Into::into).collect();
        section.push(TagGroup::with_children(
            Tag::Figure(Some(figure.shows.clone())),
            children,
        ));
    }
    section
}

const fn role(shape: &Shape) -> Role {
    match shape {
        Shape::Path(_) => Role::Label,
        Shape::Text(text) => text.role,
    }
}

fn stroke(surface: &mut Surface<'_>, path: &Path) {
    let mut builder = PathBuilder::new();
    for (at, &(x, y)) in path.points.iter().enumerate() {
        if at == 0 {
            builder.move_to(points(x), points(y));
        } else {
            builder.line_to(points(x), points(y));
        }
    }
    if path.closed {
        builder.close();
    }
    let Some(line) = builder.finish() else { return };
    surface.set_fill(grey_of(path.fill).map(ink));
    surface.set_stroke((path.weight > 0.0).then(|| Pen {
        paint: luma::Color::black().into(),
        width: points(path.weight),
        dash: dashes(path.dash).map(|array| StrokeDash { array, offset: 0.0 }),
        ..Pen::default()
    }));
    surface.draw_path(&line);
}

fn dashes(dash: Dash) -> Option<Vec<f32>> {
    let lengths = dash_lengths(dash)?;
    Some(lengths.into_iter().map(points).collect())
}

const fn grey_of(fill: Fill) -> Option<u8> {
    match fill {
        Fill::Clear => None,
        Fill::White => Some(u8::MAX),
        Fill::Grey => Some(GREY),
        Fill::Black => Some(0),
    }
}

fn ink(grey: u8) -> Ink {
    Ink {
        paint: luma::Color::new(grey).into(),
        opacity: NormalizedF32::ONE,
        ..Ink::default()
    }
}

fn write(surface: &mut Surface<'_>, fonts: &Fonts, text: &Text) {
    surface.set_stroke(None);
    surface.set_fill(Some(ink(0)));
    let font = if text.bold { &fonts.bold } else { &fonts.plain };
    let (x, y) = (points(text.x), points(text.y));
    if text.turned {
        surface.push_transform(&Transform::from_row(0.0, -1.0, 1.0, 0.0, x, y));
    }
    // Millimetres along the line.
    let mut along = 0.0;
    for (words, direction) in runs(&text.words) {
        let at = if text.turned {
            Point::from_xy(points(along), 0.0)
        } else {
            Point::from_xy(points(text.x + along), y)
        };
        surface.draw_text(at, font.clone(), points(text.size), words, false, direction);
        let run = Text {
            words: words.to_owned(),
            ..text.clone()
        };
        along += run.length();
    }
    if text.turned {
        surface.pop();
    }
}

/// The parts of a line that are read in one direction, from left to right: a name in Hebrew or Arabic script stands the right way round
/// and turns nothing beside it.
fn runs(words: &str) -> Vec<(&str, TextDirection)> {
    let mut runs = Vec::new();
    let mut begin = 0;
    // Where the last letter that is read from the right ends, within a run of them.
    let mut right_to: Option<usize> = None;
    let mut part = |from: usize, to: usize, direction| {
        runs.extend(
            words
                .get(from..to)
                .filter(|run| !run.is_empty())
                .map(|run| (run, direction)),
        );
    };
    for (at, letter) in words.char_indices() {
        if is_read_from_the_right(letter) {
            if right_to.is_none() {
                part(begin, at, TextDirection::LeftToRight);
                begin = at;
            }
            right_to = Some(at + letter.len_utf8());
        } else if letter.is_alphanumeric()
            && let Some(end) = right_to.take()
        {
            part(begin, end, TextDirection::RightToLeft);
            begin = end;
        }
    }
    if let Some(end) = right_to {
        part(begin, end, TextDirection::RightToLeft);
        begin = end;
    }
    part(begin, words.len(), TextDirection::LeftToRight);
    runs
}

/// Letters of Hebrew, Arabic and their neighbours; digits are read from the left everywhere.
fn is_read_from_the_right(letter: char) -> bool {
    let is_of_block =
        matches!(letter, '\u{590}'..='\u{8ff}' | '\u{fb1d}'..='\u{fdff}' | '\u{fe70}'..='\u{fefe}');
    is_of_block && !letter.is_numeric()
}

/// Bookmarks: one a group, its pages below it.
fn outline(booklet: &Booklet) -> Outline {
    let mut outline = Outline::new();
    let mut first = 0;
    for run in booklet.pages.chunk_by(|a, b| a.group == b.group) {
        let to =
            |page: usize| krilla::destination::XyzDestination::new(page, Point::from_xy(0.0, 0.0));
        let group = run.first().map_or("", |figure| &figure.group);
        let mut node = OutlineNode::new(group.to_owned(), to(first));
        for (page, figure) in (first..).zip(run) {
            node.push_child(OutlineNode::new(figure.title.clone(), to(page)));
        }
        outline.push_child(node);
        first += run.len();
    }
    outline
}

/// Points of a 72nd of an inch in so many millimetres.
#[allow(
    clippy::cast_possible_truncation,
    reason = "paper is far smaller than what f32 holds exactly enough"
)]
fn points(mm: f64) -> f32 {
    (mm * 72.0 / 25.4) as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_read_from_the_right_turn_nothing_beside_them() {
        let (left, right) = (TextDirection::LeftToRight, TextDirection::RightToLeft);
        assert_eq!(runs("N1 · layer 1"), [("N1 · layer 1", left)]);
        assert_eq!(
            runs("קיר צפון · layer 1"),
            [("קיר צפון", right), (" · layer 1", left)]
        );
        assert_eq!(
            runs("wall حائط 2"),
            [("wall ", left), ("حائط", right), (" 2", left)]
        );
        assert!(runs("").is_empty());
    }
}
