//! Ways to fill one stock tube with drums that are worth more than they cost, by branching with a bound.

use crate::rolling::market::Lying;
use crate::rolling::market::Market;
use crate::rolling::market::Stock;
use crate::units::Length;

use super::headroom::Headroom;
use super::headroom::Stage;
use super::headroom::Way;
use super::scope::Scope;
use super::scope::Values;

/// One stock tube with the drums cut from it.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::rolling) struct Bar {
    /// The stock, an index of the market.
    pub(in crate::rolling) stock: usize,
    /// Tube, drums and interleaf in cents.
    pub(in crate::rolling) cost: f64,
    /// The drums: class and way of each painting on it.
    pub(in crate::rolling) drums: Vec<Vec<(usize, usize)>>,
    /// The classes on it, each with how many of its paintings.
    pub(super) counts: Vec<(usize, usize)>,
}

impl Bar {
    /// Drums cut from a stock tube.
    pub(super) fn new(market: &Market<'_>, stock: usize, drums: Vec<Vec<(usize, usize)>>) -> Self {
        let mut on: Vec<usize> = drums.iter().flatten().map(|(class, _)| *class).collect();
        on.sort_unstable();
        let counts = on.chunk_by(|a, b| a == b);
        let counts = counts.filter_map(|same| Some((*same.first()?, same.len())));
        Self {
            stock,
            cost: cost(market, market.stocks[stock], &drums),
            counts: counts.collect(),
            drums,
        }
    }

    /// How many paintings of a class are on it.
    pub(super) fn count(&self, class: usize) -> usize {
        let found = self.counts.iter().find(|(on, _)| *on == class);
        found.map_or(0, |(_, count)| *count)
    }

    /// The kin of each of its drums.
    pub(super) fn kins(&self, scope: &Scope<'_, '_>) -> impl Iterator<Item = usize> {
        let first = self.drums.iter().filter_map(|drum| drum.first());
        first.map(|(class, _)| scope.kin_of[*class])
    }
}

/// What is looked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    /// A filling must be worth more than this, in cents.
    pub(super) least: f64,
    /// So many are enough.
    pub(super) number: usize,
    /// Nodes that may be looked at.
    pub(super) nodes: u64,
}

/// A drum being filled.
#[derive(Clone, Debug)]
struct Open {
    kin: usize,
    face: i64,
    heaviest: f64,
    outside: Length,
    on: Vec<(usize, usize)>,
}

/// A search over the fillings of one stock tube.
pub(super) struct Search<'s> {
    market: &'s Market<'s>,
    headroom: &'s Headroom,
    stock: Stock,
    index: usize,
    wanted: Wanted,
    open: Vec<Open>,
    /// Fillings found.
    pub(super) found: Vec<Bar>,
    /// Whether none was left out for want of nodes.
    pub(super) is_whole: bool,
}

/// What to do with the next painting: the most that can come of it, and the way and the drum it goes on, if it goes on any.
type Step = (f64, Option<(Way, usize)>);

impl<'s> Search<'s> {
    /// Looks for fillings of a stock tube that are worth more than they cost and are charged, the most promising first.
    pub(super) fn run(
        scope: &'s Scope<'_, '_>,
        (headroom, values): (&'s Headroom, &Values),
        index: usize,
        wanted: Wanted,
    ) -> Self {
        let stock = scope.market.stocks[index];
        let mut search = Self {
            market: scope.market,
            headroom,
            stock,
            index,
            wanted,
            open: Vec::new(),
            found: Vec::new(),
            is_whole: true,
        };
        search.dive(0, 0, (-stock.cents - values.rents[index], 0));
        search
    }

    /// Nodes that may still be looked at; nothing where a filling was left out for want of them.
    pub(super) fn nodes_left(&self) -> Option<u64> {
        self.is_whole.then_some(self.wanted.nodes)
    }

    /// Decides on the next painting: not at all, on a drum that is open, or on one of its own.
    fn dive(&mut self, at: usize, copy: usize, (worth, used): (f64, i64)) {
        if self.found.len() >= self.wanted.number {
            return;
        }
        if self.wanted.nodes == 0 {
            self.is_whole = false;
            return;
        }
        self.wanted.nodes -= 1;
        let headroom = self.headroom;
        let Some(stage) = headroom.stages.get(at) else {
            self.record(worth);
            return;
        };
        let mut options = self.options(at, copy, (worth, used));
        options.retain(|(most, _)| *most > self.wanted.least);
        options.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (_, lies) in options {
            let Some((way, place)) = lies else {
                self.dive(at + 1, 0, (worth, used));
                continue;
            };
            let before = self.open.get(place).cloned();
            let opened = before.is_none();
            if self.put(stage, way, place) {
                let (more, cost) = self.price(stage, way, opened);
                self.dive(at, copy + 1, (worth + way.gain - cost, used + more));
            }
            match before {
                Some(before) => self.open[place] = before,
                None => self.open.truncate(place),
            }
        }
    }

    /// Everything that can be done with the next painting.
    fn options(&self, at: usize, copy: usize, (worth, used): (f64, i64)) -> Vec<Step> {
        let headroom = self.headroom;
        let stage = &headroom.stages[at];
        let room = self.stock.length + self.market.kerf - used;
        let is_open = |stage: usize| {
            let next = headroom.stages.get(stage);
            next.is_some_and(|next| self.open.iter().any(|open| open.kin == next.kin))
        };
        let mut options = vec![(worth + headroom.most(at + 1, is_open(at + 1), room), None)];
        if copy == stage.copies {
            return options;
        }
        let later = if copy + 1 == stage.copies { at + 1 } else { at };
        let stays = headroom
            .stages
            .get(later)
            .is_some_and(|next| next.kin == stage.kin);
        let of_kin = self.open.iter().enumerate();
        let of_kin = of_kin.filter(|(_, open)| open.kin == stage.kin);
        let places: Vec<usize> = of_kin
            .map(|(place, _)| place)
            .chain([self.open.len()])
            .collect();
        for way in &stage.ways {
            for place in &places {
                let (more, cost) = self.price(stage, *way, *place == self.open.len());
                let most = headroom.most(later, stays, room - more);
                options.push((worth + way.gain - cost + most, Some((*way, *place))));
            }
        }
        options
    }

    /// What a painting takes of the stock tube, in mm, and what its drum costs, in cents, where it is a new one.
    fn price(&self, stage: &Stage, way: Way, opened: bool) -> (i64, f64) {
        if opened {
            let setup = self.headroom.setups[stage.kin];
            (way.width + self.headroom.fresh, setup)
        } else {
            (way.width, 0.0)
        }
    }

    /// Puts a painting on a drum, if need be a new one; says whether it holds.
    fn put(&mut self, stage: &Stage, way: Way, place: usize) -> bool {
        let market = self.market;
        if place == self.open.len() {
            self.open.push(Open {
                kin: stage.kin,
                face: market.margin,
                heaviest: 0.0,
                outside: Length::ZERO,
                on: Vec::new(),
            });
        }
        let tube = self.stock.tube;
        let lying = &market.classes[stage.class].ways[tube][way.index];
        let open = &mut self.open[place];
        open.face += lying.width;
        open.heaviest = open.heaviest.max(lying.load);
        open.outside = open.outside.max(lying.winding.outside);
        open.on.push((stage.class, way.index));
        market.holds(
            tube,
            open.face,
            (open.heaviest, open.outside, open.on.len()),
        )
    }

    /// Keeps the filling as it stands, where it is worth enough.
    fn record(&mut self, worth: f64) {
        if worth > self.wanted.least && !self.open.is_empty() {
            let drums = self.open.iter().map(|open| open.on.clone()).collect();
            self.found.push(Bar::new(self.market, self.index, drums));
        }
    }
}

/// What a filled stock tube costs, in cents.
fn cost(market: &Market<'_>, stock: Stock, drums: &[Vec<(usize, usize)>]) -> f64 {
    let drum = market.drums[stock.tube];
    let lying = |(class, way): &(usize, usize)| -> &Lying {
        &market.classes[*class].ways[stock.tube][*way]
    };
    let each = drums.iter().map(|on| {
        let face = market.margin + on.iter().map(|one| lying(one).width).sum::<i64>();
        let extra: f64 = on.iter().map(|one| lying(one).extra).sum();
        drum.of(Length::whole_mm(face)) + extra
    });
    stock.cents + each.sum::<f64>()
}
