//! The fewest equal bins for a list of sizes.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::solver::packing::bound::least_bins;
use crate::solver::packing::dive::Search;
use crate::solver::packing::effort::Effort;
use crate::solver::packing::fill::Way;
use crate::solver::packing::fill::fill_all;
use crate::solver::packing::group::group;
use crate::solver::packing::group::hand_out;
use crate::solver::packing::job::Job;
use crate::solver::packing::job::Kind;

/// Sizes in bins.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Packing {
    /// Indexes of the sizes in each bin.
    pub bins: Vec<Vec<usize>>,
    /// No packing has fewer bins.
    pub lower_bound: u64,
    /// Indexes of the sizes greater than the capacity; they are in no bin.
    pub unplaced: Vec<usize>,
}

/// Packs `sizes` into as few bins of `capacity` as the effort finds.
///
/// Sizes that are nought go into the first bin. Where `bins.len()` equals `lower_bound` the packing is proved best.
///
/// # Examples
///
/// ```
/// use facelay::solver::packing::Effort;
/// use facelay::solver::packing::pack;
///
/// let packing = pack(&[60, 50, 50, 40], 100, &mut Effort::steps(1_000));
/// assert_eq!(packing.bins, [[0, 3], [1, 2]]);
/// assert_eq!(packing.lower_bound, 2);
/// ```
///
/// # Sources
/// - Lower bounds: see the bounds' own sources; the last resort is the linear relaxation over patterns
///   (Gilmore and Gomory 1961), rounded up.
/// - Packings: minimum bin slack (Gupta and Ho 1999; Fleszar and Hindi 2002), then rounding of the relaxation.
pub fn pack(sizes: &[u64], capacity: u64, effort: &mut Effort<'_>) -> Packing {
    let groups = group(sizes.iter().map(|size| (*size, 1)), capacity);
    let kind = Kind {
        length: capacity,
        cost: 1,
        supply: None,
    };
    let job = Job {
        lengths: groups.lengths.clone(),
        demand: groups.demand.clone(),
        kinds: vec![kind],
    };
    let counted: Vec<(u64, u64)> = job
        .lengths
        .iter()
        .copied()
        .zip(job.demand.iter().copied())
        .collect();
    let mut search = Search::new(&job, u128::from(least_bins(&counted, capacity)));
    search.offer(fill_all(job.clone(), Way::Longest, effort));
    for round in 0..3 {
        if search.proved() {
            break;
        }
        let mut chance = ChaCha8Rng::seed_from_u64(round);
        let way = if round == 0 {
            Way::Tightest
        } else {
            Way::Random(&mut chance)
        };
        search.offer(fill_all(job.clone(), way, effort));
    }
    search.dive(&mut ChaCha8Rng::seed_from_u64(7), effort);
    let lower_bound = u64::try_from(search.lower_bound).unwrap_or(u64::MAX);
    let handed = hand_out(&job, &groups, &search.best);
    let mut bins: Vec<Vec<usize>> = handed.into_iter().map(|cut| cut.pieces).collect();
    ship_nothing(&groups.nothing, &mut bins);
    let lower_bound = lower_bound.max(u64::from(!bins.is_empty()));
    Packing {
        bins,
        lower_bound,
        unplaced: groups.too_long.iter().map(|piece| piece.0).collect(),
    }
}

fn ship_nothing(nothing: &[(usize, u64)], bins: &mut Vec<Vec<usize>>) {
    if nothing.is_empty() {
        return;
    }
    if bins.is_empty() {
        bins.push(Vec::new());
    }
    bins[0].extend(nothing.iter().map(|piece| piece.0));
}
