//! What the fuzzer starts from: the files of the examples and of the gallery of mistakes, sorted by reader.

use std::collections::BTreeMap;
use std::fs;
use std::io::Cursor;
use std::io::Read;
use std::path::Path;
use std::path::PathBuf;

use zip::ZipArchive;

use crate::sheet;

/// The seeds of a target.
#[must_use]
pub fn of(target: &str) -> Vec<Vec<u8>> {
    all().remove(target).unwrap_or_default()
}

fn all() -> BTreeMap<&'static str, Vec<Vec<u8>>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut seeds: BTreeMap<&'static str, Vec<Vec<u8>>> = BTreeMap::new();
    let mut folders = vec![
        root.join("examples"),
        root.join("tests/errors"),
        root.join("catalogs"),
        root.join("src/job/template"),
    ];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() && !path.ends_with("out") {
                folders.push(path);
            } else if path.is_file() {
                sort(&path, &mut seeds);
            }
        }
    }
    for (target, inputs) in [("measures", MEASURES), ("plan", PLANS)] {
        seeds
            .entry(target)
            .or_default()
            .extend(inputs.iter().map(|input| input.as_bytes().to_vec()));
    }
    seeds
}

const MEASURES: &[&str] = &[
    "3.2 m",
    "320 cm",
    "10' 6\"",
    "10 ft 6 1/2 in",
    "126 ½\"",
    "3,20 m",
    "394 x 419 mm",
    "12' 6\" × 8' 2 1/2\"",
    "support: 2134 x 3658 mm",
    "1 200,50 EUR",
    "15 %",
    "16 °C",
    "61 °F",
    "8 h",
    "2 days",
    "130 g/m2",
    "0.8 m2/h",
    "900 m3",
    "1800 m3/h",
    "5 US gal",
    "1e3",
    "0x10",
    "-3'",
];

const PLANS: &[&str] = &[
    "",
    "a",
    "the north wall",
    "0123456789abcdefghijklmnopqrstuvwxyz",
];

fn sort(path: &PathBuf, seeds: &mut BTreeMap<&'static str, Vec<Vec<u8>>>) {
    let bytes = fs::read(path).unwrap();
    let ending = path
        .extension()
        .and_then(|ending| ending.to_str())
        .unwrap_or("");
    let in_recipes = path
        .parent()
        .is_some_and(|folder| folder.ends_with("recipes"));
    let target = match ending {
        "csv" => "tables",
        "toml" if in_recipes => "recipe",
        "toml" => "job",
        "xlsx" => {
            let seed = parts(&bytes, &sheet::PARTS);
            return seeds.entry("xlsx").or_default().extend(seed);
        }
        "ods" => {
            let seed = parts(&bytes, &["content.xml"]);
            return seeds.entry("ods").or_default().extend(seed);
        }
        _ => return,
    };
    seeds.entry(target).or_default().push(bytes);
}

/// The named parts of an archive with marks between them; none if the first is not there.
fn parts(bytes: &[u8], names: &[&str]) -> Option<Vec<u8>> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).ok()?;
    let mut joined = Vec::new();
    for (at, name) in names.iter().enumerate() {
        if at > 0 {
            joined.extend_from_slice(sheet::MARK);
        }
        match archive.by_name(name) {
            Ok(mut entry) => drop(entry.read_to_end(&mut joined).ok()?),
            Err(_) if at == 0 => return None,
            Err(_) => {}
        }
    }
    Some(joined)
}
