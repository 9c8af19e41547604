//! Bin packing: number of items, capacity, then one size a line. The value is the number of bins.
//!
//! A file may also hold several instances, as those of the OR-Library (Beasley 1990) do: their number, then of each a name,
//! a line with capacity, number of items and best known value, and the sizes; decimals are taken to whole numbers.

use std::path::Path;

use facelay::solver::packing::Effort;
use facelay::solver::packing::pack;

use crate::published::common::Asked;
use crate::published::common::each;
use crate::published::common::files;
use crate::published::common::name;
use crate::published::common::text;

/// Solves every file asked for.
pub(crate) fn run(asked: &Asked) -> bool {
    let mut found = Vec::new();
    let all_listed = files(
        &asked.paths,
        |path| path.extension().is_some_and(|e| e == "txt"),
        &mut found,
    );
    let mut all_read = all_listed;
    for path in &found {
        match read(path) {
            Ok(instances) => {
                let named = |instance: &Instance| instance.0.clone().unwrap_or_else(|| name(path));
                all_read &= each(&instances, asked.limit, named, solve);
            }
            Err(message) => {
                eprintln!("{}: {message}", path.display());
                all_read = false;
            }
        }
    }
    all_read
}

/// An instance: its own name where the file has several, capacity and sizes.
type Instance = (Option<String>, u64, Vec<u64>);

fn solve(instance: &Instance, stop: &mut dyn FnMut() -> bool) -> Result<(u64, u64), String> {
    let (_, capacity, sizes) = instance;
    let packing = pack(sizes, *capacity, &mut Effort::until(u64::MAX, stop));
    let mut seen = vec![0; sizes.len()];
    for bin in &packing.bins {
        assert!(
            bin.iter().map(|i| sizes[*i]).sum::<u64>() <= *capacity,
            "a bin is overfull"
        );
        for i in bin {
            seen[*i] += 1;
        }
    }
    if !packing.unplaced.is_empty() {
        return Err("a size is greater than the capacity".to_owned());
    }
    assert!(
        seen.iter().all(|n| *n == 1),
        "an item is lost or packed twice"
    );
    Ok((packing.bins.len() as u64, packing.lower_bound))
}

fn read(path: &Path) -> Result<Vec<Instance>, String> {
    let text = text(path)?;
    let words: Vec<&str> = text.split_whitespace().collect();
    one(&words)
        .map(|(capacity, sizes)| vec![(None, capacity, sizes)])
        .or_else(|| several(&words))
        .ok_or_else(|| {
            "expected the number of items, the capacity, then that many sizes; or several such instances".to_owned()
        })
}

fn one(words: &[&str]) -> Option<(u64, Vec<u64>)> {
    let numbers: Option<Vec<u64>> = words.iter().map(|word| word.parse().ok()).collect();
    match numbers?.as_slice() {
        [count, capacity, sizes @ ..] if sizes.len() as u64 == *count && *count > 0 => {
            Some((*capacity, sizes.to_vec()))
        }
        _ => None,
    }
}

fn several(words: &[&str]) -> Option<Vec<Instance>> {
    let (instances, mut rest) = words.split_first()?;
    let mut all = Vec::new();
    for _ in 0..instances.parse::<usize>().ok()? {
        let [name, capacity, count, _, more @ ..] = rest else {
            return None;
        };
        let (sizes, after) = more.split_at_checked(count.parse().ok()?)?;
        let places = sizes
            .iter()
            .chain([capacity])
            .map(|word| decimals(word))
            .max()?;
        let sizes: Option<Vec<u64>> = sizes.iter().map(|size| whole(size, places)).collect();
        all.push((Some((*name).to_owned()), whole(capacity, places)?, sizes?));
        rest = after;
    }
    rest.is_empty().then_some(all)
}

fn decimals(word: &str) -> usize {
    word.split_once('.').map_or(0, |(_, after)| after.len())
}

/// A decimal number times ten to so many places.
fn whole(word: &str, places: usize) -> Option<u64> {
    let (before, after) = word.split_once('.').unwrap_or((word, ""));
    format!("{before}{after:0<places$}").parse().ok()
}
