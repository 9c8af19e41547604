//! The table of panels.

use std::collections::BTreeMap;

use crate::catalog::Adhesive;
use crate::catalog::Give;
use crate::catalog::Paint;
use crate::diag::Place;
use crate::diag::Problems;
use crate::input::Row;
use crate::input::Table;
use crate::units::Length;
use crate::units::SizeOrder;
use crate::units::bound;
use crate::units::parse_size;
use crate::units::show_length;

use super::bounds;
use super::outlines::Corners;
use super::outlines::corners;
use super::outlines::outline;
use super::tables::Tables;
use super::unlikely;
use crate::job::MeasuredLayers;
use crate::job::PanelRow;
use crate::job::PanelShape;
use crate::job::RollAlong;

const COLUMNS: &[&str] = &[
    "panel",
    "place",
    "shape",
    "width",
    "height",
    "size",
    "spring",
    "recipe",
    "count",
    "paint",
    "give",
    "adhesive",
    "release_rate",
    "thickness",
    "mass",
    "paint_thickness",
    "paint_modulus",
    "canvas_modulus",
    "height_above_floor",
    "roll_along",
    "seams",
    "destination",
    "return_date",
    "return_order",
    "mould",
    "lead",
    "notes",
];

/// The words for a panel's shape.
const SHAPES: [&str; 5] = ["rectangle", "lunette", "arch", "ellipse", "outline"];

/// The longest name of a panel, in letters.
const LONGEST_NAME: usize = 80;

/// A panel row, and whether its size could be read.
pub(super) struct Panel {
    pub(super) row: PanelRow,
    /// Where its recipe is named.
    pub(super) recipe_at: Place,
    /// Whether the row names it itself.
    pub(super) names_recipe: bool,
    /// False where a problem of the size has been told, so that nothing is checked against it.
    pub(super) sized: bool,
}

impl Panel {
    /// The panel's name, and where its recipe is named.
    pub(super) fn named_recipe(&self) -> (String, Place) {
        (self.row.panel.clone(), self.recipe_at.clone())
    }
}

/// Reads the panels; every named row gives one, whatever else is wrong with it.
pub(super) fn read(
    tables: &Tables,
    order: SizeOrder,
    default_recipe: Option<&str>,
    problems: &mut Problems,
) -> Vec<Panel> {
    let Some(table) = tables.get("panels") else {
        return Vec::new();
    };
    let required: &[&str] = if table.has("size") {
        &["panel"]
    } else {
        &["panel", "width", "height"]
    };
    if !table.check_headings(COLUMNS, required, problems) {
        return Vec::new();
    }
    if table.is_empty() {
        problems.error(
            Some(table.place()),
            "there are headings but no panels",
            "write one row a panel below them",
        );
    }
    let mut corners = corners(tables, problems);
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let mut panels = Vec::new();
    for row in table.rows() {
        let Some(name) = name(&row, problems) else {
            continue;
        };
        if let Some(first) = seen.insert(name.clone(), row.number()) {
            let text = format!("`{name}` is the name of the panel in row {first} too");
            row.field("panel").problem(
                text,
                "give each panel a name of its own; identical ones take one row with a `count`",
                problems,
            );
            seen.insert(name, first);
            continue;
        }
        let corners = corners.remove(&name);
        panels.push(panel(&row, name, order, corners, default_recipe, problems));
    }
    too_many(table, &panels, problems);
    for (name, corners) in corners {
        let text = format!("there is no panel `{name}`");
        corners
            .row
            .field("panel")
            .problem(text, near_panel(&name, seen.keys()), problems);
    }
    panels
}

/// Counts multiply: what one row asks for must not outgrow the memory.
fn too_many(table: &Table, panels: &[Panel], problems: &mut Problems) {
    let number: usize = panels
        .iter()
        .map(|panel| usize::try_from(panel.row.count).unwrap_or(usize::MAX))
        .fold(0, usize::saturating_add);
    if number > bounds::MOST_PANELS {
        let text = format!(
            "the job has {number} panels, counts included; at most {} are planned at once",
            bounds::MOST_PANELS
        );
        problems.error(
            Some(table.place()),
            text,
            "check the column `count`, or split the job into folders",
        );
    }
}

fn name(row: &Row<'_>, problems: &mut Problems) -> Option<String> {
    let field = row.field("panel").required(problems);
    let name = field.text(problems)?;
    if name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
        let text = format!(
            "`{}` is too long or has a line end: a panel's name has at most 80 letters",
            field.shown()
        );
        field.problem(
            text,
            "shorten it, and write the rest under `notes`",
            problems,
        );
        return None;
    }
    Some(name)
}

/// What to write instead of a panel that is not there.
pub(super) fn near_panel<'a>(name: &str, known: impl IntoIterator<Item = &'a String>) -> String {
    match crate::diag::nearest(name, known.into_iter().map(String::as_str)) {
        Some(near) => format!("write `{near}` if that is meant"),
        None => "write the name of a panel as it stands in the table of panels".to_owned(),
    }
}

fn panel(
    row: &Row<'_>,
    name: String,
    order: SizeOrder,
    corners: Option<Corners<'_>>,
    default_recipe: Option<&str>,
    problems: &mut Problems,
) -> Panel {
    let (shape, size) = shape_and_size(row, order, corners, problems);
    let (width, height) = size.unwrap_or_default();
    let adhesive = row
        .field("adhesive")
        .choice(Adhesive::ALL, Adhesive::name, problems)
        .unwrap_or(Adhesive::Paste);
    let recipe = row
        .field("recipe")
        .text(problems)
        .or_else(|| default_recipe.map(str::to_owned));
    if recipe.is_none() {
        row.field("recipe").problem(
            "the panel has no recipe, and the job has no `default_recipe`",
            "write a recipe here, or `default_recipe = \"…\"` in job.toml",
            problems,
        );
    }
    let recipe_at = row.field("recipe").place();
    let names_recipe = !row.field("recipe").is_blank();
    let read = PanelRow {
        at: row.place(),
        panel: name,
        count: row
            .field("count")
            .whole(bound::COUNT, problems)
            .unwrap_or(1),
        place: row.field("place").text(problems).unwrap_or_default(),
        shape,
        width,
        height,
        recipe: recipe.unwrap_or_default(),
        paint: row
            .field("paint")
            .choice(Paint::ALL, Paint::name, problems)
            .unwrap_or(Paint::Sound),
        give: row
            .field("give")
            .choice(Give::ALL, Give::name, problems)
            .unwrap_or(Give::Stiff),
        adhesive,
        release_rate: row
            .field("release_rate")
            .areal_rate(bounds::RELEASE_RATE, problems),
        removal_factor: None,
        thickness: row.field("thickness").length(bound::THICKNESS, problems),
        grams_per_m2: row.field("mass").area_density(bound::AREAL_MASS, problems),
        measured: measured(row, problems),
        height_above_floor: row
            .field("height_above_floor")
            .length(bounds::POSITION, problems)
            .unwrap_or_default(),
        roll_along: row
            .field("roll_along")
            .choice(RollAlong::ALL, RollAlong::name, problems)
            .unwrap_or(RollAlong::Auto),
        seams: seams(row, size, problems),
        destination: row.field("destination").text(problems).unwrap_or_default(),
        return_date: row.field("return_date").date(problems),
        return_order: row
            .field("return_order")
            .whole(bounds::RETURN_ORDER, problems),
        mould: row.field("mould").yes_no(problems).unwrap_or(false),
        lead: lead(row, adhesive, problems),
        notes: row.field("notes").text(problems).unwrap_or_default(),
        openings: Vec::new(),
    };
    unlikely::panel(row, &read, size, problems);
    Panel {
        row: read,
        recipe_at,
        names_recipe,
        sized: size.is_some(),
    }
}

/// What somebody measured of the layers.
fn measured(row: &Row<'_>, problems: &mut Problems) -> MeasuredLayers {
    MeasuredLayers {
        paint_thickness: row
            .field("paint_thickness")
            .length(bounds::PAINT_THICKNESS, problems),
        paint_modulus: row.field("paint_modulus").modulus(bound::MODULUS, problems),
        canvas_modulus: row
            .field("canvas_modulus")
            .modulus(bound::MODULUS, problems),
    }
}

/// Lead is there with an adhesive of oil and lead white, whatever the row says.
fn lead(row: &Row<'_>, adhesive: Adhesive, problems: &mut Problems) -> bool {
    let field = row.field("lead");
    let lead = field.yes_no(problems);
    if lead == Some(false) && adhesive == Adhesive::OilLead {
        let text = format!(
            "lead is `{}`, but the adhesive is `oil-lead`",
            field.shown()
        );
        field.problem(text, "write `yes`, or another adhesive", problems);
    }
    lead.unwrap_or(adhesive == Adhesive::OilLead)
}

fn seams(row: &Row<'_>, size: Option<(Length, Length)>, problems: &mut Problems) -> Vec<Length> {
    let field = row.field("seams");
    let mut seams = field.lengths(bounds::POSITION, problems);
    seams.sort_unstable();
    if let (Some((width, _)), Some(last)) = (size, seams.last())
        && *last >= width
    {
        let text = format!(
            "`{}` has a seam at or beyond the panel's right edge",
            field.shown()
        );
        field.problem(
            text,
            "write distances from the panel's left edge, less than its width",
            problems,
        );
    }
    seams
}

/// A size in the order width, height.
pub(super) type Size = (Length, Length);

fn shape_and_size(
    row: &Row<'_>,
    order: SizeOrder,
    corners: Option<Corners<'_>>,
    problems: &mut Problems,
) -> (PanelShape, Option<Size>) {
    let shape = row.field("shape").one_of(&SHAPES, problems);
    let word = shape.unwrap_or("rectangle");
    let unread = shape.is_none() && !row.field("shape").is_blank();
    if word == "outline" {
        return outline(row, order, corners, problems);
    }
    if let Some(corners) = corners.filter(|_| !unread) {
        let text =
            format!("the panel has corners in the table `outlines`, but its shape is `{word}`");
        corners.row.field("panel").problem(
            text,
            "write `outline` as the panel's shape, or delete its corners",
            problems,
        );
    }
    let size = size(row, order, true, problems);
    let spring = row.field("spring");
    if word != "arch" && !spring.is_blank() && !unread {
        let text = format!(
            "`{}` is the springing line of an arch, but the shape is `{word}`",
            spring.shown()
        );
        spring.problem(
            text,
            "clear the cell, or write `arch` as the shape",
            problems,
        );
    }
    let shape = match word {
        "lunette" => {
            check_rise(row, size, Length::ZERO, problems);
            PanelShape::Lunette
        }
        "arch" => {
            let spring = spring.required(problems).length(bounds::POSITION, problems);
            if let Some(spring) = spring {
                check_rise(row, size, spring, problems);
            }
            PanelShape::Arch {
                spring: spring.unwrap_or_default(),
            }
        }
        "ellipse" => PanelShape::Ellipse,
        _ => PanelShape::Rectangle,
    };
    (shape, size)
}

/// Checks that a circular segment fits: it rises by more than nothing and by no more than half its span.
fn check_rise(row: &Row<'_>, size: Option<Size>, spring: Length, problems: &mut Problems) {
    let Some((width, height)) = size else { return };
    let unit = row.field("width").unit();
    let show = |length| show_length(length, unit);
    if spring >= height {
        let text = format!(
            "the springing line at {} is not below the top at {}",
            show(spring),
            show(height)
        );
        row.field("spring").problem(
            text,
            "write the height at which the curve begins, measured from the bottom edge",
            problems,
        );
    } else if height - spring > width.half() {
        let (field, what, help) = if spring == Length::ZERO {
            (
                "height",
                "lunette",
                "check width and height; a taller one is an `arch` with its springing line",
            )
        } else {
            (
                "spring",
                "curve",
                "check the springing line, width and height; another curve is an `outline`",
            )
        };
        let text = format!(
            "the {what} rises {}, more than half its width, {}",
            show(height - spring),
            show(width.half())
        );
        let field = if row.field(field).is_blank() {
            row.field("size")
        } else {
            row.field(field)
        };
        field.problem(text, help, problems);
    }
}

/// Reads width and height, from their columns or from `size`; blank ones are a problem where they are needed.
pub(super) fn size(
    row: &Row<'_>,
    order: SizeOrder,
    needed: bool,
    problems: &mut Problems,
) -> Option<Size> {
    let (width, height, size) = (row.field("width"), row.field("height"), row.field("size"));
    if size.is_blank() {
        if !needed && width.is_blank() && height.is_blank() {
            return None;
        }
        let width = width.required(problems).length(bound::PANEL_SIDE, problems);
        let height = height
            .required(problems)
            .length(bound::PANEL_SIDE, problems);
        return width.zip(height);
    }
    if !(width.is_blank() && height.is_blank()) {
        let text = format!(
            "`{}` is given as the size, and width or height too",
            size.shown()
        );
        size.problem(
            text,
            "clear either `size` or both `width` and `height`",
            problems,
        );
        return None;
    }
    let text = size.text(problems)?;
    match parse_size(&text, size.number_style(), order) {
        Ok(read) => within(read.width, &size, problems).zip(within(read.height, &size, problems)),
        Err(misread) => {
            size.problem(misread.text, misread.help, problems);
            None
        }
    }
}

fn within(side: Length, size: &crate::input::Field<'_>, problems: &mut Problems) -> Option<Length> {
    if bound::PANEL_SIDE.holds(side.to_mm()) {
        return Some(side);
    }
    let text = format!("`{}`: {}", size.shown(), bound::PANEL_SIDE.allowed());
    size.problem(text, "check the numbers and their unit", problems);
    None
}
