//! Sheets being filled and the pieces not yet on one.

use std::rc::Rc;

use crate::solver::cutting::insert::Fit;
use crate::solver::cutting::insert::best_spot;
use crate::solver::cutting::job::Job;
use crate::solver::cutting::job::Sheet;
use crate::solver::cutting::tree::Laid;
use crate::solver::cutting::tree::Spot;
use crate::solver::packing::Effort;

/// A search's present layout; copying it is cheap because sheets are shared until changed.
#[derive(Clone, Debug)]
pub(super) struct State {
    pub(super) sheets: Vec<Rc<Sheet>>,
    /// Parts on no sheet.
    pub(super) pool: Vec<u32>,
    /// Sheets used of each kind.
    pub(super) used: Vec<u64>,
    /// Most sheets of each kind.
    pub(super) limits: Vec<Option<u64>>,
    /// Money, then number of sheets.
    pub(super) cost: (u128, u64),
}

/// A place on one of the sheets.
pub(super) struct Place {
    pub(super) sheet: usize,
    pub(super) spot: Spot,
    pub(super) laid: Laid,
}

impl State {
    pub(super) fn new(job: &Job, pool: Vec<u32>) -> Self {
        let limits = job.kinds.iter().map(|kind| kind.supply).collect();
        Self {
            sheets: Vec::new(),
            pool,
            used: vec![0; job.kinds.len()],
            limits,
            cost: (0, 0),
        }
    }

    /// Area of the pieces on no sheet.
    pub(super) fn missing(&self, job: &Job) -> u128 {
        self.pool
            .iter()
            .map(|part| u128::from(job.part(*part).area()))
            .sum()
    }

    /// The best place for a part on sheets that `pass` does not pass over.
    pub(super) fn best_place(
        &self,
        job: &Job,
        part: u32,
        fit: Fit,
        mut pass: impl FnMut() -> bool,
        effort: &mut Effort<'_>,
    ) -> Option<Place> {
        let ways = job.part(part).ways(part);
        let mut best: Option<(u64, Place)> = None;
        let mut looked = 0;
        for (sheet, filled) in self.sheets.iter().enumerate() {
            looked += 1;
            if !ways.iter().any(|laid| filled.tree.free.may_hold(laid)) || pass() {
                continue;
            }
            looked += filled.tree.nodes() as u64;
            if let Some((rating, spot, laid)) = best_spot(&filled.tree, &ways, fit)
                && best.as_ref().is_none_or(|found| rating < found.0)
            {
                best = Some((rating, Place { sheet, spot, laid }));
            }
        }
        effort.spend(looked);
        best.map(|found| found.1)
    }

    pub(super) fn put(&mut self, place: &Place) {
        if let Some(sheet) = self.sheets.get_mut(place.sheet) {
            Rc::make_mut(sheet).tree.insert(place.spot, place.laid);
        }
    }

    /// Takes a new sheet of `kind` into use.
    pub(super) fn open(&mut self, job: &Job, kind: usize) {
        self.used[kind] += 1;
        self.cost = (
            self.cost.0 + u128::from(job.kinds[kind].cost),
            self.cost.1 + 1,
        );
        self.sheets.push(Rc::new(Sheet {
            kind,
            tree: job.kinds[kind].empty(),
        }));
    }

    /// Gives back a sheet; its pieces join the pool.
    pub(super) fn close(&mut self, job: &Job, sheet: usize) {
        let closed = self.sheets.swap_remove(sheet);
        self.used[closed.kind] -= 1;
        self.cost = (
            self.cost.0 - u128::from(job.kinds[closed.kind].cost),
            self.cost.1 - 1,
        );
        self.pool.extend(closed.tree.laid().map(|laid| laid.part));
    }

    /// Whether another sheet of `kind` is to be had.
    pub(super) fn can_open(&self, kind: usize) -> bool {
        self.limits[kind].is_none_or(|most| self.used[kind] < most)
    }
}
