//! Every way to fill one stock tube with drums that is worth more than it costs, by branching with a bound.

use crate::units::Length;

use super::market::Lying;
use super::market::Market;
use super::market::Stock;

/// One stock tube with the drums cut from it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bar {
    /// The stock, an index of the market.
    pub(super) stock: usize,
    /// Tube, drums and interleaf in cents.
    pub(super) cost: f64,
    /// The drums: class and way of each painting on it.
    pub(super) drums: Vec<Vec<(usize, usize)>>,
}

impl Bar {
    /// How many paintings of a class are on it.
    pub(super) fn count(&self, class: usize) -> u32 {
        let on = self
            .drums
            .iter()
            .flatten()
            .filter(|(found, _)| *found == class);
        u32::try_from(on.count()).unwrap_or(u32::MAX)
    }

    /// The classes on it, each once.
    pub(super) fn classes(&self) -> Vec<usize> {
        let mut classes: Vec<usize> = self
            .drums
            .iter()
            .flatten()
            .map(|(class, _)| *class)
            .collect();
        classes.sort_unstable();
        classes.dedup();
        classes
    }
}

/// What is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wanted {
    /// The bars that are worth most, each better than the one before.
    Best,
    /// Every bar that is worth enough.
    All,
}

/// A drum being filled.
#[derive(Clone, Debug)]
struct Open {
    first: usize,
    face: i64,
    heaviest: f64,
    outside: Length,
    on: Vec<(usize, usize)>,
}

/// A class that may go on the tube, with the most it can add and the least it takes.
#[derive(Clone, Copy, Debug)]
struct Candidate {
    class: usize,
    gain: f64,
    width: i64,
    copies: usize,
}

/// A search over the fillings of one stock tube.
pub(super) struct Search<'a> {
    market: &'a Market<'a>,
    stock: Stock,
    index: usize,
    /// What covering a painting of each class is worth, in cents.
    prices: &'a [f64],
    wanted: Wanted,
    /// A bar must be worth more than this.
    least: f64,
    candidates: Vec<Candidate>,
    open: Vec<Open>,
    /// Bars found, and what each is worth.
    pub(super) found: Vec<(f64, Bar)>,
    /// Nodes that may still be looked at.
    pub(super) nodes: u64,
}

impl<'a> Search<'a> {
    /// Looks for fillings of a stock tube that are worth more than `least` with paintings at `prices`; the stock's own `rent` comes off.
    pub(super) fn run(
        market: &'a Market<'a>,
        index: usize,
        (prices, rent): (&'a [f64], f64),
        (wanted, least): (Wanted, f64),
        nodes: u64,
    ) -> Option<Self> {
        let stock = *market.stocks.get(index)?;
        let mut search = Self {
            market,
            stock,
            index,
            prices,
            wanted,
            least,
            candidates: candidates(market, stock, (prices, least.min(0.0))),
            open: Vec::new(),
            found: Vec::new(),
            nodes,
        };
        search.dive(0, 0, (-search.stock.cents - rent, 0));
        Some(search)
    }

    /// Decides on the next painting: not at all, on a drum that is open, or on one of its own.
    fn dive(&mut self, at: usize, copy: usize, (worth, used): (f64, i64)) {
        if self.nodes == 0 {
            return;
        }
        self.nodes -= 1;
        if worth + self.at_most(at, copy, self.stock.length - used) <= self.least {
            return;
        }
        let Some(candidate) = self.candidates.get(at).copied() else {
            return;
        };
        if copy < candidate.copies {
            let ways = self.ways(candidate.class);
            for (way, lying) in ways.iter().enumerate() {
                self.put(at, copy, (way, lying), (worth, used));
            }
        }
        self.dive(at + 1, 0, (worth, used));
    }

    /// Puts a painting on every drum that takes it.
    fn put(
        &mut self,
        at: usize,
        copy: usize,
        (way, lying): (usize, &Lying),
        (worth, used): (f64, i64),
    ) {
        let Some(candidate) = self.candidates.get(at).copied() else {
            return;
        };
        let (market, tube) = (self.market, self.stock.tube);
        let (Some(drum), Some(class)) =
            (market.drums.get(tube), market.classes.get(candidate.class))
        else {
            return;
        };
        let price = self.prices.get(candidate.class).copied().unwrap_or(0.0);
        let gain = price - lying.extra - drum.per_mm * from_i64(lying.width);
        for place in 0..=self.open.len() {
            let opened = place == self.open.len();
            let fresh = market.margin + if place > 0 { market.kerf } else { 0 };
            let more = lying.width + if opened { fresh } else { 0 };
            if used + more > self.stock.length {
                continue;
            }
            let cost = if opened {
                drum.each + drum.per_mm * from_i64(market.margin)
            } else {
                0.0
            };
            let before = if opened {
                self.open.push(Open {
                    first: candidate.class,
                    face: market.margin,
                    heaviest: 0.0,
                    outside: Length::ZERO,
                    on: Vec::new(),
                });
                None
            } else {
                self.open.get(place).cloned()
            };
            let kin = |class: usize| market.classes.get(class).map(|class| class.kin);
            let ok = self.open.get_mut(place).is_some_and(|open| {
                open.face += lying.width;
                open.heaviest = open.heaviest.max(lying.load);
                open.outside = open.outside.max(lying.winding.outside);
                open.on.push((candidate.class, way));
                kin(open.first) == Some(class.kin)
                    && market.holds(
                        tube,
                        open.face,
                        (open.heaviest, open.outside, open.on.len()),
                    )
            });
            if ok {
                let reached = (worth + gain - cost, used + more);
                self.record(reached.0);
                self.dive(at, copy + 1, reached);
            }
            match before {
                Some(before) => {
                    if let Some(open) = self.open.get_mut(place) {
                        *open = before;
                    }
                }
                None => {
                    self.open.pop();
                }
            }
        }
    }

    /// Keeps the bar as it stands, where it is worth enough.
    fn record(&mut self, worth: f64) {
        if worth <= self.least {
            return;
        }
        if self.wanted == Wanted::Best {
            self.least = worth;
        }
        let drums = self.open.iter().map(|open| open.on.clone()).collect();
        let bar = Bar {
            stock: self.index,
            cost: cost(self.market, self.stock, &self.open),
            drums,
        };
        self.found.push((worth, bar));
    }

    /// The most that the paintings from there on can add in a length: a fractional knapsack.
    fn at_most(&self, at: usize, copy: usize, room: i64) -> f64 {
        let (mut room, mut sum) = (room, 0.0);
        for (index, candidate) in self.candidates.iter().enumerate().skip(at) {
            if candidate.gain <= 0.0 {
                break;
            }
            let gone = if index == at { copy } else { 0 };
            let copies = i64::try_from(candidate.copies.saturating_sub(gone)).unwrap_or(i64::MAX);
            let take = copies.min(room / candidate.width.max(1));
            sum += candidate.gain * from_i64(take);
            room -= take * candidate.width;
            if take < copies {
                return sum + candidate.gain * from_i64(room) / from_i64(candidate.width.max(1));
            }
        }
        sum
    }

    fn ways(&self, class: usize) -> &'a [Lying] {
        let ways = self.market.classes.get(class);
        ways.and_then(|class| class.ways.get(self.stock.tube))
            .map_or(&[], Vec::as_slice)
    }
}

/// What a filled stock tube costs, in cents.
fn cost(market: &Market<'_>, stock: Stock, open: &[Open]) -> f64 {
    let Some(drum) = market.drums.get(stock.tube) else {
        return f64::INFINITY;
    };
    let extra = |(class, way): &(usize, usize)| {
        let ways = market.classes.get(*class)?.ways.get(stock.tube)?;
        Some(ways.get(*way)?.extra)
    };
    let drums = open.iter().map(|open| {
        drum.of(Length::whole_mm(open.face)) + open.on.iter().filter_map(extra).sum::<f64>()
    });
    stock.cents + drums.sum::<f64>()
}

/// The classes that the tube serves and that can be on a bar worth enough, the best for their width first.
fn candidates(market: &Market<'_>, stock: Stock, (prices, least): (&[f64], f64)) -> Vec<Candidate> {
    let per_mm = market.drums.get(stock.tube).map_or(0.0, |drum| drum.per_mm);
    let found = market
        .classes
        .iter()
        .enumerate()
        .filter_map(|(class, known)| {
            let ways = known.ways.get(stock.tube)?;
            let price = prices.get(class).copied().unwrap_or(0.0);
            let gain = |lying: &Lying| price - lying.extra - per_mm * from_i64(lying.width);
            let gain = ways.iter().map(gain).fold(f64::NEG_INFINITY, f64::max);
            let width = ways.iter().map(|lying| lying.width).min()?;
            (gain > least).then_some(Candidate {
                class,
                gain,
                width,
                copies: known.rolls.len(),
            })
        });
    let mut found: Vec<Candidate> = found.collect();
    let ratio = |candidate: &Candidate| candidate.gain / from_i64(candidate.width.max(1));
    found.sort_by(|a, b| ratio(b).total_cmp(&ratio(a)).then(a.class.cmp(&b.class)));
    found
}

/// A whole number as a fraction; faces in millimetres stay far below 2^53.
#[allow(
    clippy::cast_precision_loss,
    reason = "millimetres of tube and counts stay far below 2^53"
)]
pub(super) const fn from_i64(value: i64) -> f64 {
    value as f64
}
