//! The linear program that picks stock tubes: what each painting is worth in it, and which stock tubes it takes how often.

use std::rc::Rc;

use crate::rolling::tube::from_u64;
use crate::solver::milp;
use crate::solver::milp::Model;
use crate::solver::milp::Status;
use crate::solver::milp::Var;

use super::bars::Bar;
use super::count;
use super::scope::Branch;
use super::scope::Scope;
use super::scope::Tally;
use super::scope::Values;

/// Stock tubes are picked for everything in a scope, within the branches.
#[derive(Clone, Copy, Debug)]
pub(super) struct Master<'s, 'a, 'b> {
    /// What is wanted, and of what.
    pub(super) scope: &'s Scope<'a, 'b>,
    /// What else has to hold.
    pub(super) branches: &'s [Branch],
    /// What it costs, in cents, to leave out a painting or to miss a branch by one: no plan that is wanted costs more.
    pub(super) dearest: f64,
}

impl Master<'_, '_, '_> {
    /// Whether nothing on a stock tube is forbidden.
    pub(super) fn allows(&self, bar: &Bar) -> bool {
        let forbids = |branch: &Branch| branch.forbids() && branch.on(self.scope, bar) > 0.0;
        self.scope.allows(bar) && !self.branches.iter().any(forbids)
    }

    /// The dual program: the dearest values at which no stock tube is worth more than its cost, and what they come to.
    pub(super) fn values(&self, bars: &[Rc<Bar>]) -> Option<(Values, f64)> {
        let mut model = Model::new();
        let scope = self.scope;
        let dearest = self.dearest;
        let wanted = scope.wanted.iter().map(|wanted| count(*wanted));
        let paintings: Vec<Var> = wanted
            .map(|wanted| model.continuous(-wanted, 0.0, dearest))
            .collect();
        let rents: Vec<Option<Var>> = scope
            .supply
            .iter()
            .map(|supply| Some(model.continuous(from_u64((*supply)?), 0.0, dearest)))
            .collect();
        let branches: Vec<Var> = self
            .branches
            .iter()
            .map(|branch| model.continuous(-sign(branch) * branch.number, 0.0, dearest))
            .collect();
        for bar in bars {
            let on = bar.counts.iter();
            let on = on.map(|(class, number)| (paintings[*class], count(*number)));
            let rent = rents[bar.stock].map(|rent| (rent, -1.0));
            let within = self.branches.iter().zip(&branches);
            let within = within.map(|(branch, var)| (*var, sign(branch) * branch.on(scope, bar)));
            model.at_most(
                bar.cost,
                on.chain(rent).chain(within.filter(|term| term.1 != 0.0)),
            );
        }
        let answer = milp::solve(&model, None, milp::Effort::nodes(1));
        if answer.status != Status::Optimal {
            return None;
        }
        let value = |var: Var| answer.values[var.index()];
        let paintings: Vec<f64> = paintings.into_iter().map(value).collect();
        let rents = rents.into_iter().map(|rent| rent.map_or(0.0, value));
        let mut values = Values {
            paintings: paintings
                .into_iter()
                .map(|worth| vec![Some(worth); scope.market.tubes.len()])
                .collect(),
            rents: rents.collect(),
            fees: vec![vec![0.0; scope.market.tubes.len()]; scope.kins],
        };
        for (branch, var) in self.branches.iter().zip(branches) {
            self.charge(&mut values, branch, -sign(branch) * value(var));
        }
        Some((values, -answer.objective))
    }

    /// Charges what a branch counts; what it forbids is worth nothing at all.
    fn charge(&self, values: &mut Values, branch: &Branch, charge: f64) {
        let market = self.scope.market;
        let mut tubes: Vec<usize> = branch
            .stocks
            .iter()
            .map(|stock| market.stocks[*stock].tube)
            .collect();
        tubes.dedup();
        match branch.tally {
            Tally::Bars => {
                for stock in &branch.stocks {
                    values.rents[*stock] += charge;
                }
            }
            Tally::Drums(kin) => {
                for (number, fees) in values.fees.iter_mut().enumerate() {
                    if kin.is_none_or(|kin| kin == number) {
                        for tube in &tubes {
                            fees[*tube] += charge;
                        }
                    }
                }
            }
            Tally::Paintings(class) => {
                for tube in tubes {
                    let worth = &mut values.paintings[class][tube];
                    *worth = worth
                        .filter(|_| !branch.forbids())
                        .map(|worth| worth - charge);
                }
            }
        }
    }

    /// How much of each stock tube the cheapest mixture takes.
    pub(super) fn shares(&self, bars: &[Rc<Bar>]) -> Option<Shares> {
        let (model, vars, gaps) = self.model(bars, |model, bar| {
            model.continuous(bar.cost, 0.0, f64::INFINITY)
        });
        let answer = milp::solve(&model, None, milp::Effort::nodes(1));
        if answer.status != Status::Optimal {
            return None;
        }
        let value = |var: &Var| answer.values[var.index()];
        Some(Shares {
            of_bars: vars.iter().map(value).collect(),
            misses: gaps.iter().map(value).sum::<f64>() > 1e-6,
        })
    }

    /// The cheapest whole choice among stock tubes, and whether it was proved that there is none cheaper, or none at all.
    pub(super) fn whole(&self, bars: &[Rc<Bar>], nodes: u32) -> (Option<Vec<Bar>>, bool) {
        let (model, vars, gaps) = self.model(bars, |model, bar| {
            let copies = bar.counts.iter();
            let copies = copies.map(|(class, on)| self.scope.wanted[*class].div_ceil((*on).max(1)));
            model.whole(bar.cost, 0.0, count(copies.max().unwrap_or(1)))
        });
        let answer = milp::solve(&model, None, milp::Effort::nodes(nodes));
        match answer.status {
            Status::Optimal | Status::Feasible => {
                let value = |var: &Var| answer.values[var.index()];
                let misses = gaps.iter().map(value).sum::<f64>() > 1e-6;
                let is_proved = answer.status == Status::Optimal;
                let taken = (!misses).then(|| copies(bars, vars.iter().map(value)));
                (taken, is_proved)
            }
            Status::Infeasible => (None, true),
            Status::Unknown => (None, false),
        }
    }

    /// The program over stock tubes, the variable of each, and those of what is missed.
    fn model(
        &self,
        bars: &[Rc<Bar>],
        mut variable: impl FnMut(&mut Model, &Bar) -> Var,
    ) -> (Model, Vec<Var>, Vec<Var>) {
        let mut model = Model::new();
        let vars: Vec<Var> = bars.iter().map(|bar| variable(&mut model, bar)).collect();
        let pairs = || bars.iter().zip(&vars);
        let mut gaps = Vec::new();
        for (class, wanted) in self.scope.wanted.iter().enumerate() {
            let gap = model.continuous(self.dearest, 0.0, count(*wanted));
            gaps.push(gap);
            let on = pairs().map(|(bar, var)| (*var, count(bar.count(class))));
            let on = on.filter(|term| term.1 > 0.0).chain([(gap, 1.0)]);
            model.at_least(count(*wanted), on);
        }
        for (stock, supply) in self.scope.supply.iter().enumerate() {
            if let Some(supply) = supply {
                let of_stock = pairs().filter(|(bar, _)| bar.stock == stock);
                model.at_most(from_u64(*supply), of_stock.map(|(_, var)| (*var, 1.0)));
            }
        }
        for branch in self.branches {
            let gap = model.continuous(self.dearest, 0.0, f64::INFINITY);
            gaps.push(gap);
            let on = pairs().map(|(bar, var)| (*var, branch.on(self.scope, bar)));
            let on = on.filter(|term| term.1 > 0.0).chain([(gap, sign(branch))]);
            if branch.is_least {
                model.at_least(branch.number, on);
            } else {
                model.at_most(branch.number, on);
            }
        }
        (model, vars, gaps)
    }
}

/// A mixture of stock tubes.
#[derive(Clone, Debug)]
pub(super) struct Shares {
    /// How much of each is taken.
    pub(super) of_bars: Vec<f64>,
    /// Whether something is missed all the same.
    pub(super) misses: bool,
}

/// Each stock tube as often as it is taken, in whole numbers but for the noise of the arithmetic.
pub(super) fn copies(bars: &[Rc<Bar>], times: impl IntoIterator<Item = f64>) -> Vec<Bar> {
    let each = bars.iter().zip(times).flat_map(|(bar, times)| {
        let mut left = times.round();
        std::iter::from_fn(move || {
            left -= 1.0;
            (left > -0.5).then(|| (**bar).clone())
        })
    });
    each.collect()
}

/// At least is for, at most is against.
const fn sign(branch: &Branch) -> f64 {
    if branch.is_least { 1.0 } else { -1.0 }
}
