//! What a search for the cheapest stock tubes is about, and what its parts tell each other.

use std::collections::BTreeSet;

use crate::rolling::market::Market;

use super::bars::Bar;

/// So many rows of the linear program take as long as the tubes that are tried.
const ROWS: usize = 30;

/// Paintings that are still wanted, and stock that is left.
#[derive(Clone, Debug)]
pub(super) struct Scope<'a, 'b> {
    /// What there is to choose from.
    pub(super) market: &'b Market<'a>,
    /// By class, which kin it is of; kins are numbered.
    pub(super) kin_of: Vec<usize>,
    /// How many kins there are.
    pub(super) kins: usize,
    /// By class, how many paintings want a place.
    pub(super) wanted: Vec<usize>,
    /// By stock, how many are left; nothing where nothing limits them.
    pub(super) supply: Vec<Option<u64>>,
}

impl<'a, 'b> Scope<'a, 'b> {
    /// All paintings and all stock of a market.
    pub(super) fn new(market: &'b Market<'a>) -> Self {
        let kins = market.kins();
        Self {
            market,
            kin_of: market
                .classes
                .iter()
                .map(|class| kins.range(..class.kin).count())
                .collect(),
            kins: kins.len(),
            wanted: market
                .classes
                .iter()
                .map(|class| class.rolls.len())
                .collect(),
            supply: market.stocks.iter().map(|stock| stock.supply).collect(),
        }
    }

    /// The stocks of which any is left.
    pub(super) fn open(&self) -> impl Iterator<Item = usize> {
        let left = self.supply.iter().enumerate();
        left.filter(|(_, supply)| **supply != Some(0))
            .map(|(stock, _)| stock)
    }

    /// The tubes of those stocks.
    pub(super) fn tubes(&self) -> BTreeSet<usize> {
        self.open()
            .map(|stock| self.market.stocks[stock].tube)
            .collect()
    }

    /// About what a round of pricing takes: the paintings that each tube is tried with, and more where the linear program has many rows.
    pub(super) fn work(&self) -> u64 {
        let tubes = self.tubes();
        let tried: usize = (0..self.wanted.len())
            .flat_map(|class| tubes.iter().map(move |tube| self.copies(class, *tube)))
            .sum();
        let rows = self.wanted.iter().filter(|wanted| **wanted > 0).count();
        u64::try_from(tried * (ROWS + rows) / ROWS).unwrap_or(u64::MAX)
    }

    /// How many paintings of a class a stock tube may have to be tried with: those that are wanted, but no more than its longest takes.
    pub(super) fn copies(&self, class: usize, tube: usize) -> usize {
        let longest = self.market.tubes[tube].length().to_mm_up();
        let narrowest = self.market.narrowest(class, tube);
        narrowest.map_or(0, |(_, lying)| {
            let room = usize::try_from(longest / lying.width.max(1)).unwrap_or(0);
            room.min(self.wanted[class])
        })
    }

    /// Whether every painting on a stock tube is still wanted, and the stock is left.
    pub(super) fn allows(&self, bar: &Bar) -> bool {
        self.supply[bar.stock] != Some(0)
            && bar
                .counts
                .iter()
                .all(|(class, count)| *count <= self.wanted[*class])
    }

    /// Takes a stock tube off what is left and its paintings off those that are wanted.
    pub(super) fn take(&mut self, bar: &Bar) {
        if let Some(left) = &mut self.supply[bar.stock] {
            *left = left.saturating_sub(1);
        }
        for (class, count) in &bar.counts {
            self.wanted[*class] = self.wanted[*class].saturating_sub(*count);
        }
    }
}

/// What a painting is worth, and what stock tubes and drums are charged above their cost, in cents.
#[derive(Clone, Debug)]
pub(super) struct Values {
    /// By class and tube; nothing where the class is not to lie on the tube.
    pub(super) paintings: Vec<Vec<Option<f64>>>,
    /// By stock.
    pub(super) rents: Vec<f64>,
    /// By kin and tube, a drum.
    pub(super) fees: Vec<Vec<f64>>,
}

impl Values {
    /// The mean of these and others.
    pub(super) fn half_way(&self, other: &Self) -> Self {
        let mean = |a: &[f64], b: &[f64]| -> Vec<f64> {
            a.iter()
                .zip(b)
                .map(|(a, b)| f64::midpoint(*a, *b))
                .collect()
        };
        let paintings = self.paintings.iter().zip(&other.paintings);
        let fees = self.fees.iter().zip(&other.fees);
        Self {
            paintings: paintings
                .map(|(a, b)| {
                    let pairs = a.iter().zip(b);
                    let means = pairs.map(|(a, b)| Some(f64::midpoint((*a)?, (*b)?)));
                    means.collect()
                })
                .collect(),
            rents: mean(&self.rents, &other.rents),
            fees: fees.map(|(a, b)| mean(a, b)).collect(),
        }
    }

    /// How far the cost of a stock tube and what it is charged exceed what its paintings are worth.
    pub(super) fn shortfall(&self, scope: &Scope<'_, '_>, bar: &Bar) -> f64 {
        let tube = scope.market.stocks[bar.stock].tube;
        let worth = |(class, count): &(usize, usize)| {
            let each = self.paintings[*class][tube].unwrap_or(f64::NEG_INFINITY);
            each * super::count(*count)
        };
        let fees: f64 = bar.kins(scope).map(|kin| self.fees[kin][tube]).sum();
        bar.cost + self.rents[bar.stock] + fees - bar.counts.iter().map(worth).sum::<f64>()
    }
}

/// What a branch of the search counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Tally {
    /// Stock tubes.
    Bars,
    /// Drums of a kin, or of all kins.
    Drums(Option<usize>),
    /// Paintings of a class.
    Paintings(usize),
}

/// On some stocks, so many at least or at most of what is counted.
#[derive(Clone, Debug)]
pub(super) struct Branch {
    /// What is counted.
    pub(super) tally: Tally,
    /// On which stocks.
    pub(super) stocks: Vec<usize>,
    /// At least, or at most.
    pub(super) is_least: bool,
    /// So many.
    pub(super) number: f64,
}

impl Branch {
    /// Whether nothing of the kind may be taken.
    pub(super) fn forbids(&self) -> bool {
        !self.is_least && self.number <= 0.0
    }

    /// How many of what is counted a stock tube has.
    pub(super) fn on(&self, scope: &Scope<'_, '_>, bar: &Bar) -> f64 {
        if !self.stocks.contains(&bar.stock) {
            return 0.0;
        }
        super::count(match self.tally {
            Tally::Bars => 1,
            Tally::Drums(None) => bar.drums.len(),
            Tally::Drums(Some(kin)) => bar.kins(scope).filter(|on| *on == kin).count(),
            Tally::Paintings(class) => bar.count(class),
        })
    }
}
