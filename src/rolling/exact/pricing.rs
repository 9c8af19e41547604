//! Stock tubes that are worth adding to the linear program, until none is; and all that a better choice can be made of.

use std::rc::Rc;

use super::bars::Bar;
use super::bars::Search;
use super::bars::Wanted;
use super::count;
use super::headroom::Headroom;
use super::master::Master;
use super::scope::Scope;
use super::scope::Values;

/// In cents: less is nothing.
const TINY: f64 = 1e-3;
/// Fillings of a stock that are added in a round.
const A_ROUND: usize = 3;
/// Nodes of a search for fillings.
const NODES: u64 = 50_000;
/// Nodes of a search for a list of fillings, and the most that are listed: with more, the whole-number program takes long.
const LISTING: (u64, usize) = (200_000, 400);

/// What was found out about a linear program.
#[derive(Clone, Debug)]
pub(super) struct Priced {
    /// What everything is worth at the end.
    pub(super) values: Values,
    /// What those values come to, in cents.
    pub(super) total: f64,
    /// No choice costs less, in cents.
    pub(super) bound: f64,
    /// Whether no stock tube is missing any more.
    pub(super) is_done: bool,
}

/// One painting on each stock tube that takes it, in each way.
pub(super) fn singles(scope: &Scope<'_, '_>) -> Vec<Rc<Bar>> {
    let market = scope.market;
    let mut bars = Vec::new();
    for (class, known) in market.classes.iter().enumerate() {
        for stock in scope.open() {
            let tube = market.stocks[stock].tube;
            for (way, lying) in known.ways[tube].iter().enumerate() {
                let face = market.margin + lying.width;
                let alone = (lying.load, lying.winding.outside, 1);
                if face <= market.stocks[stock].length && market.holds(tube, face, alone) {
                    let drums = vec![vec![(class, way)]];
                    bars.push(Rc::new(Bar::new(market, stock, drums)));
                }
            }
        }
    }
    bars
}

/// Adds stock tubes until none is worth adding, the bound reaches `below`, or so many rounds or all of the work are spent.
pub(super) fn price(
    master: &Master<'_, '_, '_>,
    bars: &mut Vec<Rc<Bar>>,
    (below, rounds): (f64, u64),
    work: &mut u64,
) -> Option<Priced> {
    let scope = master.scope;
    let most_bars = most_bars(scope, below);
    let mut bound = 0.0_f64;
    let mut steady: Option<(Values, f64)> = None;
    let each = scope.work();
    let mut turn = 0;
    loop {
        turn += 1;
        let (values, total) = master.values(bars)?;
        // Values leap from one end to the other as stock tubes come in: half-way to the steadiest so far they lead to better ones.
        let mut round = None;
        if let Some((steady_values, steady_total)) = &steady {
            let (between, sum) = (
                values.half_way(steady_values),
                f64::midpoint(total, *steady_total),
            );
            let mut found = Round::run(scope, &between, bars);
            let least = sum - found.worth * most_bars;
            if least > bound {
                bound = least;
                steady = Some((between, sum));
            }
            found
                .found
                .retain(|bar| values.shortfall(scope, bar) < -TINY);
            round = Some(found).filter(|round| !round.found.is_empty());
        }
        let round = round.unwrap_or_else(|| {
            let round = Round::run(scope, &values, bars);
            let least = if round.found.is_empty() && round.is_whole {
                total - TINY
            } else {
                total - round.worth * most_bars
            };
            if least > bound || steady.is_none() {
                bound = bound.max(least);
                steady = Some((values.clone(), total));
            }
            round
        });
        *work = work.saturating_sub(each);
        let is_done = round.found.is_empty();
        bars.extend(round.found.into_iter().map(Rc::new));
        if is_done || bound >= below || turn == rounds || *work < each {
            return Some(Priced {
                values,
                total,
                bound,
                is_done: is_done && round.is_whole,
            });
        }
    }
}

/// What one round of pricing brought.
struct Round {
    found: Vec<Bar>,
    /// No stock tube is worth more above its cost, in cents.
    worth: f64,
    is_whole: bool,
}

impl Round {
    fn run(scope: &Scope<'_, '_>, values: &Values, known: &[Rc<Bar>]) -> Self {
        let mut round = Self {
            found: Vec::new(),
            worth: 0.0,
            is_whole: true,
        };
        for tube in scope.tubes() {
            let headroom = Headroom::new(scope, tube, values);
            for stock in of_tube(scope, tube) {
                let most = most(scope, &headroom, values, stock);
                round.worth = round.worth.max(most);
                // As a rule a filling reaches what the headroom promises; where it does not, any that is worth adding will do.
                for least in [TINY.max(most / 2.0), TINY] {
                    let wanted = Wanted {
                        least,
                        number: A_ROUND,
                        nodes: NODES,
                    };
                    if most <= least {
                        break;
                    }
                    let search = Search::run(scope, (&headroom, values), stock, wanted);
                    if !search.found.is_empty() {
                        round.found.extend(search.found);
                        break;
                    }
                    round.is_whole &= search.is_whole || least > TINY;
                }
            }
        }
        // What is known already is worth nothing more but for the noise of the arithmetic.
        round
            .found
            .retain(|bar| !known.iter().any(|one| **one == *bar));
        round
    }
}

/// Every stock tube whose shortfall is less than `gap`, which any better choice is made of; nothing where there are too many.
pub(super) fn list(master: &Master<'_, '_, '_>, values: &Values, gap: f64) -> Option<Vec<Rc<Bar>>> {
    let scope = master.scope;
    let (mut nodes, mut left) = LISTING;
    let mut listed = Vec::new();
    for tube in scope.tubes() {
        let headroom = Headroom::new(scope, tube, values);
        for stock in of_tube(scope, tube) {
            if most(scope, &headroom, values, stock) <= -gap {
                continue;
            }
            let wanted = Wanted {
                least: -gap,
                number: left + 1,
                nodes,
            };
            let search = Search::run(scope, (&headroom, values), stock, wanted);
            left = left.checked_sub(search.found.len())?;
            nodes = search.nodes_left()?;
            let found = search.found.into_iter().map(Rc::new);
            listed.extend(found.filter(|bar| master.allows(bar)));
        }
    }
    Some(listed)
}

/// The stocks of a tube of which any is left.
fn of_tube(scope: &Scope<'_, '_>, tube: usize) -> Vec<usize> {
    scope
        .open()
        .filter(|stock| scope.market.stocks[*stock].tube == tube)
        .collect()
}

/// The most that a stock tube can be worth above its cost and what it is charged, in cents.
fn most(scope: &Scope<'_, '_>, headroom: &Headroom, values: &Values, stock: usize) -> f64 {
    let known = scope.market.stocks[stock];
    let room = known.length + scope.market.kerf;
    headroom.most(0, false, room) - known.cents - values.rents[stock]
}

/// No choice that costs less has more stock tubes than this: each holds a painting, and a drum at least has to be paid for.
fn most_bars(scope: &Scope<'_, '_>, below: f64) -> f64 {
    let market = scope.market;
    let each = market
        .stocks
        .iter()
        .map(|stock| stock.cents + market.drums[stock.tube].each)
        .fold(f64::INFINITY, f64::min);
    let paintings = count(scope.wanted.iter().sum());
    if each > 0.0 {
        paintings.min((below / each).floor())
    } else {
        paintings
    }
}
