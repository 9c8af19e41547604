//! Where the linear program takes parts of things: what to count in whole numbers next.

use std::collections::BTreeSet;
use std::rc::Rc;

use super::bars::Bar;
use super::count;
use super::master::Master;
use super::scope::Branch;
use super::scope::Tally;

/// A number nearer than this to a whole one is taken for it.
const NEAR: f64 = 0.02;

/// Two sides of a fork, each with what holds there; together they leave nothing out.
#[derive(Clone, Debug)]
pub(super) struct Fork(Vec<Branch>, Vec<Branch>);

impl Fork {
    /// Chooses what to count: all drums, all stock tubes, drums of a kin, those on the wider tubes or on one tube, stock tubes of a length, or
    /// on which tube a painting lies; nothing where all of these are whole.
    pub(super) fn new(
        master: &Master<'_, '_, '_>,
        bars: &[Rc<Bar>],
        shares: &[f64],
    ) -> Option<Self> {
        let taken: Vec<(&Bar, f64)> = bars
            .iter()
            .zip(shares)
            .filter(|(_, share)| **share > 1e-7)
            .map(|(bar, share)| (&**bar, *share))
            .collect();
        let sum = |branch: &Branch| -> f64 {
            let on = taken.iter();
            on.map(|(bar, share)| branch.on(master.scope, bar) * share)
                .sum()
        };
        for level in levels(master) {
            let counted = level.into_iter().map(|branch| (sum(&branch), branch));
            let widest = counted.max_by(|a, b| from_whole(a.0).total_cmp(&from_whole(b.0)));
            if let Some((number, branch)) = widest
                && from_whole(number) > NEAR
            {
                return Some(Self::at(master, &branch, number));
            }
        }
        None
    }

    /// So many at most, or one more at least.
    fn at(master: &Master<'_, '_, '_>, branch: &Branch, number: f64) -> Self {
        let side = |is_least: bool, number: f64| Branch {
            is_least,
            number,
            ..branch.clone()
        };
        let (fewer, mut more) = (
            vec![side(false, number.floor())],
            vec![side(true, number.ceil())],
        );
        if let Tally::Paintings(class) = branch.tally
            && count(master.scope.wanted[class]) <= number.ceil()
        {
            // All that there are lie there, none elsewhere.
            let stocks = 0..master.scope.market.stocks.len();
            let elsewhere = stocks.filter(|stock| !branch.stocks.contains(stock));
            more.push(Branch {
                tally: Tally::Paintings(class),
                stocks: elsewhere.collect(),
                is_least: false,
                number: 0.0,
            });
        }
        Self(fewer, more)
    }

    /// Both sides.
    pub(super) fn sides(self) -> impl Iterator<Item = Vec<Branch>> {
        [self.1, self.0].into_iter()
    }
}

/// What can be counted, what bears most on the cost first.
fn levels(master: &Master<'_, '_, '_>) -> Vec<Vec<Branch>> {
    let scope = master.scope;
    let stocks = &scope.market.stocks;
    let tubes: BTreeSet<usize> = stocks.iter().map(|stock| stock.tube).collect();
    let where_tube = |serves: &dyn Fn(usize) -> bool| -> Vec<usize> {
        let all = stocks.iter().enumerate();
        all.filter(|(_, stock)| serves(stock.tube))
            .map(|(at, _)| at)
            .collect()
    };
    let branch = |tally: &Tally, stocks: &[usize]| Branch {
        tally: tally.clone(),
        stocks: stocks.to_vec(),
        is_least: false,
        number: 0.0,
    };
    let all = where_tube(&|_| true);
    // Tubes stand in the order of their diameters.
    let from: Vec<Vec<usize>> = tubes
        .iter()
        .map(|least| where_tube(&|tube| tube >= *least))
        .collect();
    let each: Vec<Vec<usize>> = tubes
        .iter()
        .map(|one| where_tube(&|tube| tube == *one))
        .collect();
    let any = [Tally::Drums(None), Tally::Bars];
    let kins: Vec<Tally> = (0..scope.kins).map(|kin| Tally::Drums(Some(kin))).collect();
    let classes = scope.wanted.iter().enumerate();
    let classes: Vec<Tally> = classes
        .filter(|(_, wanted)| **wanted > 0)
        .map(|(class, _)| Tally::Paintings(class))
        .collect();
    let on = |tallies: &[Tally], sets: &[Vec<usize>]| -> Vec<Branch> {
        let pairs = tallies
            .iter()
            .flat_map(|one| sets.iter().map(move |set| (one, set)));
        pairs.map(|(one, set)| branch(one, set)).collect()
    };
    let everywhere = std::slice::from_ref(&all);
    let lengths: Vec<Vec<usize>> = all.iter().map(|stock| vec![*stock]).collect();
    vec![
        on(&any[..1], everywhere),
        on(&any[1..], everywhere),
        on(&kins, everywhere),
        on(&any, &from),
        on(&kins, &from),
        on(&any, &each),
        on(&kins, &each),
        on(&any[1..], &lengths),
        on(&classes, &each),
    ]
}

/// How far a number is from a whole one.
fn from_whole(number: f64) -> f64 {
    (number - number.round()).abs()
}
