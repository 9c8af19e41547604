//! Panels: each drawn with its layers, one at a time.

use crate::diag::count;
use crate::plan::Plan;
use crate::report::cells::length_text;
use crate::report::cut_sheets::inset;
use crate::report::cut_sheets::inset::Group;
use crate::takeoff::LaidLayer;

use super::Drawing;
use super::Fact;
use super::Part;
use super::Section;
use super::Switch;
use super::how::Placer;

/// The most panels drawn, and the most sheets drawn on all of them.
const MOST_PANELS: usize = 60;
const MOST_SHEETS: usize = 6_000;

/// The section.
pub(super) fn section(plan: &Plan, placer: &mut Placer<'_>) -> Section {
    let groups = inset::groups(plan);
    let area: f64 = plan
        .survey
        .panels
        .iter()
        .map(|panel| panel.area.to_m2())
        .sum();
    let mut parts = vec![Part::Note(format!(
        "{}, {area:.2} m² in all, {}. Numbers on sheets are the order of laying; grey is where two overlap; crossed areas are openings. The \
         cut sheets have the same drawings to print, to scale.",
        count(plan.survey.panels.len(), "panel"),
        count(plan.takeoff.layers.len(), "layer"),
    ))];
    let mut cards = Vec::new();
    let mut sheets = 0;
    for group in &groups {
        sheets += group
            .layers
            .iter()
            .map(|layer| layer.pieces.len())
            .sum::<usize>();
        if cards.len() >= MOST_PANELS || sheets > MOST_SHEETS {
            break;
        }
        cards.push((group.name.clone(), card(plan, group, placer)));
    }
    let left: usize = groups.len() - cards.len();
    parts.push(Part::Cards(cards));
    if left > 0 {
        parts.push(Part::Note(format!(
            "{left} more are not drawn here, since the page could hardly be opened with all of them; plan.json, panels.csv and layers.csv have \
             every one."
        )));
    }
    Section {
        id: "panels",
        short: "Panels",
        title: "Panels",
        parts,
    }
}

fn card(plan: &Plan, group: &Group<'_>, placer: &mut Placer<'_>) -> Vec<Part> {
    let mut parts = Vec::new();
    if let Some((panel, row)) = inset::panel(plan, group).zip(plan.row_of(group.panel)) {
        let size = format!(
            "{} wide, {} high",
            length_text(plan, panel.width),
            length_text(plan, panel.height)
        );
        let state = format!(
            "{}: paint {}, give {}, adhesive {}",
            row.recipe,
            row.paint.name(),
            row.give.name(),
            row.adhesive.name()
        );
        let area = Fact::new("Area", format!("{:.2} m²", panel.area.to_m2()))
            .how(placer.open(&format!("panel/{}", panel.id)))
            .more([size, state]);
        let mut lines = Vec::new();
        lines.extend(drum_of(plan, group.panel));
        if !row.place.is_empty() {
            lines.push(row.place.clone());
        }
        if !row.notes.is_empty() {
            lines.push(row.notes.clone());
        }
        parts.push(Part::Facts(vec![area.more(lines)]));
    }
    let options: Vec<(String, Vec<Part>)> = group
        .layers
        .iter()
        .map(|layer| (option(plan, layer), drawn(plan, group, layer, placer)))
        .collect();
    if options.is_empty() {
        parts.extend(inset::bare(plan, group).map(drawing));
    } else {
        parts.push(Part::Switch(Switch {
            legend: format!("Layer of {}", group.name),
            options,
        }));
    }
    parts
}

/// Which drum a panel is rolled on.
fn drum_of(plan: &Plan, panel: usize) -> Option<String> {
    let mut drums = plan.rolling.drums.iter();
    let drum = drums.find(|drum| drum.panels.iter().any(|rolled| rolled.panel == panel))?;
    Some(format!("rolled on drum {}", drum.id))
}

/// What a layer is chosen by: its number and, in a word, what it is.
fn option(plan: &Plan, layer: &LaidLayer) -> String {
    let step = plan.step_of(layer.panel, layer.step);
    let name = step.map_or("", |step| step.name.as_str());
    let short = name.split(',').next().unwrap_or(name);
    format!("{} {short}", layer.layer)
}

fn drawn(plan: &Plan, group: &Group<'_>, layer: &LaidLayer, placer: &mut Placer<'_>) -> Vec<Part> {
    let Some((figure, sizes)) = inset::layer(plan, group, layer) else {
        return Vec::new();
    };
    let step = plan.step_of(layer.panel, layer.step);
    let id = step.map(|step| format!("layer/{}/{}", plan.panel_id(layer.panel), step.id));
    let sheets = Fact::new(
        plan.material_name(&layer.material),
        count(layer.pieces.len(), "sheet"),
    );
    let overlap = format!(
        "{}, overlapping by {} or more",
        layer.way.name(),
        length_text(plan, layer.overlap)
    );
    let how = id.and_then(|id| placer.open(&id));
    vec![
        Part::Facts(vec![sheets.more([overlap]).how(how)]),
        Part::Drawing(Drawing {
            caption: String::new(),
            figure,
        }),
        Part::fold("Sizes of its sheets", vec![Part::List(sizes)]),
    ]
}

fn drawing(figure: crate::report::Figure) -> Part {
    Part::Drawing(Drawing {
        caption: "Nothing is laid on it.".to_owned(),
        figure,
    })
}
