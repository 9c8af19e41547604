//! Cuts pieces from bars of several lengths at least cost.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::solver::packing::dive::Search;
use crate::solver::packing::effort::Effort;
use crate::solver::packing::fill::Way;
use crate::solver::packing::fill::fill_all;
use crate::solver::packing::group::Groups;
use crate::solver::packing::group::group;
use crate::solver::packing::group::hand_out;
use crate::solver::packing::group::left_over;
use crate::solver::packing::job::Cuts;
use crate::solver::packing::job::Job;
use crate::solver::packing::job::Kind;
use crate::solver::packing::job::score;

/// A kind of bar that can be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// Its length, in the unit of the pieces.
    pub length: u64,
    /// What one costs; nought for what is on hand, which is then used first.
    pub cost: u64,
    /// How many there are; `None` for as many as wanted.
    pub supply: Option<u64>,
}

/// Bars that are all cut the same way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BarCut {
    /// Index of the kind of bar.
    pub bar: usize,
    /// Indexes of the pieces, from the start of the bar; one index for each piece.
    pub pieces: Vec<usize>,
    /// How many bars are cut so.
    pub times: u64,
    /// What is left of each bar behind its last piece and that piece's saw cut.
    pub left: u64,
}

/// A cutting plan for bars.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bars {
    /// The bars to cut.
    pub cuts: Vec<BarCut>,
    /// What they cost together.
    pub cost: u64,
    /// No plan costs less; nought where the supply does not suffice for all pieces.
    pub lower_bound: u64,
    /// Pieces longer than every bar, and what the supply does not suffice for: (index, count).
    pub unplaced: Vec<(usize, u64)>,
}

/// Cuts `pieces`, given as (length, count), from `bars` at the least cost found, then with the fewest bars.
///
/// Between two pieces the saw takes `kerf`; none is needed where the last piece ends with the bar.
///
/// # Examples
///
/// ```
/// use facelay::solver::packing::Bar;
/// use facelay::solver::packing::Effort;
/// use facelay::solver::packing::cut_lengths;
///
/// let bars = [Bar { length: 4_000, cost: 9, supply: None }, Bar { length: 2_100, cost: 0, supply: Some(1) }];
/// let plan = cut_lengths(&bars, &[(1_000, 5), (5_000, 1)], 3, &mut Effort::steps(1_000));
/// assert_eq!((plan.cost, plan.lower_bound), (9, 9));
/// assert_eq!(plan.unplaced, [(1, 1)]);
/// ```
///
/// # Sources
/// Gilmore and Gomory 1961 and 1963, "A linear programming approach to the cutting stock problem", parts I and II
/// (several stock lengths); the saw cut is added to piece and bar alike (common practice).
pub fn cut_lengths(
    bars: &[Bar],
    pieces: &[(u64, u64)],
    kerf: u64,
    effort: &mut Effort<'_>,
) -> Bars {
    let kinds: Vec<Kind> = bars
        .iter()
        .map(|bar| Kind {
            length: bar.length.saturating_add(kerf),
            cost: bar.cost,
            supply: bar.supply,
        })
        .collect();
    let longest = Job {
        lengths: Vec::new(),
        demand: Vec::new(),
        kinds: kinds.clone(),
    }
    .longest();
    let groups = group(
        pieces
            .iter()
            .map(|&(length, count)| (length.saturating_add(kerf), count)),
        longest,
    );
    let job = Job {
        lengths: groups.lengths.clone(),
        demand: groups.demand.clone(),
        kinds,
    };
    let mut search = Search::new(&job, 0);
    search.offer(fill_all(job.clone(), Way::Longest, effort));
    search.offer(fill_all(job.clone(), Way::Tightest, effort));
    search.dive(&mut ChaCha8Rng::seed_from_u64(7), effort);
    outcome(&job, &groups, &search, kerf)
}

fn outcome(job: &Job, groups: &Groups, search: &Search<'_>, kerf: u64) -> Bars {
    let (missing, cost, _) = score(job, &search.best);
    let lower_bound = if missing > 0 { 0 } else { search.lower_bound };
    let mut unplaced: Vec<(usize, u64)> = groups
        .too_long
        .iter()
        .copied()
        .chain(left_over(groups, &search.best))
        .collect();
    unplaced.sort_unstable();
    let mut bars = Bars {
        cuts: by_piece(job, groups, &search.best, kerf),
        cost: u64::try_from(cost).unwrap_or(u64::MAX),
        lower_bound: u64::try_from(lower_bound).unwrap_or(u64::MAX),
        unplaced,
    };
    bars.unplaced.extend_from_slice(&groups.nothing);
    bars
}

fn by_piece(job: &Job, groups: &Groups, cuts: &Cuts, kerf: u64) -> Vec<BarCut> {
    let mut sorted = cuts.clone();
    sorted.sort_by(|a, b| {
        a.0.kind
            .cmp(&b.0.kind)
            .then_with(|| a.0.items.cmp(&b.0.items))
    });
    sorted.dedup_by(|next, last| {
        let same = next.0 == last.0;
        last.1 += if same { next.1 } else { 0 };
        same
    });
    hand_out(job, groups, &sorted)
        .into_iter()
        .map(|cut| BarCut {
            bar: cut.kind,
            pieces: cut.pieces,
            times: cut.times,
            left: cut.left.saturating_sub(kerf),
        })
        .collect()
}
