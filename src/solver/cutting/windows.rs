//! Search on a few sheets of a large layout at a time.

use rand::RngExt;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Sheet;
use crate::solver::cutting::job::Sheets;
use crate::solver::cutting::openings::Openings;
use crate::solver::cutting::ruin::improve;
use crate::solver::cutting::state::State;
use crate::solver::packing::Effort;

/// Pieces a window may hold.
const PIECES: usize = 90;
/// Steps a window may take.
const STEPS: u64 = 400_000;

/// Saves sheets by searching windows of the emptiest sheets and some others, until the effort ends.
pub(super) fn improve_windows(
    job: &Job,
    sheets: Sheets,
    openings: &mut Openings,
    effort: &mut Effort<'_>,
) -> Sheets {
    let (rolls, flat): (Sheets, Sheets) = sheets
        .into_iter()
        .partition(|(sheet, _)| job.kinds[sheet.kind].across);
    let mut singles: Vec<Sheet> = Vec::new();
    let mut kept = rolls;
    for (sheet, times) in flat {
        if times == 1 {
            singles.push(sheet);
        } else {
            kept.push((sheet, times));
        }
    }
    let mut chance = ChaCha8Rng::seed_from_u64(2);
    let mut fruitless = 0;
    while effort.is_left() && fruitless < 24 + singles.len() / 4 && singles.len() > 1 {
        let window = draw(&mut singles, fruitless, &mut chance);
        let mut state = State::of(job, &window);
        openings.limit(&mut state);
        let bound = at_least(job, &window);
        let before = state.cost;
        let share = effort.left().min(STEPS);
        let after = effort.share(share, |effort| {
            improve(job, state, bound, &mut chance, effort)
        });
        openings.settle(&after);
        fruitless = if after.cost < before {
            0
        } else {
            fruitless + 1
        };
        singles.extend(after.sheets.iter().map(|sheet| (**sheet).clone()));
    }
    kept.extend(singles.into_iter().map(|sheet| (sheet, 1)));
    kept
}

/// Takes out the emptiest sheet, or after failures any, and others by chance, up to the window's size.
fn draw(singles: &mut Vec<Sheet>, fruitless: usize, chance: &mut ChaCha8Rng) -> Vec<Sheet> {
    let fullness = |sheet: &Sheet| {
        sheet.tree.area / (u64::from(sheet.tree.w) * u64::from(sheet.tree.h) / 1_000).max(1)
    };
    let mut window = Vec::new();
    let mut pieces = 0;
    while !singles.is_empty() && pieces < PIECES {
        let pick = if window.is_empty() && fruitless == 0 {
            (0..singles.len())
                .min_by_key(|i| fullness(&singles[*i]))
                .unwrap_or(0)
        } else {
            // The emptier of two.
            let (a, b) = (
                chance.random_range(0..singles.len()),
                chance.random_range(0..singles.len()),
            );
            if fullness(&singles[a]) <= fullness(&singles[b]) {
                a
            } else {
                b
            }
        };
        let sheet = singles.swap_remove(pick);
        pieces += sheet.tree.laid().count();
        window.push(sheet);
    }
    window
}

/// The area's bound on what a window must cost.
fn at_least(job: &Job, window: &[Sheet]) -> (u128, u64) {
    let area: u128 = window.iter().map(|sheet| u128::from(sheet.tree.area)).sum();
    let most = job
        .kinds
        .iter()
        .map(|kind| u128::from(kind.area()))
        .max()
        .unwrap_or(0)
        .max(1);
    let count = u64::try_from(area.div_ceil(most)).unwrap_or(u64::MAX);
    if job.kinds.len() == 1 {
        (u128::from(count) * u128::from(job.kinds[0].cost), count)
    } else {
        (0, count)
    }
}
