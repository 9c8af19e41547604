//! `facelay why JOB WHAT`: how a figure came about, down to what the person wrote.

use std::collections::BTreeSet;

use anstream::println;

use crate::diag;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::format;

use super::Ending;
use super::args::Why;
use super::load;

/// Prints the derivations that the words name.
pub(super) fn run(arguments: &Why) -> Ending {
    let Some(plan) = load::plan(&arguments.job) else { return Ending::Refused };
    let found = matching(&plan.ledger, &arguments.what);
    if found.is_empty() {
        return nothing(&plan.ledger, &arguments.what);
    }
    if arguments.json {
        println!("{}", json(&found));
        return Ending::Done;
    }
    let mut shown = BTreeSet::new();
    for derivation in found {
        print(&plan.ledger, derivation, 0, &mut shown);
    }
    Ending::Done
}

/// The derivation of that id; else all those in whose id the words are a part between slashes.
fn matching<'a>(ledger: &'a Ledger, what: &str) -> Vec<&'a Derivation> {
    if let Some(exact) = ledger.get(what) {
        return vec![exact];
    }
    let beginning = format!("{what}/");
    let within = |derivation: &&Derivation| {
        derivation.id.split('/').any(|part| part == what) || derivation.id.starts_with(&beginning)
    };
    ledger.iter().filter(within).collect()
}

fn nothing(ledger: &Ledger, what: &str) -> Ending {
    let parts: BTreeSet<&str> = ledger.iter().flat_map(|derivation| derivation.id.split('/').chain([derivation.id.as_str()])).collect();
    let hint = diag::nearest(what, parts.iter().copied())
        .map_or_else(|| kinds(ledger), |near| format!("did you mean `{near}`?"));
    anstream::eprintln!("error: nothing is known of `{what}`\nhelp: {hint}");
    Ending::Refused
}

/// What figures there are.
fn kinds(ledger: &Ledger) -> String {
    let kinds: BTreeSet<&str> = ledger.iter().filter_map(|derivation| derivation.id.split('/').next()).collect();
    format!("ask for one of {}, e.g. drum/D1", diag::list(&kinds.into_iter().collect::<Vec<_>>(), "or"))
}

/// Prints a derivation and, indented below it, those that its inputs come from; each once.
fn print(ledger: &Ledger, derivation: &Derivation, depth: usize, shown: &mut BTreeSet<String>) {
    if !shown.insert(derivation.id.clone()) || depth > DEEPEST {
        return;
    }
    for line in lines(derivation) {
        anstream::print!("{}", format::wrap(&"  ".repeat(depth), &line));
    }
    println!();
    for from in derivation.inputs.iter().filter_map(|input| input.from.as_deref()) {
        if let Some(earlier) = ledger.get(from) {
            print(ledger, earlier, depth + 1, shown);
        }
    }
}

/// Nothing is derived in more steps than this.
const DEEPEST: usize = 6;

fn lines(derivation: &Derivation) -> Vec<String> {
    let mut lines = vec![
        format!("{}: {}", derivation.id, derivation.title),
        format!("= {}", derivation.result),
        format!("by {}", derivation.formula),
    ];
    lines.extend(derivation.inputs.iter().map(|input| format!("- {}: {}", input.name, input.value)));
    lines.extend(derivation.rounding.iter().map(|rounding| format!("rounded: {rounding}")));
    lines.extend(derivation.source.iter().map(|source| format!("source: {source}")));
    lines
}

fn json(found: &[&Derivation]) -> String {
    let rows: Vec<serde_json::Value> = found
        .iter()
        .map(|derivation| {
            serde_json::json!({
                "id": derivation.id,
                "title": derivation.title,
                "result": derivation.result,
                "formula": derivation.formula,
                "inputs": derivation.inputs.iter().map(|input| serde_json::json!({
                    "name": input.name, "value": input.value, "from": input.from,
                })).collect::<Vec<_>>(),
                "rounding": derivation.rounding,
                "source": derivation.source,
            })
        })
        .collect();
    serde_json::to_string_pretty(&rows).unwrap_or_default()
}
