//! Warnings of seams that come nearer to others than the recipe allows.

use std::sync::Arc;

use crate::diag::Problems;
use crate::diag::count;
use crate::job::Job;
use crate::recipe::Step;
use crate::survey::Panel;
use crate::survey::Survey;
use crate::units::Length;

use super::sheets::Laid;
use super::sheets::recipe_of;

/// Warns of layers whose seams come too near to those of the layer below or to the canvas's own, once for all panels
/// that are laid alike.
pub(super) fn warn(job: &Job, survey: &Survey, laid: &[Arc<Vec<Laid>>], problems: &mut Problems) {
    for (index, (panel, layers)) in survey.panels.iter().zip(laid).enumerate() {
        let Some(recipe) = recipe_of(job, panel) else {
            continue;
        };
        let near = |layer: &&Laid| layer.first == index && is_near(layer);
        for layer in layers.iter().filter(near) {
            let Some(step) = recipe.steps.get(layer.step) else {
                continue;
            };
            let alike = laid
                .iter()
                .filter(|other| Arc::ptr_eq(other, layers))
                .count();
            let which = which(panel, alike - 1, step);
            let at = || job.panels.get(panel.row).map(|row| row.at.clone());
            if let Some(near) = layer.layout.too_near {
                let what = (step.seam_distance, "seams of the layer below");
                let help = "allow the step both directions, take a larger sheet, or lessen `seam_distance` or `overlap`";
                problems.warning(at(), told(&which, near, what), help);
            }
            if let Some(near) = layer.layout.near_canvas {
                let what = (step.canvas_seam_distance, "the canvas's own seams");
                let help = "allow the step both directions, or lessen `canvas_seam_distance`";
                problems.warning(at(), told(&which, near, what), help);
            }
        }
    }
}

fn is_near(layer: &Laid) -> bool {
    layer.layout.too_near.is_some() || layer.layout.near_canvas.is_some()
}

fn which(panel: &Panel, others: usize, step: &Step) -> String {
    let like_it = if others > 0 {
        format!(" and {} like it", count(others, "panel"))
    } else {
        String::new()
    };
    format!("panel `{}`{like_it}, step `{}`", panel.id, step.id)
}

fn told(which: &str, (length, nearest): (Length, Length), (least, what): (Length, &str)) -> String {
    format!(
        "{which}: {:.2} m of seams lie nearer than {} mm to {what}, the nearest {:.0} mm",
        length.to_m(),
        least.to_mm(),
        nearest.to_mm()
    )
}
