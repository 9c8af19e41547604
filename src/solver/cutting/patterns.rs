//! Patterns that are cut many times over: for parts of which there are many.

use crate::solver::cutting::insert::Fit;
use crate::solver::cutting::insert::best_spot;
use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Sheet;
use crate::solver::cutting::job::Sheets;
use crate::solver::cutting::openings::Openings;
use crate::solver::cutting::order::Order;
use crate::solver::cutting::tree::Tree;
use crate::solver::packing::Effort;

/// Parts a pattern chooses from: those with the most area left.
const PARTS: usize = 40;
/// Pieces of a part that are worth a repeated pattern.
const MANY: u64 = 24;
/// Fewest times a pattern is cut.
const FEW: u64 = 4;
/// Patterns after which the rest is left to first fit.
const PATTERNS: usize = 3_000;
/// Orders and fits tried for each pattern.
const TRIALS: [(Order, Fit); 5] = [
    (Order::Area, Fit::ShortSide),
    (Order::LongestSide, Fit::Flush),
    (Order::Length, Fit::Flush),
    (Order::Width, Fit::ShortSide),
    (Order::Area, Fit::Area),
];

/// A pattern with how good it is: area of pieces for a cost of 1, or for the area where nothing costs.
struct Rated {
    sheet: Sheet,
    value: (u128, u128),
}

/// Cuts patterns several times over as long as there are many of a part and more than `leave` pieces are left.
pub(super) fn repeat(
    job: &Job,
    counts: &mut [u64],
    leave: u64,
    openings: &mut Openings,
    effort: &mut Effort<'_>,
) -> Sheets {
    let mut sheets = Sheets::new();
    for _ in 0..PATTERNS {
        if counts.iter().copied().fold(0, u64::saturating_add) <= leave {
            break;
        }
        let Some((sheet, times)) = next(job, counts, openings, effort) else {
            break;
        };
        let tally = tally(&sheet.tree);
        for (part, n) in tally {
            counts[part as usize] = counts[part as usize].saturating_sub(n * times);
        }
        openings.book(job, sheet.kind, sheet.tree.h, times);
        sheets.push((sheet, times));
    }
    sheets
}

/// The pattern to be cut next: nearly as good as the best for one sheet, but cut as often as possible.
fn next(
    job: &Job,
    counts: &[u64],
    openings: &Openings,
    effort: &mut Effort<'_>,
) -> Option<(Sheet, u64)> {
    let parts = weightiest(job, counts);
    let best = best_pattern(job, counts, &parts, 1, openings, effort)?;
    let mut share = parts
        .iter()
        .map(|part| counts[*part as usize])
        .max()
        .unwrap_or(0)
        .max(FEW);
    loop {
        if let Some(found) = best_pattern(job, counts, &parts, share, openings, effort)
            && (share <= FEW
                || found.value.0 * best.value.1 * 50 >= best.value.0 * found.value.1 * 49)
        {
            return with_times(job, counts, found.sheet, openings);
        }
        share = (share / 2).max(FEW);
    }
}

fn with_times(
    job: &Job,
    counts: &[u64],
    sheet: Sheet,
    openings: &Openings,
) -> Option<(Sheet, u64)> {
    let by_parts = tally(&sheet.tree)
        .into_iter()
        .map(|(part, n)| counts[part as usize] / n.max(1))
        .min()?;
    let times = by_parts.min(openings.yields(job, sheet.kind, sheet.tree.h));
    (times > 0).then_some((sheet, times))
}

fn weightiest(job: &Job, counts: &[u64]) -> Vec<u32> {
    let mut parts: Vec<(u128, u32)> = (0_u32..)
        .zip(counts)
        .filter(|(_, count)| **count >= MANY)
        .map(|(n, count)| (u128::from(job.part(n).area()) * u128::from(*count), n))
        .collect();
    if parts.len() > PARTS {
        parts.select_nth_unstable_by(PARTS - 1, |a, b| b.cmp(a));
        parts.truncate(PARTS);
    }
    parts.sort_unstable_by(|a, b| b.cmp(a));
    parts.into_iter().map(|part| part.1).collect()
}

/// The best pattern that uses no more than a `share`-th of each part.
fn best_pattern(
    job: &Job,
    counts: &[u64],
    parts: &[u32],
    share: u64,
    openings: &Openings,
    effort: &mut Effort<'_>,
) -> Option<Rated> {
    let parts: Vec<u32> = parts
        .iter()
        .copied()
        .filter(|part| counts[*part as usize] >= share)
        .collect();
    let mut best: Option<Rated> = None;
    for (order, fit) in TRIALS {
        let mut sorted = parts.clone();
        order.sort(&job.parts, &mut sorted);
        let Some(&first) = sorted.first() else {
            continue;
        };
        for mut sheet in starts(job, first, openings) {
            for &part in &sorted {
                fill(
                    job,
                    &mut sheet.tree,
                    part,
                    counts[part as usize] / share,
                    fit,
                    effort,
                );
            }
            let rated = rate(job, sheet);
            if best
                .as_ref()
                .is_none_or(|found| rated.value.0 * found.value.1 > found.value.0 * rated.value.1)
            {
                best = Some(rated);
            }
        }
    }
    best.filter(|found| found.sheet.tree.area > 0)
}

/// Empty sheets of every kind that can hold the part; of rolls, strips of its length.
fn starts(job: &Job, part: u32, openings: &Openings) -> Vec<Sheet> {
    let mut starts = Vec::new();
    for (k, kind) in job.kinds.iter().enumerate() {
        for laid in job.part(part).ways(part).within(kind.w, kind.h) {
            let h = if kind.across { laid.h } else { kind.h };
            if openings.yields(job, k, h) > 0 {
                starts.push(Sheet {
                    kind: k,
                    tree: Tree::new(kind.w, h, false),
                });
            }
            if !kind.across {
                break;
            }
        }
    }
    starts
}

fn fill(job: &Job, tree: &mut Tree, part: u32, most: u64, fit: Fit, effort: &mut Effort<'_>) {
    for _ in 0..most {
        effort.spend(tree.nodes() as u64 + 1);
        let Some((_, spot, laid)) = best_spot(tree, &job.part(part).ways(part), fit) else {
            return;
        };
        tree.insert(spot, laid);
    }
}

fn rate(job: &Job, sheet: Sheet) -> Rated {
    let kind = &job.kinds[sheet.kind];
    let area = u128::from(sheet.tree.area);
    let size = u128::from(sheet.tree.w) * u128::from(sheet.tree.h);
    // Millionths of the area, and cost for so small an area that products stay within range.
    let filled = area * 1_000_000 / size.max(1);
    let dear = u128::from(kind.cost.min(1 << 40)) * 1_000_000_000_000_000_000
        / u128::from(kind.area().max(1));
    Rated {
        sheet,
        value: (filled + 1, dear.max(1)),
    }
}

/// How many of each part a pattern holds.
pub(super) fn tally(tree: &Tree) -> Vec<(u32, u64)> {
    let mut parts: Vec<u32> = tree.laid().map(|laid| laid.part).collect();
    parts.sort_unstable();
    let mut tally: Vec<(u32, u64)> = Vec::new();
    for part in parts {
        match tally.last_mut() {
            Some(last) if last.0 == part => last.1 += 1,
            _ => tally.push((part, 1)),
        }
    }
    tally
}
