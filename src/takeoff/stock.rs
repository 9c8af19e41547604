//! The stock that each laying step is laid from, looked up once; what cannot be laid is refused.

use std::collections::BTreeMap;

use crate::catalog::Grain;
use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::diag::Problems;
use crate::job::Job;
use crate::recipe::PlaceRole;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::survey::Survey;
use crate::units::Length;

use super::layout::Form;
use super::sheets::recipe_of;

/// What a step is laid from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stock {
    /// Its number among all materials.
    pub material: usize,
    /// Its size.
    pub form: Form,
    /// Least overlap of outer edges.
    ///
    /// Torn tissue ends in loose fibres that hold nothing and print no line into the paint (common practice): an
    /// overlap counts from full thickness to full thickness, so both feathered edges are added.
    pub overlap: Length,
}

/// The stock of every step that lays any, by recipe and step.
pub(super) type Stocks<'a> = BTreeMap<(&'a str, usize), Stock>;

/// Looks up the stock of every laying step in use once; what cannot be laid is reported and left out.
pub(super) fn of_steps<'a>(job: &'a Job, survey: &Survey, problems: &mut Problems) -> Stocks<'a> {
    let ids: Vec<&str> = job.catalog.materials.keys().map(String::as_str).collect();
    let used: BTreeMap<&str, &Recipe> = survey
        .panels
        .iter()
        .filter_map(|panel| recipe_of(job, panel))
        .map(|recipe| (recipe.id.as_str(), recipe))
        .collect();
    let mut stocks = BTreeMap::new();
    for recipe in used.values() {
        for (number, step) in recipe.steps.iter().enumerate() {
            let Some(id) = step.material.as_deref().filter(|_| step.kind.rule().lays) else {
                continue;
            };
            let number_of = ids.binary_search(&id).unwrap_or(0);
            let found = job.catalog.materials.get(id);
            let which = format!("recipe `{}`, step `{}`", recipe.id, step.id);
            let stock = found.and_then(|found| stock_of(&which, step, found, problems));
            let Some((form, overlap)) = stock else {
                continue;
            };
            if reaches_over_lifts(job, &which, step, overlap, problems) {
                let stock = Stock {
                    material: number_of,
                    form,
                    overlap,
                };
                stocks.insert((recipe.id.as_str(), number), stock);
            }
        }
    }
    stocks
}

/// The form of a step's stock, with the overlap of outer edges.
///
/// Grain: where a material has one, its pieces are not turned when they are cut, so that on the wall the fibres run
/// the way the step's sheets run; without grain a piece may lie either way on its stock.
fn stock_of(
    which: &str,
    step: &Step,
    material: &Material,
    problems: &mut Problems,
) -> Option<(Form, Length)> {
    let id = &material.id;
    let roll = material.kind == MaterialKind::Roll;
    if !roll && material.kind != MaterialKind::Sheet {
        let text = format!("{which}: `{id}` is neither sheet nor roll, so it cannot be laid");
        problems.error(None, text, "name a material of kind `sheet` or `roll`");
        return None;
    }
    let (Some(width), Some(length)) = (material.width, material.length) else {
        let text = format!("{which}: `{id}` has no width or no length");
        problems.error(None, text, "write both in the materials table");
        return None;
    };
    let narrow = width.min(length);
    let overlap = step.overlap.max(Length::ZERO) + material.feather + material.feather;
    if narrow <= overlap + overlap {
        let torn = if material.feather.is_positive() {
            ", both torn edges counted"
        } else {
            ""
        };
        let text = format!(
            "{which}: `{id}` is {} mm wide, no more than twice its overlap of {} mm{torn}",
            narrow.to_mm(),
            overlap.to_mm()
        );
        problems.error(None, text, "choose a wider material or a smaller overlap");
        return None;
    }
    if let Some(longest) = step
        .longest_piece
        .filter(|longest| *longest <= overlap + overlap)
    {
        let text = format!(
            "{which}: the longest piece of {} mm is no more than twice its overlap of {} mm",
            longest.to_mm(),
            overlap.to_mm()
        );
        problems.error(
            None,
            text,
            "write a longer `longest_piece` or a smaller `overlap`",
        );
        return None;
    }
    let form = Form {
        width,
        length,
        roll,
        turns: material.grain == Grain::None,
    };
    Some((form, overlap))
}

/// Says whether the sheets of two lifts can lap at all between their reaches.
fn reaches_over_lifts(
    job: &Job,
    which: &str,
    step: &Step,
    overlap: Length,
    problems: &mut Problems,
) -> bool {
    let site = job.places.iter().find(|site| site.role == PlaceRole::Site);
    let Some(site) = site.filter(|site| !site.lifts.is_empty() && step.place == site.role) else {
        return true;
    };
    let reach = site.lift_reach + site.lift_reach;
    if reach >= overlap {
        return true;
    }
    let text = format!(
        "{which}: sheets of two scaffold lifts cannot overlap by {} mm where each may reach {} mm past the other's boundary",
        overlap.to_mm(),
        site.lift_reach.to_mm()
    );
    let help = format!(
        "write a `lift_reach` of at least {} mm",
        overlap.half().to_mm_up()
    );
    problems.error(None, text, &help);
    false
}
