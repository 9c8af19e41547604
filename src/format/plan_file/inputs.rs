//! What was read, cautions, problems, derivations.

use serde::Serialize;
use serde::ser::SerializeMap;

use crate::diag::Derivation;
use crate::plan::Plan;

use super::Rows;

#[derive(Serialize)]
struct Job<'a> {
    title: &'a str,
    currency: &'a str,
    first_day: String,
    hand_over: Option<String>,
    order_day: String,
    inputs: &'a std::collections::BTreeMap<String, String>,
}

#[derive(Serialize)]
struct Caution<'a> {
    text: &'a str,
    why: &'a str,
    about: &'a str,
}

#[derive(Serialize)]
struct Problem<'a> {
    level: &'a str,
    r#where: Option<String>,
    text: &'a str,
    help: String,
}

#[derive(Serialize)]
struct Because<'a> {
    id: &'a str,
    title: &'a str,
    result: &'a str,
    formula: &'a str,
    inputs: Vec<Input<'a>>,
    rounding: Option<&'a str>,
    source: Option<&'a str>,
}

#[derive(Serialize)]
struct Input<'a> {
    name: &'a str,
    value: &'a str,
    from: Option<&'a str>,
}

pub(super) fn write<M: SerializeMap>(map: &mut M, plan: &Plan) -> Result<(), M::Error> {
    let job = &plan.job;
    map.serialize_entry(
        "job",
        &Job {
            title: &job.title,
            currency: &job.currency,
            first_day: job.first_day.to_string(),
            hand_over: job.hand_over.map(|day| day.to_string()),
            order_day: job.order_day.to_string(),
            inputs: &job.inputs,
        },
    )?;
    map.serialize_entry(
        "cautions",
        &Rows(|| {
            plan.cautions.iter().map(|c| Caution {
                text: &c.text,
                why: &c.why,
                about: &c.about,
            })
        }),
    )?;
    map.serialize_entry("problems", &Rows(|| plan.problems.iter().map(problem)))?;
    map.serialize_entry("derivations", &Rows(|| plan.ledger.iter().map(because)))
}

fn problem(problem: &crate::diag::Problem) -> Problem<'_> {
    Problem {
        level: problem.level.name(),
        r#where: problem.place.as_ref().map(ToString::to_string),
        text: &problem.text,
        help: problem.help.join("; "),
    }
}

fn because(derivation: &Derivation) -> Because<'_> {
    Because {
        id: &derivation.id,
        title: &derivation.title,
        result: &derivation.result,
        formula: &derivation.formula,
        inputs: derivation
            .inputs
            .iter()
            .map(|input| Input {
                name: &input.name,
                value: &input.value,
                from: input.from.as_deref(),
            })
            .collect(),
        rounding: derivation.rounding.as_deref(),
        source: derivation.source.as_deref(),
    }
}
