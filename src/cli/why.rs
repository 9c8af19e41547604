//! `facelay why JOB WHAT`: how a figure came about, down to what the person wrote.

use std::collections::BTreeSet;

use crate::diag;
use crate::diag::Derivation;
use crate::diag::Ledger;

use super::Ending;
use super::args::Why;
use super::load;
use super::say;

/// Prints the derivations that the words name.
pub(super) fn run(arguments: &Why) -> Ending {
    let Some(plan) = load::plan(&arguments.job) else { return Ending::Refused };
    let found = matching(&plan.ledger, &arguments.what);
    if found.is_empty() {
        return nothing(&plan.ledger, &arguments.what);
    }
    if arguments.json {
        return say::print((json(&found) + "\n").as_bytes());
    }
    let (mut shown, mut lines) = (BTreeSet::new(), String::new());
    for derivation in found {
        tell(&plan.ledger, derivation, 0, &mut shown, &mut lines);
    }
    say::print(lines.as_bytes())
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
    let hint = match diag::nearest(what, parts.iter().copied()) {
        Some(near) => format!("write `{near}` if that is meant"),
        None => {
            let kinds: BTreeSet<&str> = ledger.iter().filter_map(|derivation| derivation.id.split('/').next()).collect();
            format!("ask for one of {}, e.g. drum/D1", diag::list(&kinds.into_iter().collect::<Vec<_>>(), "or"))
        }
    };
    say::error(format!("nothing is known of `{what}`"), &hint);
    Ending::Refused
}

/// Tells a derivation and, indented below it, those that its inputs come from; each once.
fn tell(ledger: &Ledger, derivation: &Derivation, depth: usize, shown: &mut BTreeSet<String>, lines: &mut String) {
    if !shown.insert(derivation.id.clone()) || depth > 6 {
        return;
    }
    let indent = "  ".repeat(depth);
    *lines += &format!("{indent}{}: {}\n", derivation.id, derivation.title);
    *lines += &format!("{indent}  = {}\n", derivation.result);
    *lines += &format!("{indent}  by {}\n", derivation.formula);
    for input in &derivation.inputs {
        *lines += &format!("{indent}    {}: {}\n", input.name, input.value);
    }
    if let Some(rounding) = &derivation.rounding {
        *lines += &format!("{indent}  rounded: {rounding}\n");
    }
    if let Some(source) = &derivation.source {
        *lines += &format!("{indent}  source: {source}\n");
    }
    lines.push('\n');
    for from in derivation.inputs.iter().filter_map(|input| input.from.as_deref()) {
        if let Some(earlier) = ledger.get(from) {
            tell(ledger, earlier, depth + 1, shown, lines);
        }
    }
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
