//! Enlarges the biggest leftover without more stock.

use std::rc::Rc;

use rand_chacha::ChaCha8Rng;

use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Sheet;
use crate::solver::cutting::ruin::refit;
use crate::solver::cutting::state::State;
use crate::solver::packing::Effort;

/// Steps one attempt may take.
const STEPS: u64 = 1_500_000;

/// Narrows the sheet that has the biggest leftover, by less and less, as long as all pieces still find a place.
pub(super) fn enlarge_leftover(
    job: &Job,
    start: State,
    chance: &mut ChaCha8Rng,
    effort: &mut Effort<'_>,
) -> State {
    let mut best = start;
    if !best.pool.is_empty() || best.sheets.is_empty() {
        return best;
    }
    let mut part = 2;
    while part <= 64 && effort.is_left() {
        let Some(narrow) = narrowed(&best, part) else {
            return best;
        };
        let share = (effort.left() / 6).clamp(1, STEPS);
        match effort.share(share, |effort| refit(job, narrow, chance, effort)) {
            Some(found) if biggest(&found) > biggest(&best) => best = found,
            _ => part *= 2,
        }
    }
    best
}

/// The greatest leftover over the whole width or length of a sheet.
pub(super) fn biggest(state: &State) -> u64 {
    state
        .sheets
        .iter()
        .map(|sheet| leftover(sheet).0)
        .max()
        .unwrap_or(0)
}

/// Area of the leftover and whether it lies behind the pieces (else beside them).
fn leftover(sheet: &Sheet) -> (u64, bool) {
    let (w, h) = sheet.tree.size();
    let (full_w, full_h) = (u64::from(sheet.tree.full_w), u64::from(sheet.tree.full_h));
    let behind = full_w * (full_h - u64::from(h));
    let beside = (full_w - u64::from(w)) * full_h;
    if sheet.tree.across || behind >= beside {
        (behind, true)
    } else {
        (beside, false)
    }
}

/// The state with the sheet of the biggest leftover made smaller by a `part`-th of what it uses.
fn narrowed(state: &State, part: u32) -> Option<State> {
    let chosen = (0..state.sheets.len()).max_by_key(|i| leftover(&state.sheets[*i]).0)?;
    let mut narrow = state.clone();
    let tree = &mut Rc::make_mut(&mut narrow.sheets[chosen]).tree;
    let (w, h) = tree.size();
    let behind = leftover(&state.sheets[chosen]).1;
    let size = if behind { h } else { w };
    let less = size - (size / part).max(1).min(size);
    let (w, h) = if behind {
        (tree.full_w, less)
    } else {
        (less, tree.full_h)
    };
    let out = tree.narrow(w, h);
    narrow.pool.extend(out.into_iter().map(|laid| laid.part));
    Some(narrow)
}
