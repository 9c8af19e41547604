//! What is written on a crate.

use std::collections::BTreeSet;

use crate::catalog::PaintSide;
use crate::job::Job;
use crate::job::PanelRow;
use crate::recipe::Recipe;
use crate::recipe::steps::StepKind;
use crate::rolling::Rolling;
use crate::survey::Survey;
use crate::units::Length;
use crate::units::Mass;
use crate::units::show_length;

use super::item::Item;
use super::outcome::Content;

/// What marks are made from.
#[derive(Clone, Copy)]
pub(super) struct Marked<'a> {
    pub(super) job: &'a Job,
    pub(super) survey: &'a Survey,
    pub(super) rolling: &'a Rolling,
    /// The crate's number and how many there are.
    pub(super) number: (usize, usize),
    pub(super) items: &'a [&'a Item],
    pub(super) gross: Mass,
    pub(super) centre: [Length; 3],
    pub(super) carriers: Option<u32>,
}

/// Returns the lines of a crate's marking; the day of packing comes from the schedule.
///
/// # Sources
/// Common practice: handling marks in words and signs (ISO 780 has the signs, from memory), contents, masses, hazards. Heat-treated wood with
/// its mark on two sides where it crosses borders: ISPM 15 (trade.md section 9.2).
pub(super) fn marks(marked: Marked<'_>) -> Vec<String> {
    let (number, of) = marked.number;
    let drums = marked.items.iter().all(|item| item.is_drum());
    let side = match marked.job.catalog.drum_kit.paint {
        PaintSide::Out => "OUTWARDS",
        PaintSide::In => "INWARDS",
    };
    let mut lines = vec![
        format!("K{number} of {of}"),
        "THIS WAY UP · KEEP DRY · FRAGILE".to_owned(),
        if drums {
            format!(
                "PAINTINGS ROLLED, PAINT {side}: never press or lay anything on the roll; lift by the skids"
            )
        } else {
            "PAINTINGS FLAT ON TRAYS, STANDING: carry on edge, never lay flat; open from the top"
                .to_owned()
        },
    ];
    lines.extend(destinations(&marked));
    lines.extend(marked.items.iter().map(|item| contents(&marked, item)));
    lines.extend(hazards(&marked));
    lines.push(balance(&marked));
    lines.push("wood heat-treated; across borders with the ISPM 15 mark on two sides".to_owned());
    lines
}

/// Where it goes, if the rows say so.
fn destinations(marked: &Marked<'_>) -> Option<String> {
    let all = marked.items.iter().flat_map(|item| rows(marked, item));
    let names: BTreeSet<&str> = all
        .map(|(row, _)| row.destination.as_str())
        .filter(|name| !name.is_empty())
        .collect();
    let names: Vec<&str> = names.into_iter().collect();
    (!names.is_empty()).then(|| format!("to: {}", names.join(", ")))
}

fn contents(marked: &Marked<'_>, item: &Item) -> String {
    let names: Vec<&str> = item
        .panels
        .iter()
        .filter_map(|panel| marked.survey.panels.get(*panel))
        .map(|panel| panel.id.as_str())
        .collect();
    let faced = if rows(marked, item).any(|(_, recipe)| is_faced(recipe)) {
        "facing on"
    } else {
        "no facing"
    };
    match item.content {
        Content::Drum(index) => {
            let drum = marked.rolling.drums.get(index).map_or("", |drum| &drum.id);
            format!("drum {drum}: {}; {faced}", names.join(", "))
        }
        Content::Flat(_) => format!("tray with {}; {faced}", names.join(", ")),
    }
}

fn rows<'a>(
    marked: &Marked<'a>,
    item: &'a Item,
) -> impl Iterator<Item = (&'a PanelRow, &'a Recipe)> {
    let (job, survey) = (marked.job, marked.survey);
    item.panels.iter().filter_map(move |panel| {
        let row = job.panels.get(survey.panels.get(*panel)?.row)?;
        Some((row, job.recipe_of(row)?))
    })
}

/// Says whether the facing is on when the crate is packed.
fn is_faced(recipe: &Recipe) -> bool {
    let before = recipe
        .steps
        .iter()
        .take_while(|step| step.kind != StepKind::Crate);
    before.fold(false, |faced, step| match step.kind {
        StepKind::Layer => true,
        StepKind::RemoveFacing => false,
        StepKind::Marks
        | StepKind::Clean
        | StepKind::Coat
        | StepKind::Release
        | StepKind::Roll
        | StepKind::Reverse
        | StepKind::Crate
        | StepKind::Remount
        | StepKind::Labour => faced,
    })
}

/// Says whether the old adhesive is still on the reverse when the crate is packed.
fn has_residue(recipe: &Recipe) -> bool {
    let mut before = recipe
        .steps
        .iter()
        .take_while(|step| step.kind != StepKind::Crate);
    !before.any(|step| step.kind == StepKind::Reverse)
}

/// Lead, mould and residue, once each.
fn hazards(marked: &Marked<'_>) -> Vec<String> {
    let all = marked.items.iter().flat_map(|item| rows(marked, item));
    let (mut lead, mut mould, mut residues) = (false, false, BTreeSet::new());
    for (row, recipe) in all {
        lead |= row.lead;
        mould |= row.mould;
        if has_residue(recipe) {
            residues.insert(row.adhesive.name());
        }
    }
    let mut lines = Vec::new();
    if lead {
        lines.push("LEAD: residue and dust may hold lead; open only with the protection that local lead rules ask for".to_owned());
    }
    if mould {
        lines.push(
            "MOULD: keep apart; breathing protection, gloves; a competent person opens it"
                .to_owned(),
        );
    }
    if !residues.is_empty() {
        let names: Vec<&str> = residues.into_iter().collect();
        lines.push(format!(
            "old adhesive on the reverse ({}): clean it off soon",
            names.join(", ")
        ));
    }
    lines
}

fn balance(marked: &Marked<'_>) -> String {
    let [along, ..] = marked.centre.map(|side| show_length(side, marked.job.unit));
    let carried = marked.carriers.map_or_else(
        || "lifting gear only".to_owned(),
        |people| crate::diag::count(usize::try_from(people).unwrap_or(0), "person"),
    );
    format!(
        "gross {:.0} kg, {carried}; centre of mass {along} from the left end",
        marked.gross.to_kg().ceil()
    )
}
