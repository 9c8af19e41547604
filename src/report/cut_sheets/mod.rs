//! The sheets that hang on the scaffold: each layer of each panel to scale, how stock is cut, drums, crates.

mod bands;
mod crates;
mod drums;
mod facts;
pub(super) mod inset;
mod layer;
mod list;
mod names;
mod numbers;
mod offcuts;
pub(super) mod page;
mod sign;
mod stock;
mod tubes;
mod view;

use std::collections::BTreeMap;

use crate::plan::Plan;
use crate::takeoff::LaidLayer;
use crate::units::Length;

use super::figure::Booklet;
use super::figure::Figure;
use super::figure::Role;

use layer::Alike;
use page::BODY;

/// More pages of a kind than this would be printed by nobody; a page says how many are left out and where they stand.
const MOST_LAYERS: usize = 400;
const MOST_CUTS: usize = 120;
const MOST_DRUMS: usize = 120;
const MOST_CRATES: usize = 120;

/// Draws the cut sheets: a page a panel and layer, identical panels on one, then cut lists, drums and crates.
pub fn cut_sheets(plan: &Plan) -> Booklet {
    let mut pages = layers(plan);
    cuts(plan, &plan.takeoff.cuts, &mut pages);
    let drums = &plan.rolling.drums;
    let shown = drums.iter().take(MOST_DRUMS);
    pages.extend(shown.map(|drum| drums::page(plan, drum)));
    left_out(
        plan,
        &mut pages,
        "Drums",
        drums.len().saturating_sub(MOST_DRUMS),
    );
    cuts(plan, &tubes::units(plan), &mut pages);
    let crates = &plan.crating.crates;
    let shown = crates.iter().take(MOST_CRATES);
    pages.extend(shown.map(|packed| crates::page(plan, packed)));
    left_out(
        plan,
        &mut pages,
        "Crates",
        crates.len().saturating_sub(MOST_CRATES),
    );
    cuts(plan, &plan.crating.cuts, &mut pages);
    if pages.is_empty() {
        pages.push(note(
            plan,
            "Cut sheets",
            "Nothing is laid, cut, rolled or crated.",
        ));
    }
    let title = format!("{}: cut sheets", plan.job.title);
    page::number_pages(&mut pages, &title);
    Booklet { title, pages }
}

fn layers(plan: &Plan) -> Vec<Figure> {
    let mut pages = Vec::new();
    let mut left = 0;
    for same in alike(plan) {
        if pages.len() >= MOST_LAYERS {
            left += same.names.len();
            continue;
        }
        pages.extend(layer::pages(&same));
    }
    left_out(plan, &mut pages, "Layers", left);
    pages
}

fn cuts(plan: &Plan, cuts: &[crate::takeoff::CutUnit], pages: &mut Vec<Figure>) {
    let most = pages.len() + MOST_CUTS;
    let left = stock::add(plan, cuts, pages, most);
    left_out(plan, pages, "Stock units", left);
}

/// Layers that look the same on the panels of one row, in the order of the first of them.
fn alike(plan: &Plan) -> Vec<Alike<'_>> {
    let mut places: BTreeMap<(usize, u32, Vec<Length>), usize> = BTreeMap::new();
    let mut groups: Vec<Alike<'_>> = Vec::new();
    for layer in &plan.takeoff.layers {
        let Some((panel, row)) = plan
            .survey
            .panels
            .get(layer.panel)
            .zip(plan.row_of(layer.panel))
        else {
            continue;
        };
        let at = *places.entry(key(panel.row, layer)).or_insert(groups.len());
        match groups.get_mut(at) {
            Some(group) => group.names.push(&panel.id),
            None => groups.push(Alike {
                plan,
                layer,
                panel,
                row,
                names: vec![&panel.id],
            }),
        }
    }
    groups
}

/// What tells two layers apart: the row, which layer it is, and where its sheets lie.
fn key(row: usize, layer: &LaidLayer) -> (usize, u32, Vec<Length>) {
    let sides = layer
        .pieces
        .iter()
        .flat_map(|piece| [piece.x, piece.y, piece.width, piece.height]);
    (row, layer.layer, sides.collect())
}

/// A page that says what was left out, if anything was.
fn left_out(plan: &Plan, pages: &mut Vec<Figure>, what: &str, many: usize) {
    if many > 0 {
        let words = format!(
            "{many} more are not drawn, since nobody hangs up so many pages. All of them stand in plan.json. To have some of them drawn, plan \
             their panels as a job of their own."
        );
        pages.push(note(plan, &format!("{what} left out"), &words));
    }
}

fn note(plan: &Plan, title: &str, words: &str) -> Figure {
    let (mut page, top) = page::start(plan, false, title, title);
    let body = page::body(&page, top);
    for (line, words) in super::figure::wrap(words, BODY, body.width())
        .iter()
        .enumerate()
    {
        let y = top + page::LEAD * (page::count(line) + 2.0);
        page.write((body.left, y), BODY, Role::Words, words);
    }
    words.clone_into(&mut page.shows);
    page
}
