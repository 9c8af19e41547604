//! What it really took: planned against actual hours and solution, step by step, and the rates that follow for the next job.

use std::collections::BTreeMap;

use crate::job::Progress;
use crate::plan::Plan;
use crate::recipe::Step;
use crate::schedule::Planned;

use super::Column;
use super::Sheet;
use super::Table;
use super::Value;

/// Stands beside the suggested values.
const HOW: &str = "Suggested: the recipe's value times what was really taken over what was planned for the share that is done, all panels \
    together. From one or two panels it is a hint, not a rate.";

/// Adds the tables to a sheet, where anything was written down.
pub(super) fn add(plan: &Plan, sheet: Sheet) -> Sheet {
    let (work, solution) = (work(plan), solution(plan));
    if work.rows.is_empty() && solution.rows.is_empty() {
        return sheet;
    }
    let mut sheet = sheet.heading("What it took: hours").table(work);
    if !solution.rows.is_empty() {
        sheet = sheet.heading("What it took: solution").table(solution);
    }
    sheet.note(HOW)
}

/// A sheet of its own, where anything was written down.
pub(super) fn sheet(plan: &Plan) -> Option<Sheet> {
    let sheet = add(
        plan,
        Sheet::new("what it took", "What it really took").across(),
    );
    (!sheet.blocks.is_empty()).then_some(sheet)
}

/// What a step was planned to take and took, over panels.
#[derive(Default)]
struct Sum {
    panels: usize,
    planned: f64,
    actual: f64,
    /// The least and most of actual over planned on one panel.
    least: f64,
    most: f64,
    /// Square metres, where it is solution.
    area: f64,
}

impl Sum {
    fn add(&mut self, planned: f64, actual: f64, area: f64) {
        let ratio = actual / planned;
        (self.least, self.most) = if self.panels == 0 {
            (ratio, ratio)
        } else {
            (self.least.min(ratio), self.most.max(ratio))
        };
        self.panels += 1;
        self.planned += planned;
        self.actual += actual;
        self.area += area;
    }

    fn ratio(&self) -> f64 {
        self.actual / self.planned
    }
}

/// Sums by recipe and step, of what somebody wrote down in one of the columns.
fn sums(
    plan: &Plan,
    of: impl Fn(&Planned, &Progress) -> Option<(f64, f64, f64)>,
) -> Vec<(&str, &Step, Sum)> {
    let known = plan.job.planning.progress_by_step();
    let mut sums: BTreeMap<(&str, usize), Sum> = BTreeMap::new();
    for planned in &plan.schedule.planned {
        let recipe = plan.job.recipes.get(&planned.recipe);
        let Some(step) = recipe.and_then(|recipe| recipe.steps.get(planned.step)) else {
            continue;
        };
        let row = known.get(&(planned.subject.as_str(), step.id.as_str()));
        let found = row.and_then(|row| of(planned, row));
        if let Some((share, actual, area)) = found.filter(|(share, ..)| *share > 0.0) {
            let sum = sums.entry((planned.recipe.as_str(), planned.step));
            sum.or_default().add(share, actual, area);
        }
    }
    let named = |((recipe, step), sum)| {
        let step = plan.job.recipes.get(recipe)?.steps.get(step)?;
        Some((recipe, step, sum))
    };
    sums.into_iter().filter_map(named).collect()
}

fn work(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("recipe"),
        Column::text("step"),
        Column::number("panels", 0),
        Column::number("planned hours", 2),
        Column::number("actual hours", 2),
        Column::number("times", 2),
        Column::number("least", 2),
        Column::number("most", 2),
        Column::text("rate in the recipe").only_wide(),
        Column::text("suggested"),
    ];
    let of = |planned: &Planned, row: &Progress| {
        let hours = f64::from(planned.work_minutes) / 60.0;
        Some((hours * row.done, row.hours?, 0.0))
    };
    let rows = sums(plan, of).into_iter().map(|(recipe, step, sum)| {
        let rates = |factor: f64| {
            let told = step
                .work
                .iter()
                .map(|work| format!("{:.1} min/{}", work.minutes * factor, work.per.name()));
            Value::Text(told.collect::<Vec<_>>().join(" + "))
        };
        vec![
            Value::text(recipe),
            Value::text(&step.id),
            Value::count(sum.panels),
            Value::Number(sum.planned),
            Value::Number(sum.actual),
            Value::Number(sum.ratio()),
            Value::Number(sum.least),
            Value::Number(sum.most),
            rates(1.0),
            rates(sum.ratio()),
        ]
    });
    Table::new("TookHours", columns).rows(rows)
}

fn solution(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("recipe"),
        Column::text("step"),
        Column::number("panels", 0),
        Column::number("area (m2)", 2),
        Column::number("planned (g)", 0),
        Column::number("actual (g)", 0),
        Column::number("actual (g/m2)", 1),
        Column::number("least", 1),
        Column::number("most", 1),
        Column::number("spread in the recipe (g/m2)", 1).only_wide(),
        Column::number("suggested spread (g/m2)", 1),
    ];
    let of = |planned: &Planned, row: &Progress| {
        let actual = row.solution?;
        let mut needs = plan.takeoff.solutions.iter();
        let need =
            needs.find(|need| Some(need.panel) == planned.panel && need.step == planned.step)?;
        Some((
            need.mass.to_g() * row.done,
            actual,
            area(plan, need.panel, need.step) * row.done,
        ))
    };
    let rows = sums(plan, of).into_iter().map(|(recipe, step, sum)| {
        let planned = sum.planned / sum.area;
        let spread = step.spread.unwrap_or(0.0);
        vec![
            Value::text(recipe),
            Value::text(&step.id),
            Value::count(sum.panels),
            Value::Number(sum.area),
            Value::Number(sum.planned),
            Value::Number(sum.actual),
            Value::Number(sum.actual / sum.area),
            Value::Number(sum.least * planned),
            Value::Number(sum.most * planned),
            Value::Number(spread),
            Value::Number(spread * sum.ratio()),
        ]
    });
    Table::new("TookSolution", columns).rows(rows)
}

/// The area that a step's solution is brushed on: what is laid, or the panel.
fn area(plan: &Plan, panel: usize, step: usize) -> f64 {
    let laid = plan
        .takeoff
        .layers
        .iter()
        .filter(|layer| layer.panel == panel && layer.step == step);
    let laid: f64 = laid.map(|layer| layer.laid.to_m2()).sum();
    if laid > 0.0 {
        return laid;
    }
    let surveyed = plan.survey.panels.get(panel);
    surveyed.map_or(0.0, |panel| panel.area.to_m2())
}
