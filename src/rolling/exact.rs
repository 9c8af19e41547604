//! The cheapest drums for a few paintings, proved: stock tubes with their drums as columns of a linear program.
//!
//! The program's dual gives every class of paintings a price; a stock tube is worth adding where its paintings' prices exceed its cost
//! (Gilmore and Gomory 1961, "A linear programming approach to the cutting-stock problem", Operations Research 9). At the end the sum of
//! prices is a bound. Only stock tubes whose shortfall is under the gap between that bound and the best known choice can be part of a
//! cheaper one; they are listed, and a whole-number program picks among them (Baldacci, Christofides and Mingozzi 2008, "An exact
//! algorithm for the vehicle routing problem based on the set partitioning formulation", Mathematical Programming 115; both sources from memory).

use crate::solver::milp;
use crate::solver::milp::Model;
use crate::solver::milp::Status;
use crate::solver::milp::Var;

use super::bars::Bar;
use super::bars::Search;
use super::bars::Wanted;
use super::bars::from_i64;
use super::market::Market;
use super::tube::from_u64;

/// Nodes of the search for columns, for prices and again for the list.
const NODES: u64 = 800_000;
/// Nodes of a short search.
const SHORT: u64 = 1_000;
/// Rounds of pricing.
const ROUNDS: usize = 400;
/// Columns that the last program may have: beyond, it takes minutes.
const MOST_COLUMNS: usize = 10_000;
/// Where there are more, those within this part of the gap are looked through for a better choice, which narrows the gap.
const NEARER: f64 = 4.0;
/// Nodes of the whole-number programs: of columns that prices brought up, and of the list.
const TREES: (u32, u32) = (300, 10_000);
/// In cents: less is nothing.
const TINY: f64 = 1e-3;

/// What was found, and what was proved.
#[derive(Clone, Debug, Default)]
pub(super) struct Proof {
    /// A choice that is cheaper than the one known before, if there is one.
    pub(super) bars: Option<Vec<Bar>>,
    /// No choice costs less, in cents.
    pub(super) bound: f64,
}

/// Looks for the cheapest choice, below one that costs `known` cents, and for a bound; among all choices, or among those that take
/// each stock just so often.
pub(super) fn cheapest(market: &Market<'_>, known: f64, counts: Option<&[u64]>) -> Proof {
    let stall = &Stall {
        market,
        counts,
        dearest: known,
    };
    let mut columns = singles(stall);
    let priced = price(stall, &mut columns);
    let slack = TINY + known.abs() * 1e-9;
    let mut best = pick(stall, &columns, known - slack);
    let mut cost = best.as_ref().map_or(known, |bars| total(bars));
    let gap = |cost: f64| cost - priced.bound + slack;
    let mut listed = list(stall, &priced, gap(cost));
    if listed.is_none()
        && let Some(nearest) = list(stall, &priced, gap(cost) / NEARER)
        && let Some(bars) = pick(stall, &nearest, cost - slack)
    {
        cost = total(&bars);
        best = Some(bars);
        listed = list(stall, &priced, gap(cost));
    }
    let Some(listed) = listed.filter(|_| priced.is_done) else {
        return Proof {
            bars: best,
            bound: priced.bound.min(cost),
        };
    };
    // The columns listed hold every choice that is cheaper than the best known one.
    let (cheaper, proved) = solve(stall, &listed, TREES.1);
    if let Some(bars) = cheaper.filter(|bars| total(bars) < cost - slack) {
        best = Some(bars);
    }
    let cost = best.as_ref().map_or(known, |bars| total(bars));
    let proved = proved.map_or(priced.bound, |bound| bound.max(priced.bound));
    Proof {
        bars: best,
        bound: if proved > cost - 10.0 * slack {
            cost
        } else {
            proved
        },
    }
}

/// A market of which perhaps only so many of each stock are taken.
struct Stall<'a, 'b> {
    market: &'b Market<'a>,
    counts: Option<&'b [u64]>,
    /// What the best known choice costs: nothing need be priced beyond it.
    dearest: f64,
}

impl Stall<'_, '_> {
    /// How many of a stock there are, or are taken; none where nothing limits them.
    fn supply(&self, stock: usize) -> Option<u64> {
        match self.counts {
            Some(counts) => Some(counts.get(stock).copied().unwrap_or(0)),
            None => self.market.stocks.get(stock)?.supply,
        }
    }

    /// The stocks that may be taken at all.
    fn open(&self) -> impl Iterator<Item = usize> {
        (0..self.market.stocks.len()).filter(|stock| self.supply(*stock) != Some(0))
    }

    /// No choice has more stock tubes than this.
    fn most_bars(&self) -> f64 {
        let paintings: usize = self
            .market
            .classes
            .iter()
            .map(|class| class.rolls.len())
            .sum();
        self.counts
            .map_or_else(|| count(paintings), |counts| from_u64(counts.iter().sum()))
    }
}

/// Prices of classes and of what is on the shelf.
#[derive(Clone, Debug, Default)]
struct Priced {
    classes: Vec<f64>,
    rents: Vec<f64>,
    bound: f64,
    /// Whether no column is missing any more.
    is_done: bool,
}

fn total(bars: &[Bar]) -> f64 {
    bars.iter().map(|bar| bar.cost).sum()
}

/// One painting on each stock tube that takes it.
fn singles(stall: &Stall<'_, '_>) -> Vec<Bar> {
    let market = stall.market;
    let mut columns = Vec::new();
    for class in 0..market.classes.len() {
        let mut prices = vec![0.0; market.classes.len()];
        if let Some(price) = prices.get_mut(class) {
            *price = f64::from(u32::MAX);
        }
        for stock in stall.open() {
            let search = Search::run(market, stock, (&prices, 0.0), (Wanted::Best, 0.0), 1_000);
            let alone = search.into_iter().flat_map(|search| search.found);
            columns.extend(
                alone
                    .map(|(_, bar)| bar)
                    .find(|bar| bar.drums.iter().map(Vec::len).sum::<usize>() == 1),
            );
        }
    }
    columns
}

/// Adds columns until none is worth adding.
fn price(stall: &Stall<'_, '_>, columns: &mut Vec<Bar>) -> Priced {
    let (mut nodes, mut cap) = (NODES, SHORT);
    let mut best_bound = 0.0_f64;
    let mut priced = Priced::default();
    for _ in 0..ROUNDS {
        let Some((classes, rents, value)) = dual(stall, columns) else {
            break;
        };
        priced.classes = classes;
        priced.rents = rents;
        let (worth, whole) = add(stall, &priced, columns, (&mut nodes, cap));
        if nodes == 0 {
            break;
        }
        if !whole {
            // Short searches find most columns; only where they find none is it worth looking to the end.
            if worth <= 0.0 {
                cap = cap.saturating_mul(50);
            }
            continue;
        }
        // No choice has more stock tubes than that, and none of them is worth more.
        best_bound = best_bound.max(value - worth * stall.most_bars());
        if worth <= 0.0 {
            priced.is_done = true;
            best_bound = best_bound.max(value - TINY);
            break;
        }
    }
    priced.bound = best_bound;
    priced
}

/// Adds the most worthwhile columns of each stock; returns what the best is worth, and whether every search went to its end.
fn add(
    stall: &Stall<'_, '_>,
    priced: &Priced,
    columns: &mut Vec<Bar>,
    (nodes, cap): (&mut u64, u64),
) -> (f64, bool) {
    let (mut most, mut whole) = (0.0_f64, true);
    for stock in stall.open() {
        let rent = priced.rents.get(stock).copied().unwrap_or(0.0);
        let wanted = (Wanted::Best, TINY);
        let given = cap.min(*nodes);
        let Some(search) = Search::run(stall.market, stock, (&priced.classes, rent), wanted, given)
        else {
            continue;
        };
        *nodes -= given - search.nodes;
        whole &= search.nodes > 0;
        if let Some((worth, _)) = search.found.last() {
            most = most.max(*worth);
        }
        columns.extend(search.found.into_iter().rev().take(3).map(|(_, bar)| bar));
    }
    (most, whole)
}

/// The dual program: the dearest prices at which no column is worth more than its cost.
fn dual(stall: &Stall<'_, '_>, columns: &[Bar]) -> Option<(Vec<f64>, Vec<f64>, f64)> {
    let mut model = Model::new();
    let classes: Vec<Var> = stall
        .market
        .classes
        .iter()
        .map(|class| model.continuous(-count(class.rolls.len()), 0.0, stall.dearest))
        .collect();
    // Where so many have to be taken, a stock may be paid for.
    let least = stall.counts.map_or(0.0, |_| -stall.dearest);
    let rents: Vec<Option<Var>> = (0..stall.market.stocks.len())
        .map(|stock| {
            let supply = stall.supply(stock)?;
            Some(model.continuous(from_u64(supply), least, stall.dearest))
        })
        .collect();
    for bar in columns {
        let on = bar
            .classes()
            .into_iter()
            .filter_map(|class| Some((*classes.get(class)?, f64::from(bar.count(class)))));
        let rent = rents.get(bar.stock).copied().flatten();
        model.at_most(bar.cost, on.chain(rent.map(|rent| (rent, -1.0))));
    }
    let answer = milp::solve(&model, None, milp::Effort::nodes(1));
    if answer.status != Status::Optimal {
        return None;
    }
    let value = |var: Var| answer.values.get(var.index()).copied().unwrap_or(0.0);
    let rents = rents.into_iter().map(|rent| rent.map_or(0.0, value));
    let prices = classes.iter().map(|var| value(*var)).collect();
    Some((prices, rents.collect(), -answer.objective))
}

/// The best choice among columns, where it is cheaper than `known`.
fn pick(stall: &Stall<'_, '_>, columns: &[Bar], known: f64) -> Option<Vec<Bar>> {
    let (found, _) = solve(stall, columns, TREES.0);
    found.filter(|bars| total(bars) < known)
}

/// Every column whose shortfall at those prices is less than `gap`; none where there are too many.
fn list(stall: &Stall<'_, '_>, priced: &Priced, gap: f64) -> Option<Vec<Bar>> {
    let mut nodes = NODES;
    let mut columns = Vec::new();
    for stock in stall.open() {
        let rent = priced.rents.get(stock).copied().unwrap_or(0.0);
        let wanted = (Wanted::All, -gap);
        let search = Search::run(stall.market, stock, (&priced.classes, rent), wanted, nodes)?;
        nodes = search.nodes;
        columns.extend(search.found.into_iter().map(|(_, bar)| bar));
        if nodes == 0 || columns.len() > MOST_COLUMNS {
            return None;
        }
    }
    Some(columns)
}

/// The cheapest whole choice among columns, and a bound on any choice among them.
fn solve(stall: &Stall<'_, '_>, columns: &[Bar], nodes: u32) -> (Option<Vec<Bar>>, Option<f64>) {
    let mut model = Model::new();
    let market = stall.market;
    let most = |bar: &Bar| {
        let copies = bar.classes().into_iter().filter_map(|class| {
            let wanted = u32::try_from(market.classes.get(class)?.rolls.len()).ok()?;
            Some(wanted.div_ceil(bar.count(class).max(1)))
        });
        f64::from(copies.max().unwrap_or(1))
    };
    let vars: Vec<Var> = columns
        .iter()
        .map(|bar| model.whole(bar.cost, 0.0, most(bar)))
        .collect();
    let pairs = || columns.iter().zip(&vars);
    for (class, known) in market.classes.iter().enumerate() {
        let terms = pairs().filter(|(bar, _)| bar.count(class) > 0);
        model.at_least(
            count(known.rolls.len()),
            terms.map(|(bar, var)| (*var, f64::from(bar.count(class)))),
        );
    }
    for stock in stall.open() {
        if let Some(supply) = stall.supply(stock) {
            let on = pairs().filter(|(bar, _)| bar.stock == stock);
            let least = stall.counts.map_or(0.0, |_| from_u64(supply));
            model.between(least, from_u64(supply), on.map(|(_, var)| (*var, 1.0)));
        }
    }
    let answer = milp::solve(&model, None, milp::Effort::nodes(nodes));
    match answer.status {
        Status::Optimal | Status::Feasible => {
            let times = |var: &Var| {
                answer
                    .values
                    .get(var.index())
                    .map_or(0.0, |value| value.round())
            };
            let taken = pairs().flat_map(|(bar, var)| {
                let mut left = times(var);
                std::iter::from_fn(move || {
                    left -= 1.0;
                    (left > -0.5).then(|| bar.clone())
                })
            });
            (Some(taken.collect()), Some(answer.bound))
        }
        Status::Infeasible => (None, Some(f64::INFINITY)),
        Status::Unknown => (None, None),
    }
}

fn count(number: usize) -> f64 {
    from_i64(i64::try_from(number).unwrap_or(i64::MAX))
}
