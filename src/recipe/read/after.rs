//! Which steps a step waits for: the one above it, or those that its `after` names.

use crate::diag::Problems;
use crate::diag::nearest;
use crate::input::Document;
use crate::input::Field;

/// A step as far as the order of steps goes.
struct Known<'a> {
    id: String,
    after: Option<Field<'a>>,
    /// The steps it waits for.
    waits: Vec<usize>,
}

/// Checks that every `after` names steps of the recipe that stand above, and that no steps wait for one another in a circle.
pub(super) fn check(document: &Document, problems: &mut Problems) {
    let silent = &mut Problems::new();
    let sections = document.root().field("step").sections(silent);
    let mut steps: Vec<Known<'_>> = Vec::new();
    for section in &sections {
        steps.push(Known {
            id: section.field("id").text(silent).unwrap_or_default(),
            after: section.has("after").then(|| section.field("after")),
            waits: Vec::new(),
        });
    }
    let ids: Vec<String> = steps.iter().map(|step| step.id.clone()).collect();
    for (at, step) in steps.iter_mut().enumerate() {
        step.waits = match &step.after {
            None => at.checked_sub(1).into_iter().collect(),
            Some(field) => named(field, &ids, problems),
        };
    }
    let mut told: Vec<usize> = Vec::new();
    for (at, step) in steps.iter().enumerate() {
        let Some(field) = &step.after else { continue };
        let below = step.waits.iter().find(|&&other| other >= at);
        if let Some(circle) = circle(&steps, at).filter(|_| !told.contains(&at)) {
            let names: Vec<&str> = circle
                .iter()
                .filter_map(|&at| ids.get(at))
                .map(String::as_str)
                .collect();
            field.problem(
                format!("these steps wait for one another in a circle: `{}`", names.join("` after `")),
                "name only steps that are done before it; a step without `after` waits for the step above it",
                problems,
            );
            told.extend(circle);
        } else if let Some(other) = below.and_then(|&other| ids.get(other))
            && !told.contains(&at)
        {
            field.problem(
                format!("the step `{other}` stands below the step that waits for it"),
                format!("move the step `{other}` above it"),
                problems,
            );
        }
    }
}

/// The steps that a list names.
fn named(field: &Field<'_>, ids: &[String], problems: &mut Problems) -> Vec<usize> {
    let mut found = Vec::new();
    for item in field.list(problems) {
        // What is no text is told where the step is read.
        let Some(id) = item.text(&mut Problems::new()) else {
            continue;
        };
        if let Some(at) = ids.iter().position(|known| *known == id) {
            found.push(at);
        } else {
            let help = nearest(&id, ids.iter().map(String::as_str)).map_or_else(
                || "write the id of a step above it".to_owned(),
                |near| format!("write `{near}` if that is meant"),
            );
            item.problem(format!("this recipe has no step `{id}`"), help, problems);
        }
    }
    found
}

/// The way from a step back to itself, if there is one, both ends named.
fn circle(steps: &[Known<'_>], from: usize) -> Option<Vec<usize>> {
    // How each step was reached.
    let mut reached: Vec<Option<usize>> = vec![None; steps.len()];
    let mut open = vec![from];
    while let Some(at) = open.pop() {
        for &other in steps.get(at).map_or(&[][..], |step| &step.waits) {
            if other == from {
                let mut way = vec![from];
                let mut back = at;
                while back != from {
                    way.push(back);
                    back = reached.get(back).copied().flatten()?;
                }
                way.push(from);
                way.reverse();
                return Some(way);
            }
            if let Some(mark @ None) = reached.get_mut(other) {
                *mark = Some(at);
                open.push(other);
            }
        }
    }
    None
}
