//! Names for the indexes in a plan, and sums that several outputs show.

use std::collections::BTreeMap;

use crate::crating::Contents;
use crate::crating::Crate;
use crate::job::PanelRow;
use crate::recipe::Step;
use crate::recipe::steps::StepKind;
use crate::rolling::Drum;
use crate::takeoff::Part;
use crate::units::Mass;
use crate::units::Volume;

use super::Plan;

/// One step's solution over all panels.
#[derive(Clone, Debug, PartialEq)]
pub struct StepSolution<'a> {
    /// The recipe's id.
    pub recipe: &'a str,
    /// The step's id within it.
    pub step: &'a str,
    /// The solution's id within the recipe.
    pub solution: &'a str,
    /// Mass of solution, waste included.
    pub mass: Mass,
    /// What it is mixed from.
    pub parts: Vec<Part>,
}

impl Plan {
    /// The name of a panel of the survey.
    pub fn panel_id(&self, panel: usize) -> &str {
        self.survey.panels.get(panel).map_or("", |panel| &panel.id)
    }

    /// The row that a panel of the survey was written in.
    pub fn row_of(&self, panel: usize) -> Option<&PanelRow> {
        self.job.panels.get(self.survey.panels.get(panel)?.row)
    }

    /// A step of a panel's recipe.
    pub fn step_of(&self, panel: usize, step: usize) -> Option<&Step> {
        self.job.recipe_of(self.row_of(panel)?)?.steps.get(step)
    }

    /// The name of a material; its id where the catalogue does not have it.
    pub fn material_name<'a>(&'a self, id: &'a str) -> &'a str {
        self.job
            .catalog
            .materials
            .get(id)
            .map_or(id, |material| &material.name)
    }

    /// The drums and the flat panels in a crate, by name.
    pub fn contents_of(&self, packed: &Crate) -> (Vec<&str>, Vec<&str>) {
        match &packed.contents {
            Contents::Drums(drums) => {
                let named = drums
                    .iter()
                    .filter_map(|&at| self.rolling.drums.get(at))
                    .map(|drum| drum.id.as_str());
                (named.collect(), Vec::new())
            }
            Contents::Flats(flats) => (
                Vec::new(),
                flats.iter().map(|&panel| self.panel_id(panel)).collect(),
            ),
        }
    }

    /// The panels on a drum in the order in which they are rolled: by the schedule, or as they lie on it where it has no such days.
    pub fn rolled_in_order(&self, drum: &Drum) -> Vec<usize> {
        let rolled_on = |panel: usize| {
            let mut of_panel = self.schedule.activities.iter();
            of_panel
                .find(|activity| {
                    activity.panel == Some(panel)
                        && self
                            .step_of(panel, activity.step)
                            .is_some_and(|step| step.kind == StepKind::Roll)
                })
                .map(|activity| activity.start)
        };
        let mut panels: Vec<usize> = drum.panels.iter().map(|rolled| rolled.panel).collect();
        panels.sort_by_cached_key(|panel| rolled_on(*panel));
        panels
    }

    /// Solutions summed over all panels, an entry a recipe's step, in the order of recipes and steps.
    pub fn solutions_by_step(&self) -> Vec<StepSolution<'_>> {
        let mut totals: BTreeMap<(&str, usize), StepSolution<'_>> = BTreeMap::new();
        for need in &self.takeoff.solutions {
            let Some(row) = self.row_of(need.panel) else {
                continue;
            };
            let Some(step) = self.step_of(need.panel, need.step) else {
                continue;
            };
            let total = totals
                .entry((&row.recipe, need.step))
                .or_insert_with(|| StepSolution {
                    recipe: &row.recipe,
                    step: &step.id,
                    solution: &need.solution,
                    mass: Mass::ZERO,
                    parts: Vec::new(),
                });
            total.mass += need.mass;
            add_parts(&mut total.parts, &need.parts);
        }
        totals.into_values().collect()
    }
}

/// Adds a solution's parts to a sum, material by material.
fn add_parts(sum: &mut Vec<Part>, parts: &[Part]) {
    for part in parts {
        match sum.iter_mut().find(|known| known.material == part.material) {
            Some(known) => {
                known.mass += part.mass;
                known.volume = known
                    .volume
                    .zip(part.volume)
                    .map(|(a, b): (Volume, Volume)| a + b);
            }
            None => sum.push(part.clone()),
        }
    }
}
