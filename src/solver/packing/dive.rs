//! Rounds the relaxation to whole cuts: fix the clearest patterns, solve what is left, again.

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use crate::solver::packing::column::relax;
use crate::solver::packing::column::whole_parts;
use crate::solver::packing::effort::Effort;
use crate::solver::packing::fill::Way;
use crate::solver::packing::fill::fill_all;
use crate::solver::packing::job::Cuts;
use crate::solver::packing::job::Job;
use crate::solver::packing::job::Pattern;
use crate::solver::packing::job::score;
use crate::solver::packing::tail::cut_tail;

/// Most rows of a linear program: its inverse is a square of these.
pub(super) const ROWS: usize = 1_200;

/// Of the patterns with fractions, one in so many is fixed at a time.
const SHARE: usize = 6;
/// Times a dive may take patterns back.
const RETRIES: u32 = 12;
/// Dives in a row that may bring nothing.
const FRUITLESS: u32 = 200;

/// The best cuts so far with what is known of the best possible.
#[derive(Debug)]
pub(super) struct Search<'a> {
    pub(super) job: &'a Job,
    pub(super) best: Cuts,
    pub(super) lower_bound: u128,
    pool: Vec<Pattern>,
}

impl<'a> Search<'a> {
    pub(super) fn new(job: &'a Job, lower_bound: u128) -> Self {
        Self {
            job,
            best: Cuts::new(),
            lower_bound,
            pool: Vec::new(),
        }
    }

    /// Keeps `cuts` if they are better than the best so far.
    pub(super) fn offer(&mut self, cuts: Cuts) {
        if self.best.is_empty() || score(self.job, &cuts) < score(self.job, &self.best) {
            self.best = cuts;
        }
    }

    /// Whether nothing better can exist.
    pub(super) fn proved(&self) -> bool {
        let (missing, cost, _) = score(self.job, &self.best);
        missing == 0 && cost <= self.lower_bound
    }

    /// Rounds the relaxation, first in order of the fractions, then by chance, until the effort ends.
    pub(super) fn dive(&mut self, chance: &mut ChaCha8Rng, effort: &mut Effort<'_>) {
        if self.proved() || self.job.lengths.len() + self.job.kinds.len() > ROWS {
            return;
        }
        let enough = score(self.job, &self.best).1;
        let known: Vec<Pattern> = self.best.iter().map(|cut| cut.0.clone()).collect();
        let root = relax(self.job, &known, enough, effort);
        self.lower_bound = self.lower_bound.max(root.lower_bound);
        self.pool = root.pool;
        self.finish(self.job, &Cuts::new(), effort);
        let mut fruitless = 0;
        while !self.proved() && fruitless < FRUITLESS && !(root.short && fruitless > 0) {
            let before = score(self.job, &self.best);
            self.dive_once(&root.used, (fruitless > 0).then_some(&mut *chance), effort);
            if !effort.is_left() {
                return;
            }
            let better = score(self.job, &self.best) < before;
            fruitless = if better { 0 } else { fruitless + 1 };
        }
    }

    /// Fixes patterns until nothing is left. Where the relaxation of what is left shows that nothing better can come
    /// of it, takes the last patterns back and fixes fewer, or others.
    fn dive_once(
        &mut self,
        root: &[(Pattern, f64)],
        mut chance: Option<&mut ChaCha8Rng>,
        effort: &mut Effort<'_>,
    ) {
        let mut left = self.job.clone();
        let mut used = root.to_vec();
        let mut cuts = Cuts::new();
        let (mut share, mut retries) = (SHARE, 0);
        while left.pieces() > 0 && effort.is_left() {
            let before = (left.clone(), cuts.len());
            cuts.extend(whole_parts(&mut left, &used));
            cuts.extend(clearest(&mut left, &used, share, chance.as_deref_mut()));
            if left.pieces() == before.0.pieces() {
                break;
            }
            let spent = score(self.job, &cuts).1;
            let enough = score(self.job, &self.best).1.saturating_sub(spent);
            let relaxed = relax(&left, &self.pool, enough, effort);
            if relaxed.lower_bound < enough || enough == 0 {
                self.finish(&left, &cuts, effort);
                (used, share) = (relaxed.used, SHARE);
            } else if retries < RETRIES {
                (left, share) = (before.0, share * 3);
                cuts.truncate(before.1);
                retries += 1;
            } else {
                return;
            }
            if self.proved() {
                return;
            }
        }
        // Out of effort: round what there is.
        cuts.extend(whole_parts(&mut left, &used));
        cuts.extend(clearest(&mut left, &used, 1, None));
        self.finish(&left, &cuts, effort);
    }

    fn finish(&mut self, left: &Job, cuts: &Cuts, effort: &mut Effort<'_>) {
        for way in [Way::Tightest, Way::Longest] {
            let mut all = cuts.clone();
            all.extend(fill_all(left.clone(), way, effort));
            self.offer(all);
        }
        if let Some(tail) = cut_tail(left, effort) {
            let mut all = cuts.clone();
            all.extend(tail);
            self.offer(all);
        }
    }
}

/// Cuts once each of the patterns with the greatest fractions, one in `share` of them at a time.
fn clearest(
    left: &mut Job,
    used: &[(Pattern, f64)],
    share: usize,
    chance: Option<&mut ChaCha8Rng>,
) -> Cuts {
    let mut parts: Vec<(f64, &Pattern)> = used
        .iter()
        .map(|(pattern, at)| (at - at.floor(), pattern))
        .collect();
    if let Some(chance) = chance {
        for part in &mut parts {
            part.0 += f64::from(chance.random_range(0..400_u16)) / 1_000.0;
        }
    }
    parts.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
    let mut cuts = Cuts::new();
    for (at, pattern) in parts.iter().take(parts.len().div_ceil(share)) {
        if (*at > 0.5 || cuts.is_empty()) && left.times(pattern) > 0 {
            left.take(pattern, 1);
            cuts.push(((*pattern).clone(), 1));
        }
    }
    cuts
}
