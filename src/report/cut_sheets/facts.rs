//! What stands over a layer's drawing: what is laid, how, with what, and what to be careful of.

use crate::report::cells::portion;
use crate::report::figure::Figure;
use crate::report::figure::Type;
use crate::units::Length;

use super::layer::Alike;
use super::page::BODY;
use super::page::EDGE;
use super::page::SMALL;
use super::page::STRONG;
use super::page::pair;
use super::page::paragraph;
use super::page::shown;

/// What a layer's page is called.
pub(super) fn title(alike: &Alike<'_>, group: &str) -> String {
    let mut known: Vec<u32> = alike
        .plan
        .takeoff
        .layers
        .iter()
        .skip_while(|layer| layer.panel < alike.layer.panel)
        .take_while(|layer| layer.panel == alike.layer.panel)
        .map(|layer| layer.layer)
        .collect();
    known.dedup();
    format!("{group} · layer {} of {}", alike.layer.layer, known.len())
}

/// Writes the facts under `top` and gives where they end.
pub(super) fn write(alike: &Alike<'_>, page: &mut Figure, top: f64) -> f64 {
    let width = page.width - 2.0 * EDGE;
    let mut y = top;
    let mut say = |most: usize, face: Type, words: &str| {
        if !words.is_empty() {
            y = paragraph(page, (EDGE, y), (width, most), face, words);
        }
    };
    say(2, STRONG, &what(alike));
    if alike.names.len() > 1 {
        let words = format!(
            "This page holds for {} panels that are laid alike: {}.",
            alike.names.len(),
            super::names::panels(&alike.names)
        );
        say(3, STRONG, &words);
    }
    say(2, BODY, &how(alike));
    say(2, BODY, &mix(alike));
    say(2, BODY, &openings(alike));
    if !alike.row.notes.is_empty() {
        say(2, BODY, &format!("Notes: {}", alike.row.notes));
    }
    let cautions = cautions(alike);
    if !cautions.is_empty() {
        say(4, SMALL, &format!("Caution: {}.", cautions.join("; ")));
    }
    say(
        2,
        SMALL,
        "Heavy line: the painting. Thin: sheets, numbered in laying order. Grey: overlaps. Dashed: edge of this layer. Crossed: openings.",
    );
    page.line((EDGE, y + 1.8), (EDGE + width, y + 1.8), 0.2);
    y + 2.0
}

fn what(alike: &Alike<'_>) -> String {
    let plan = alike.plan;
    let name = plan
        .step_of(alike.layer.panel, alike.layer.step)
        .map_or("", |step| step.name.as_str());
    let place = if alike.row.place.is_empty() {
        String::new()
    } else {
        format!(" · {}", alike.row.place)
    };
    format!(
        "{name}: {} · sheets {} · {} sheets{place}",
        plan.material_name(&alike.layer.material),
        alike.layer.way.name(),
        alike.layer.pieces.len()
    )
}

fn how(alike: &Alike<'_>) -> String {
    let plan = alike.plan;
    let mut sentences = vec![format!(
        "Overlap at least {}.",
        shown(plan, alike.layer.overlap)
    )];
    if let Some(step) = plan.step_of(alike.layer.panel, alike.layer.step) {
        let edge = if step.margin.is_positive() {
            format!("goes {} past the outline", shown(plan, step.margin))
        } else if step.margin < Length::ZERO {
            format!("ends {} inside the outline", shown(plan, -step.margin))
        } else {
            "ends at the outline".to_owned()
        };
        let openings = if alike.panel.openings.is_empty() || !step.opening_lap.is_positive() {
            String::new()
        } else {
            format!(" and {} into openings", shown(plan, step.opening_lap))
        };
        sentences.push(format!("The layer {edge}{openings}."));
    }
    if alike.layer.seam_distance.is_positive() && alike.layer.layer > 1 {
        let distance = shown(plan, alike.layer.seam_distance);
        sentences.push(format!(
            "Seams stay {distance} from those of the layer below."
        ));
    }
    sentences.join(" ")
}

/// What is brushed on, what it is mixed from, and how long it dries.
fn mix(alike: &Alike<'_>) -> String {
    let (plan, layer) = (alike.plan, alike.layer);
    let here = (layer.panel, layer.step);
    let needs = &plan.takeoff.solutions;
    let first = needs.partition_point(|need| (need.panel, need.step) < here);
    let needs = needs.iter().skip(first);
    let mixes = needs
        .take_while(|need| (need.panel, need.step) == here)
        .map(|need| {
            let parts: Vec<String> = need.parts.iter().map(|part| portion(plan, part)).collect();
            format!(
                "Mix {}: {:.0} g for each panel, waste included ({}).",
                need.solution,
                need.mass.to_g(),
                parts.join(", ")
            )
        });
    let mut sentences: Vec<String> = mixes.collect();
    let drying = plan
        .exposure
        .drying
        .iter()
        .find(|drying| drying.recipe == alike.row.recipe && drying.step == layer.step);
    if let Some(drying) = drying.filter(|drying| drying.dry_minutes > 0) {
        sentences.push(format!(
            "Dries {} h {:02} min before the next step.",
            drying.dry_minutes / 60,
            drying.dry_minutes % 60
        ));
    }
    sentences.join(" ")
}

fn openings(alike: &Alike<'_>) -> String {
    let plan = alike.plan;
    let each = alike
        .row
        .openings
        .iter()
        .zip('A'..='Z')
        .map(|(opening, letter)| {
            format!(
                "{letter} {}, {} from the left, {} up",
                pair(plan, opening.width, opening.height),
                shown(plan, opening.left),
                shown(plan, opening.bottom)
            )
        });
    let words = each.collect::<Vec<_>>().join("; ");
    if words.is_empty() {
        words
    } else {
        format!("Openings: {words}.")
    }
}

fn cautions(alike: &Alike<'_>) -> Vec<String> {
    let mut cautions = Vec::new();
    if alike.row.lead {
        cautions.push(
            "lead is known or suspected on this panel: local lead rules and a competent person decide protection and waste"
                .to_owned(),
        );
    }
    if alike.row.mould {
        cautions.push("mould has been seen on this panel: wear breathing protection".to_owned());
    }
    if let Some(step) = alike.plan.step_of(alike.layer.panel, alike.layer.step) {
        cautions.extend(
            step.kind
                .rule()
                .cautions
                .iter()
                .map(|text| (*text).to_owned()),
        );
    }
    cautions
}
