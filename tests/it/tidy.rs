//! Rules about the source: the one-way order of modules, a purpose line in every file, lengths, lists that name every file.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

use super::folders::files_ending;

/// The modules, each of which may use only those before it. The first five know nothing of murals.
const ORDER: &[&str] = &[
    "units", "diag", "geometry", "solver", "input", "catalog", "recipe", "job", "survey",
    "takeoff", "rolling", "crating", "exposure", "schedule", "purchase", "bid", "plan", "report",
    "format", "files", "view", "cli",
];

fn sources() -> Vec<(PathBuf, String)> {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let files = files_ending(&source, "rs").into_iter();
    files
        .map(|path| {
            let text = fs::read_to_string(&path).unwrap();
            (path, text)
        })
        .collect()
}

fn module_of(path: &Path) -> String {
    let inner = path
        .strip_prefix(Path::new(env!("CARGO_MANIFEST_DIR")).join("src"))
        .unwrap();
    inner
        .components()
        .next()
        .unwrap()
        .as_os_str()
        .to_str()
        .unwrap()
        .trim_end_matches(".rs")
        .to_owned()
}

/// Every mention of `crate::module` in a line of code.
fn mentioned(line: &str) -> Vec<&str> {
    let code = line.split("//").next().unwrap_or("");
    code.match_indices("crate::")
        .map(|(at, found)| &code[at + found.len()..])
        .map(|rest| {
            rest.split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
                .unwrap_or("")
        })
        .collect()
}

#[test]
fn data_flows_one_way() {
    let rank: BTreeMap<&str, usize> = ORDER
        .iter()
        .enumerate()
        .map(|(at, name)| (*name, at))
        .collect();
    let mut broken = Vec::new();
    for (path, text) in sources() {
        let module = module_of(&path);
        let Some(&own) = rank.get(module.as_str()) else {
            continue;
        };
        for (number, line) in text.lines().enumerate() {
            let place = format!("{}:{}: {}", path.display(), number + 1, line.trim());
            if line.contains("crate::{") || line.contains("super::super") {
                broken.push(format!(
                    "one `use crate::module::…` a line, and no super::super: {place}"
                ));
            }
            for used in mentioned(line) {
                match rank.get(used) {
                    Some(&other) if other > own => {
                        broken.push(format!("{module} may not use {used}: {place}"))
                    }
                    Some(_) | None => {}
                }
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn the_solvers_know_nothing_of_ours() {
    let ours = |line: &str| {
        mentioned(line)
            .into_iter()
            .any(|used| ORDER.contains(&used) && used != "solver")
    };
    for (path, text) in sources()
        .into_iter()
        .filter(|(path, _)| module_of(path) == "solver")
    {
        let found: Vec<&str> = text.lines().filter(|line| ours(line)).collect();
        assert!(found.is_empty(), "{}: {found:?}", path.display());
    }
}

#[test]
fn only_files_touches_the_disk_and_only_cli_prints_or_listens() {
    for (path, text) in sources() {
        let module = module_of(&path);
        let code = text.split("#[cfg(test)]").next().unwrap();
        for (word, home) in [
            ("std::fs", "files"),
            ("println!", "cli"),
            ("std::env::", "cli"),
            ("std::time::", "cli"),
            ("std::net::", "cli"),
            ("tokio::", "cli"),
            ("axum::", "cli"),
            ("getrandom::", "cli"),
        ] {
            let allowed =
                module == home || module == "main" || (word == "std::env::" && module == "files");
            assert!(
                allowed || !code.contains(word),
                "{} uses {word}, which belongs in {home}",
                path.display()
            );
        }
    }
}

/// Files that name money and turn decimals into binary fractions or back, each with what it turns: none of it is an amount that is paid.
const FRACTIONS_BESIDE_MONEY: &[(&str, &str)] = &[
    (
        "bid/disposal.rs",
        "grams of waste; the price is per whole kilogram, in decimals",
    ),
    (
        "bid/supplies.rs",
        "half of a need, to find the group of a line",
    ),
    (
        "crating/price.rs",
        "estimates of crates, to choose which things share one",
    ),
    ("format/xlsx.rs", "workbooks store every number so"),
    (
        "format/xlsx/widths.rs",
        "digits of a number, for a column's width",
    ),
    ("input/measures.rs", "bounds of what is read"),
    ("purchase/explain.rs", "an amount of material"),
    (
        "purchase/mod.rs",
        "the engine's bound, beside the total priced in decimals",
    ),
    (
        "purchase/odds.rs",
        "the cost of too little against too much",
    ),
    (
        "purchase/slots.rs",
        "prices for the engine, whose plan is priced again in decimals",
    ),
    ("report/bid/odds.rs", "a share in percent"),
    ("report/page/charts.rs", "lengths on a chart"),
    ("report/page/price.rs", "shares of a bar"),
    ("report/table.rs", "a number shown"),
    (
        "rolling/choose.rs",
        "estimates of drums, to choose among them, and their bound",
    ),
    ("takeoff/explain.rs", "waste on a solution"),
    ("units/money.rs", "a percentage for physical estimates"),
];

/// Money is decimal: no type of it is made from or into a binary fraction, and files that handle both are named with why.
#[test]
fn no_price_is_a_binary_fraction() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let code = |text: &str| -> String {
        let lines = text.lines().take_while(|line| *line != "#[cfg(test)]");
        let lines = lines.map(|line| line.split("//").next().unwrap_or("").to_owned() + "\n");
        lines.collect()
    };
    let mut both = Vec::new();
    for (path, text) in sources() {
        let text = code(&text);
        let money = text.contains("Money") || text.contains(".amount()");
        let turns = ["to_f64()", "from_f64", "Decimal::try_from("];
        if money && turns.iter().any(|turn| text.contains(turn)) {
            let name = path.strip_prefix(&root).unwrap();
            both.push(name.to_str().unwrap().replace('\\', "/"));
        }
        for line in text.lines() {
            let made = line.contains("-> f64") && line.contains("Money")
                || line.contains("f64) -> Money") && !line.contains("fn money(");
            assert!(!made, "{}: {line}", path.display());
        }
    }
    both.sort();
    let named: Vec<&str> = FRACTIONS_BESIDE_MONEY
        .iter()
        .map(|(name, _)| *name)
        .collect();
    assert_eq!(
        both, named,
        "name each with what it turns, or keep to decimals"
    );
    let money = fs::read_to_string(root.join("units/money.rs")).unwrap();
    let money = code(&money);
    let own = &money[..money.find("pub struct Percent").unwrap()];
    assert!(!own.contains("f64"), "an amount knows no binary fractions");
}

#[test]
fn every_file_opens_with_its_purpose() {
    for (path, text) in sources() {
        assert!(
            text.starts_with("//! "),
            "{} does not open with //! and one sentence",
            path.display()
        );
    }
}

#[test]
fn no_file_is_too_long_to_read() {
    for (path, text) in sources() {
        let lines = text.lines().count();
        assert!(
            lines <= 650,
            "{} has {lines} lines; split it by subject",
            path.display()
        );
    }
}

#[test]
fn words_that_may_not_land() {
    for (path, text) in sources() {
        for word in ["TODO", "FIXME", "XXX", "dbg!(", "todo!(", "unimplemented!("] {
            assert!(!text.contains(word), "{} holds {word}", path.display());
        }
    }
}

#[test]
fn every_kind_of_step_and_every_report_is_in_its_list() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for (folder, not_listed) in [
        ("recipe/steps", &["mod"][..]),
        (
            "report",
            &[
                "mod",
                "about",
                "actuals",
                "air",
                "answers",
                "cells",
                "critical",
                "day_pages",
                "day_sheet",
                "day_sheets",
                "done",
                "drying",
                "leftovers",
                "materials",
                "ordered",
                "panel_drum",
                "table",
            ][..],
        ),
    ] {
        let list = fs::read_to_string(src.join(folder).join("mod.rs")).unwrap();
        for entry in fs::read_dir(src.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            if path.is_dir() || not_listed.contains(&name.as_str()) {
                continue;
            }
            let named =
                list.contains(&format!("{name}::RULE")) || list.contains(&format!("{name}::build"));
            assert!(
                named,
                "{folder}/{name}.rs is not in the list of {folder}/mod.rs"
            );
        }
    }
}
