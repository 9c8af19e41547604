//! The drawings of the sheets without their paper, small enough for a telephone: layers, drums.

use std::collections::BTreeMap;

use crate::plan::Plan;
use crate::report::figure::Figure;
use crate::report::figure::Frame;
use crate::rolling::Drum;
use crate::survey::Panel;
use crate::takeoff::LaidLayer;
use crate::takeoff::Way;
use crate::units::Area;
use crate::units::Length;

use super::drums;
use super::layer;
use super::layer::Alike;
use super::names;

/// Width of every inset: a telephone's, so that its words keep their size there.
const WIDTH: f64 = 98.0;
/// The most height that a wall takes.
const HIGHEST: f64 = 104.0;
/// White at the sides.
const SIDE: f64 = 1.0;

/// Panels that are laid alike in every layer.
pub(in crate::report) struct Group<'a> {
    /// The first of them, an index of the survey.
    pub(in crate::report) panel: usize,
    /// What all of them are called together.
    pub(in crate::report) name: String,
    /// Their layers, as on the first.
    pub(in crate::report) layers: Vec<&'a LaidLayer>,
}

/// Every panel, those of one row that are laid alike together, in the order of the survey.
pub(in crate::report) fn groups(plan: &Plan) -> Vec<Group<'_>> {
    let mut layers: Vec<Vec<&LaidLayer>> = vec![Vec::new(); plan.survey.panels.len()];
    for layer in &plan.takeoff.layers {
        if let Some(of_panel) = layers.get_mut(layer.panel) {
            of_panel.push(layer);
        }
    }
    let mut known: BTreeMap<(usize, Vec<Vec<Length>>), usize> = BTreeMap::new();
    let mut groups: Vec<(Group<'_>, Vec<&str>)> = Vec::new();
    for (at, (panel, layers)) in plan.survey.panels.iter().zip(layers).enumerate() {
        let laid = layers.iter().map(|layer| super::key(panel.row, layer).2);
        let place = *known
            .entry((panel.row, laid.collect()))
            .or_insert(groups.len());
        match groups.get_mut(place) {
            Some((_, ids)) => ids.push(&panel.id),
            None => groups.push((
                Group {
                    panel: at,
                    name: String::new(),
                    layers,
                },
                vec![&panel.id],
            )),
        }
    }
    let named = groups.into_iter().map(|(group, ids)| Group {
        name: names::panels(&ids),
        ..group
    });
    named.collect()
}

/// A layer on its panel, and the sizes of its sheets in words.
pub(in crate::report) fn layer(
    plan: &Plan,
    group: &Group<'_>,
    layer: &LaidLayer,
) -> Option<(Figure, Vec<String>)> {
    let panel = plan.survey.panels.get(group.panel)?;
    let alike = Alike {
        plan,
        layer,
        panel,
        row: plan.row_of(group.panel)?,
        names: vec![&panel.id],
    };
    let title = format!("{}, layer {}", group.name, layer.layer);
    let mut figure = layer::inset(&alike, &title, (WIDTH, HIGHEST), SIDE)?;
    let sheets = crate::diag::count(layer.pieces.len(), "sheet");
    figure.shows = format!(
        "{} from the front to scale, with {sheets} numbered in laying order; grey is where two overlap",
        group.name
    );
    Some((figure, layer::sizes(&alike)))
}

/// A panel on which nothing is laid.
pub(in crate::report) fn bare(plan: &Plan, group: &Group<'_>) -> Option<Figure> {
    let nothing = LaidLayer {
        panel: group.panel,
        step: 0,
        layer: 0,
        material: String::new(),
        way: Way::Upright,
        overlap: Length::ZERO,
        seam_distance: Length::ZERO,
        canvas_seam_distance: Length::ZERO,
        longest_piece: None,
        laying: crate::recipe::Laying::TopDown,
        bands: std::sync::Arc::default(),
        region: std::sync::Arc::default(),
        pieces: Vec::new(),
        laid: Area::ZERO,
    };
    let (mut figure, _) = layer(plan, group, &nothing)?;
    figure.title.clone_from(&group.name);
    figure.shows = format!("{} from the front to scale", group.name);
    Some(figure)
}

/// A drum across its axis.
pub(in crate::report) fn section(plan: &Plan, drum: &Drum) -> Figure {
    let (mut figure, room) = of_drum(drum, "in section", (4.0, 106.0));
    figure.height = 112.0;
    let scale = drums::section(plan, &mut figure, drum, &room);
    scale.rule(plan, &mut figure, (room.left, room.bottom + 2.0));
    figure.shows = format!(
        "The tube of drum {} with {:.1} turns of the paintings on it",
        drum.id, drum.turns
    );
    figure
}

/// A drum from the front with the panels along it.
pub(in crate::report) fn along(plan: &Plan, drum: &Drum) -> Figure {
    let (mut figure, room) = of_drum(drum, "from the front", (2.0, 60.0));
    let (scale, low) = drums::elevation(plan, &mut figure, drum, &room);
    scale.rule(plan, &mut figure, (room.left, low));
    figure.height = low + 2.0;
    let panels = drum.panels.iter().enumerate();
    let panels = panels.map(|(at, rolled)| format!("{}: {}", at + 1, plan.panel_id(rolled.panel)));
    figure.shows = format!(
        "Drum {} with its panels from the marked end: {}",
        drum.id,
        panels.collect::<Vec<_>>().join(", ")
    );
    figure
}

/// An empty drawing of a drum, and the room in it from one height to another.
fn of_drum(drum: &Drum, view: &str, (top, bottom): (f64, f64)) -> (Figure, Frame) {
    let title = format!("Drum {} {view}", drum.id);
    let room = Frame {
        left: SIDE,
        top,
        right: WIDTH - SIDE,
        bottom,
    };
    (Figure::new((WIDTH, bottom + 2.0), "Drums", &title), room)
}

/// The panel of a group.
pub(in crate::report) fn panel<'a>(plan: &'a Plan, group: &Group<'_>) -> Option<&'a Panel> {
    plan.survey.panels.get(group.panel)
}
