//! A drawing as data: lines and words in millimetres of paper, black on white, for any writer.

mod dimension;
mod face;

pub(crate) use face::BOLD;
pub(crate) use face::PLAIN;
pub(super) use face::is_legible;
pub(super) use face::shorten;
pub(super) use face::text_width;
pub(super) use face::wrap;

use crate::units::Locale;

/// Drawings that belong together, one a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Booklet {
    /// Title for people.
    pub title: String,
    /// The pages, in order.
    pub pages: Vec<Figure>,
}

impl Booklet {
    /// The same pages with numbers and days as the locale has them; they take as much room, or hardly more.
    #[must_use]
    pub fn in_locale(mut self, locale: &Locale) -> Self {
        for page in &mut self.pages {
            page.localise(locale);
        }
        self
    }
}

impl Figure {
    /// Writes numbers and days within its words as the locale has them.
    pub(super) fn localise(&mut self, locale: &Locale) {
        self.shows = locale.words(&self.shows);
        for shape in &mut self.shapes {
            match shape {
                Shape::Text(text) => text.words = locale.words(&text.words),
                Shape::Path(path) => {
                    if let Some(about) = &mut path.about {
                        *about = locale.words(about);
                    }
                }
            }
        }
    }
}

/// A drawing; x runs right and y down from its upper left corner, in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is called, for headings and bookmarks.
    pub title: String,
    /// What it belongs to with its neighbours, for bookmarks.
    pub group: String,
    /// What it shows, in words, for people who cannot see it.
    pub shows: String,
    /// Width of the paper.
    pub width: f64,
    /// Height of the paper.
    pub height: f64,
    /// What is drawn, the first undermost.
    pub shapes: Vec<Shape>,
}

/// Something drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A line or an area.
    Path(Path),
    /// A line of words.
    Text(Text),
}

/// A line through points, or the area within it.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// The points.
    pub points: Vec<(f64, f64)>,
    /// Whether the last joins the first.
    pub closed: bool,
    /// Thickness of the line; none is drawn where it is zero.
    pub weight: f64,
    /// How the line is broken.
    pub dash: Dash,
    /// What the area is filled with.
    pub fill: Fill,
    /// What it stands for, e.g. the id of a piece.
    pub about: Option<String>,
}

/// How a line is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    /// Not at all.
    Solid,
    /// Into dashes.
    Dashed,
    /// Into dots.
    Dotted,
}

/// What an area is filled with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// Nothing.
    Clear,
    /// White, which hides what lies under it.
    White,
    /// A light grey that survives a copier.
    Grey,
    /// Black.
    Black,
}

/// A line of words.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where it begins on the baseline.
    pub x: f64,
    /// The baseline.
    pub y: f64,
    /// Size of the type.
    pub size: f64,
    /// Whether it is bold.
    pub bold: bool,
    /// Whether it is turned to be read from the right, upwards.
    pub turned: bool,
    /// What it is to the page.
    pub role: Role,
    /// The words, of characters that the face has.
    pub words: String,
}

/// What words are to a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The page's heading.
    Heading,
    /// Words to read.
    Words,
    /// Part of the drawing.
    Label,
}

/// How words are written: size of the type, bold or not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type {
    /// Size in millimetres.
    pub size: f64,
    /// Whether it is bold.
    pub bold: bool,
}

impl Type {
    /// Plain type.
    pub const fn plain(size: f64) -> Self {
        Self { size, bold: false }
    }

    /// Bold type.
    pub const fn bold(size: f64) -> Self {
        Self { size, bold: true }
    }
}

/// An upright rectangle of the paper: left, top, right, bottom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Frame {
    /// Width.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height.
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// The middle.
    pub fn middle(&self) -> (f64, f64) {
        (
            f64::midpoint(self.left, self.right),
            f64::midpoint(self.top, self.bottom),
        )
    }

    /// Says whether it shares more than an edge with another.
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// The corners, clockwise from the upper left.
    pub fn ring(&self) -> Vec<(f64, f64)> {
        vec![
            (self.left, self.top),
            (self.right, self.top),
            (self.right, self.bottom),
            (self.left, self.bottom),
        ]
    }
}

impl Path {
    /// An open line.
    pub const fn line(points: Vec<(f64, f64)>, weight: f64) -> Self {
        Self {
            points,
            closed: false,
            weight,
            dash: Dash::Solid,
            fill: Fill::Clear,
            about: None,
        }
    }

    /// A closed line.
    pub const fn ring(points: Vec<(f64, f64)>, weight: f64) -> Self {
        let mut ring = Self::line(points, weight);
        ring.closed = true;
        ring
    }

    /// A circle, as a line that is nowhere visibly straight.
    pub fn circle((x, y): (f64, f64), radius: f64, weight: f64) -> Self {
        const CORNERS: u32 = 120;
        let at = |corner: u32| {
            let angle = f64::from(corner) * std::f64::consts::TAU / f64::from(CORNERS);
            (x + radius * libm::cos(angle), y + radius * libm::sin(angle))
        };
        Self::ring((0..CORNERS).map(at).collect(), weight)
    }

    /// The same, broken.
    #[must_use]
    pub const fn dash(mut self, dash: Dash) -> Self {
        self.dash = dash;
        self
    }

    /// The same, filled.
    #[must_use]
    pub const fn fill(mut self, fill: Fill) -> Self {
        self.fill = fill;
        self
    }

    /// The same, standing for something.
    #[must_use]
    pub fn about(mut self, what: impl Into<String>) -> Self {
        self.about = Some(face::legible(&what.into()));
        self
    }
}

impl Text {
    /// How long the words are.
    pub fn length(&self) -> f64 {
        text_width(&self.words, self.size, self.bold)
    }

    /// The room that the words take.
    pub fn frame(&self) -> Frame {
        let (up, down) = (0.76 * self.size, 0.24 * self.size);
        if self.turned {
            Frame {
                left: self.x - up,
                top: self.y - self.length(),
                right: self.x + down,
                bottom: self.y,
            }
        } else {
            Frame {
                left: self.x,
                top: self.y - up,
                right: self.x + self.length(),
                bottom: self.y + down,
            }
        }
    }
}

impl Figure {
    /// An empty page.
    pub fn new((width, height): (f64, f64), group: &str, title: &str) -> Self {
        Self {
            title: face::legible(title),
            group: face::legible(group),
            shows: String::new(),
            width,
            height,
            shapes: Vec::new(),
        }
    }

    /// Draws.
    pub fn draw(&mut self, path: Path) {
        self.shapes.push(Shape::Path(path));
    }

    /// Draws a straight line.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), weight: f64) {
        self.draw(Path::line(vec![from, to], weight));
    }

    /// Clears a rectangle about a point, so that words stay legible where they stand on lines.
    pub fn clear(&mut self, (x, y): (f64, f64), (width, height): (f64, f64)) {
        let behind = Frame {
            left: x - width / 2.0,
            top: y - height / 2.0,
            right: x + width / 2.0,
            bottom: y + height / 2.0,
        };
        self.draw(Path::ring(behind.ring(), 0.0).fill(Fill::White));
    }

    /// Writes from x to the right, what is too long for the page cut off.
    pub fn write(&mut self, at: (f64, f64), face: Type, role: Role, words: &str) {
        let words = shorten(words, face, (self.width - at.0).max(0.0));
        self.put(at, face, false, role, words);
    }

    /// Writes a label about x.
    pub fn centre(&mut self, (x, y): (f64, f64), face: Type, words: &str) {
        let left = x - text_width(words, face.size, face.bold) / 2.0;
        self.put((left, y), face, false, Role::Label, face::legible(words));
    }

    /// Writes a label that ends at x.
    pub fn write_to(&mut self, (x, y): (f64, f64), face: Type, role: Role, words: &str) {
        let left = x - text_width(words, face.size, face.bold);
        self.put((left, y), face, false, role, face::legible(words));
    }

    /// Writes a label upwards, about y.
    pub fn turn(&mut self, (x, y): (f64, f64), face: Type, words: &str) {
        let low = y + text_width(words, face.size, face.bold) / 2.0;
        self.put((x, low), face, true, Role::Label, face::legible(words));
    }

    fn put(&mut self, (x, y): (f64, f64), face: Type, turned: bool, role: Role, words: String) {
        if words.is_empty() {
            return;
        }
        self.shapes.push(Shape::Text(Text {
            x,
            y,
            size: face.size,
            bold: face.bold,
            turned,
            role,
            words,
        }));
    }

    /// The words of the drawing.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.shapes.iter().filter_map(|shape| match shape {
            Shape::Text(text) => Some(text),
            Shape::Path(_) => None,
        })
    }
}
