//! Two-dimensional bin packing with guillotine cuts and without turning (variant 2BP|O|G of Lodi, Martello and Vigo 1999).
//!
//! An instance is a pair of tables, `…_items.csv` and `…_bins.csv`, each ID,WIDTH,HEIGHT with one row an item;
//! the path names the items, the folder, or what the two names have in common. The value is the number of bins.

use std::path::Path;
use std::path::PathBuf;

use facelay::solver::cutting::Effort;
use facelay::solver::cutting::Piece;
use facelay::solver::cutting::Stock;
use facelay::solver::cutting::cut;

use crate::published::common::Asked;
use crate::published::common::each;
use crate::published::common::files;
use crate::published::common::name;
use crate::published::common::text;

const ITEMS: &str = "_items.csv";

/// Solves every instance asked for.
pub(crate) fn run(asked: &Asked) -> bool {
    let paths: Vec<PathBuf> = asked.paths.iter().map(|path| items(path)).collect();
    let mut found = Vec::new();
    let all_listed = files(
        &paths,
        |path| path.to_string_lossy().ends_with(ITEMS),
        &mut found,
    );
    each(
        &found,
        asked.limit,
        |path| name(path),
        |path, stop| solve(path, stop),
    ) && all_listed
}

/// The items of what may be a common name, or a table of bins.
fn items(path: &Path) -> PathBuf {
    let name = path.to_string_lossy();
    let common = name.strip_suffix("_bins.csv").unwrap_or(&name);
    let with_items = PathBuf::from(format!("{common}{ITEMS}"));
    if with_items.is_file() {
        with_items
    } else {
        path.to_path_buf()
    }
}

fn solve(path: &Path, stop: &mut dyn FnMut() -> bool) -> Result<(u64, u64), String> {
    let name = path.to_string_lossy();
    let common = name
        .strip_suffix(ITEMS)
        .ok_or("expected a table of items")?;
    let pieces: Vec<Piece> = rows(&text(path)?)?
        .into_iter()
        .map(|(width, length)| Piece {
            width,
            length,
            may_turn: false,
            count: 1,
        })
        .collect();
    let bins_path = PathBuf::from(format!("{common}_bins.csv"));
    let bins =
        rows(&text(&bins_path).map_err(|error| format!("{}: {error}", bins_path.display()))?)?;
    let &(width, length) = bins.first().ok_or("the table of bins is empty")?;
    let stock = Stock {
        width,
        length,
        cost: 1,
        supply: None,
        trim: 0,
        first_cut_across: false,
    };
    let plan = cut(&[stock], &pieces, 0, &mut Effort::until(u64::MAX, stop));
    if !plan.unplaced.is_empty() {
        return Err("an item is larger than the bin".to_owned());
    }
    let placed: u64 = plan
        .units
        .iter()
        .map(|unit| unit.times * unit.placed.len() as u64)
        .sum();
    assert_eq!(placed, pieces.len() as u64, "an item is lost or cut twice");
    Ok((
        plan.units.iter().map(|unit| unit.times).sum(),
        plan.lower_bound,
    ))
}

fn rows(text: &str) -> Result<Vec<(u64, u64)>, String> {
    let mut rows = Vec::new();
    for line in text.lines().skip(1).filter(|line| !line.trim().is_empty()) {
        let row: Result<Vec<u64>, _> = line.split(',').map(|word| word.trim().parse()).collect();
        match row
            .map_err(|error| format!("`{line}`: {error}"))?
            .as_slice()
        {
            [_, width, length] => rows.push((*width, *length)),
            _ => return Err(format!("`{line}`: expected ID,WIDTH,HEIGHT")),
        }
    }
    Ok(rows)
}
