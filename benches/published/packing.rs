//! Bin packing: number of items, capacity, then one size a line. The value is the number of bins.

use std::path::Path;

use facelay::solver::packing::Effort;
use facelay::solver::packing::pack;

use crate::published::common::Asked;
use crate::published::common::each;
use crate::published::common::files;
use crate::published::common::text;

/// Solves every file asked for.
pub(crate) fn run(asked: &Asked) -> bool {
    let mut found = Vec::new();
    let all_listed = files(
        &asked.paths,
        |path| path.extension().is_some_and(|e| e == "txt"),
        &mut found,
    );
    each(&found, asked.limit, solve) && all_listed
}

fn solve(path: &Path, stop: &mut dyn FnMut() -> bool) -> Result<(u64, u64), String> {
    let (capacity, sizes) = read(&text(path)?)?;
    let packing = pack(&sizes, capacity, &mut Effort::until(u64::MAX, stop));
    let mut seen = vec![0; sizes.len()];
    for bin in &packing.bins {
        assert!(
            bin.iter().map(|i| sizes[*i]).sum::<u64>() <= capacity,
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

fn read(text: &str) -> Result<(u64, Vec<u64>), String> {
    let numbers: Result<Vec<u64>, _> = text.split_whitespace().map(str::parse).collect();
    let numbers = numbers.map_err(|error| error.to_string())?;
    match numbers.as_slice() {
        [count, capacity, sizes @ ..] if sizes.len() as u64 == *count && *count > 0 => {
            Ok((*capacity, sizes.to_vec()))
        }
        _ => Err("expected the number of items, the capacity, then that many sizes".to_owned()),
    }
}
