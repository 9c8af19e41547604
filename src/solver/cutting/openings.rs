//! Opens new sheets, and strips of rolls, as long as the supply lasts.

use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Sheet;
use crate::solver::cutting::job::Sheets;
use crate::solver::cutting::state::State;
use crate::solver::cutting::tree::Tree;
use crate::solver::packing::Bar;
use crate::solver::packing::Effort;
use crate::solver::packing::cut_lengths;

/// What is left of each kind.
#[derive(Clone, Debug)]
pub(super) struct Openings {
    sheets: Vec<Option<u64>>,
    /// For rolls: the length left over all of them.
    lengths: Vec<Option<u128>>,
}

impl Openings {
    pub(super) fn new(job: &Job) -> Self {
        let sheets: Vec<Option<u64>> = job.kinds.iter().map(|kind| kind.supply).collect();
        let mut openings = Self {
            lengths: vec![None; sheets.len()],
            sheets,
        };
        openings.measure(job);
        openings
    }

    /// Takes sheets that are cut for good.
    pub(super) fn take(&mut self, job: &Job, kind: usize, times: u64) {
        if let Some(left) = self.sheets[kind].as_mut() {
            *left = left.saturating_sub(times);
        }
        self.measure(job);
    }

    /// How many sheets of a kind are left.
    pub(super) fn left(&self, kind: usize) -> u64 {
        self.sheets[kind].unwrap_or(u64::MAX)
    }

    /// How many strips of length `h` a roll's kind still yields, or sheets.
    pub(super) fn yields(&self, job: &Job, kind: usize, h: u32) -> u64 {
        if !job.kinds[kind].across {
            return self.left(kind);
        }
        let strips = self.lengths[kind].map_or(u128::MAX, |length| length / u128::from(h.max(1)));
        u64::try_from(strips).unwrap_or(u64::MAX)
    }

    /// Books `times` sheets, or strips of length `h`.
    pub(super) fn book(&mut self, job: &Job, kind: usize, h: u32, times: u64) {
        if job.kinds[kind].across {
            if let Some(length) = self.lengths[kind].as_mut() {
                *length = length.saturating_sub(u128::from(h) * u128::from(times));
            }
        } else if let Some(left) = self.sheets[kind].as_mut() {
            *left = left.saturating_sub(times);
        }
    }

    /// A new sheet that holds the part, or a strip just as long as the part, of the kind that is cheapest for its area.
    pub(super) fn open(&mut self, job: &Job, part: u32) -> Option<Sheet> {
        let mut kinds: Vec<(usize, Tree)> = Vec::new();
        for (k, kind) in job.kinds.iter().enumerate() {
            let ways = job.part(part).ways(part).within(kind.w, kind.h);
            let Some(least) = ways.map(|laid| laid.h).min() else {
                continue;
            };
            let (h, across) = if kind.across {
                (least, false)
            } else {
                (kind.h, false)
            };
            if self.yields(job, k, h) > 0 {
                kinds.push((k, Tree::new(kind.w, h, across)));
            }
        }
        let (kind, tree) = kinds.into_iter().min_by(|(a, _), (b, _)| {
            let (a, b) = (&job.kinds[*a], &job.kinds[*b]);
            let this = u128::from(a.cost) * u128::from(b.area());
            this.cmp(&(u128::from(b.cost) * u128::from(a.area())))
                .then(a.area().cmp(&b.area()))
        })?;
        self.book(job, kind, tree.h, 1);
        Some(Sheet { kind, tree })
    }

    /// Lengths of rolls anew from their number.
    fn measure(&mut self, job: &Job) {
        for (k, kind) in job.kinds.iter().enumerate().filter(|(_, kind)| kind.across) {
            self.lengths[k] = self.sheets[k].map(|left| u128::from(left) * u128::from(kind.h));
        }
    }
}

/// Puts strips of rolls one behind another on rolls of their width; strips for which no roll is left come back.
pub(super) fn roll_up(
    job: &Job,
    filled: Sheets,
    openings: &mut Openings,
    effort: &mut Effort<'_>,
) -> (Sheets, Sheets) {
    let (strips, mut whole): (Sheets, Sheets) = filled
        .into_iter()
        .partition(|(sheet, _)| job.kinds[sheet.kind].across);
    let mut over = Sheets::new();
    let mut widths: Vec<u32> = strips.iter().map(|(sheet, _)| sheet.tree.w).collect();
    widths.sort_unstable();
    widths.dedup();
    for width in widths {
        let same: Vec<&(Sheet, u64)> = strips
            .iter()
            .filter(|(sheet, _)| sheet.tree.w == width)
            .collect();
        let kinds: Vec<usize> = (0..job.kinds.len())
            .filter(|k| job.kinds[*k].across && job.kinds[*k].w == width)
            .collect();
        let bars: Vec<Bar> = kinds
            .iter()
            .map(|&k| {
                let kind = &job.kinds[k];
                let supply = kind.supply.map(|_| openings.left(k));
                Bar {
                    length: u64::from(kind.h),
                    cost: kind.cost,
                    supply,
                }
            })
            .collect();
        let lengths: Vec<(u64, u64)> = same
            .iter()
            .map(|(sheet, times)| (u64::from(sheet.tree.size().1), *times))
            .collect();
        let plan = cut_lengths(&bars, &lengths, 0, effort);
        for cut in &plan.cuts {
            let kind = kinds[cut.bar];
            let trees: Vec<&Tree> = cut
                .pieces
                .iter()
                .map(|strip| &same[*strip].0.tree)
                .collect();
            let tree = Tree::stacked(width, job.kinds[kind].h, true, &trees);
            openings.take(job, kind, cut.times);
            whole.push((Sheet { kind, tree }, cut.times));
        }
        over.extend(
            plan.unplaced
                .iter()
                .map(|&(strip, times)| (same[strip].0.clone(), times)),
        );
    }
    (whole, over)
}

impl Openings {
    /// Allows a layout of sheets already taken what it has and what is left.
    pub(super) fn limit(&self, state: &mut State) {
        for (k, left) in self.sheets.iter().enumerate() {
            state.limits[k] = left.map(|left| left + state.used[k]);
        }
    }

    /// What is left once such a layout has changed.
    pub(super) fn settle(&mut self, state: &State) {
        for (k, left) in self.sheets.iter_mut().enumerate() {
            *left = state.limits[k].map(|most| most.saturating_sub(state.used[k]));
        }
    }

    /// The job with the supply that is left; nothing else about it changes.
    pub(super) fn job_left(&self, job: &Job) -> Job {
        let mut left = Job {
            parts: job.parts.clone(),
            kinds: job.kinds.clone(),
            ..Job::default()
        };
        for (kind, sheets) in left.kinds.iter_mut().zip(&self.sheets) {
            kind.supply = *sheets;
        }
        left
    }
}
