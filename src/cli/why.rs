//! `facelay why JOB WHAT`: how a figure came about, down to what the person wrote.

use std::collections::BTreeSet;

use crate::diag;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::format;

use super::Ending;
use super::args::Why;
use super::load;
use super::say;

/// Prints the derivations that the words name.
pub(super) fn run(arguments: &Why) -> Ending {
    let Some(plan) = load::plan(&arguments.job) else {
        return Ending::Refused;
    };
    let found = matching(&plan.ledger, &arguments.what);
    if found.is_empty() {
        return nothing(&plan.ledger, &arguments.what);
    }
    if arguments.json {
        return say::print((json(&found) + "\n").as_bytes());
    }
    let (mut shown, mut text) = (BTreeSet::new(), String::new());
    for derivation in found {
        tell(&plan.ledger, derivation, 0, &mut shown, &mut text);
    }
    say::print(text.as_bytes())
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
    let parts: BTreeSet<&str> = ledger
        .iter()
        .flat_map(|derivation| derivation.id.split('/').chain([derivation.id.as_str()]))
        .collect();
    let help = diag::nearest(what, parts.iter().copied()).map_or_else(
        || kinds(ledger),
        |near| format!("write `{near}` if that is meant"),
    );
    say::error(format!("nothing is known of `{what}`"), &help);
    Ending::Refused
}

/// What figures there are.
fn kinds(ledger: &Ledger) -> String {
    let kinds: BTreeSet<&str> = ledger
        .iter()
        .filter_map(|derivation| derivation.id.split('/').next())
        .collect();
    format!(
        "ask for one of {}, e.g. drum/D1",
        diag::list(&kinds.into_iter().collect::<Vec<_>>(), "or")
    )
}

/// Tells a derivation and, indented below it, those that its inputs come from; each once.
fn tell(
    ledger: &Ledger,
    derivation: &Derivation,
    depth: usize,
    shown: &mut BTreeSet<String>,
    text: &mut String,
) {
    if depth > DEEPEST || !shown.insert(derivation.id.clone()) {
        return;
    }
    let indent = "  ".repeat(depth);
    *text += &format::wrap(&indent, &format!("{}: {}", derivation.id, derivation.title));
    for (mark, words) in lines(derivation) {
        *text += &format::wrap(&format!("{indent}  {mark}"), &words);
    }
    text.push('\n');
    for from in derivation
        .inputs
        .iter()
        .filter_map(|input| input.from.as_deref())
    {
        if let Some(earlier) = ledger.get(from) {
            tell(ledger, earlier, depth + 1, shown, text);
        }
    }
}

/// Nothing is derived in more steps than this.
const DEEPEST: usize = 6;

/// The lines of a derivation below its title: what each begins with, and its words.
fn lines(derivation: &Derivation) -> Vec<(&'static str, String)> {
    let mut lines = vec![
        ("= ", derivation.result.clone()),
        ("by ", derivation.formula.clone()),
    ];
    lines.extend(
        derivation
            .inputs
            .iter()
            .map(|input| ("- ", format!("{}: {}", input.name, input.value))),
    );
    lines.extend(
        derivation
            .rounding
            .iter()
            .map(|rounding| ("rounded: ", rounding.clone())),
    );
    lines.extend(
        derivation
            .source
            .iter()
            .map(|source| ("source: ", source.clone())),
    );
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
