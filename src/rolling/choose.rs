//! Which drums: the cheapest choice, as a rule proved for a few paintings; a good one with a bound for many.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::RoundingStrategy;
use rust_decimal::prelude::FromPrimitive;

use crate::job::Job;
use crate::units::Length;
use crate::units::Money;

use super::assign;
use super::assign::Assignment;
use super::assign::Loaded;
use super::bound;
use super::brim;
use super::counted;
use super::cut_tubes;
use super::exact;
use super::exact::Bar;
use super::market::Market;
use super::outcome::Choice;
use super::outcome::Stands;
use super::serve;
use super::serve::Dressing;
use super::serve::Roll;
use super::tube;
use super::tube::Tube;

/// Up to so many paintings, stock tubes that were counted are filled in many orders.
const FILLED: usize = 30;

/// Half a cent: less is no gap.
const HALF: f64 = 0.5;

/// Paintings of which so many lie side by side on the longest drum are small beside it: columns of them are too many to look through first.
const SMALL: i64 = 6;

/// Puts every roll that a tube serves on a drum, at the least cost found.
///
/// A rule of thumb gives the first plan. Two searches then improve plan and bound until they meet: columns of whole stock tubes ([`exact`]),
/// up to some hundred different paintings, and stock tubes and drums counted ([`counted`]). Columns go first, but where all paintings are of
/// one kin and small beside a drum: those are counted sooner, and what is counted can as a rule be filled. The rules are that paintings
/// share a drum only with their kin, that every face holds, and that the crate of a shared drum passes every way out.
pub(super) fn choose(
    job: &Job,
    rolls: &[Roll<'_>],
    tubes: &[Tube<'_>],
    dressing: &Dressing,
) -> (Assignment, Choice) {
    if rolls.is_empty() {
        return <(Assignment, Choice)>::default();
    }
    let options = assign::options(rolls, tubes, dressing);
    let market = Market::new(job, (rolls, &options), tubes, dressing);
    let assignment = assign::assign(job, rolls, &options, &market);
    let mut best = Best {
        cost: cost(&market, &assignment.drums),
        least: bound::bound(&market),
        assignment,
    };
    let columns_first = market.kins().len() > 1 || !is_small(&market);
    if columns_first {
        best.by_columns(&market, rolls);
    }
    if !best.is_proved() {
        best.by_counts(job, &market, rolls);
    }
    if !columns_first && !best.is_proved() {
        best.by_columns(&market, rolls);
    }
    let least = best.least.min(best.cost);
    let choice = Choice {
        cost: money(best.cost),
        lower_bound: money(least),
        proven: is_proved(best.cost, least),
        stands: stands(job).filter(|_| !best.assignment.drums.is_empty()),
    };
    (best.assignment, choice)
}

/// The cheapest choice so far, and what none goes below, in cents.
struct Best {
    assignment: Assignment,
    cost: f64,
    least: f64,
}

impl Best {
    fn is_proved(&self) -> bool {
        is_proved(self.cost, self.least)
    }

    /// Keeps drums that cost less; says whether they did.
    fn offer(&mut self, market: &Market<'_>, drums: Vec<Loaded>) -> bool {
        let cost = cost(market, &drums);
        let is_cheaper = cost < self.cost;
        if is_cheaper {
            (self.assignment.drums, self.cost) = (drums, cost);
        }
        is_cheaper
    }

    /// Improves on the best choice with columns.
    fn by_columns(&mut self, market: &Market<'_>, rolls: &[Roll<'_>]) {
        let proof = exact::cheapest(market, self.cost);
        if let Some(bars) = &proof.bars
            && self.offer(market, loaded(market, bars))
        {
            assign::in_order(&mut self.assignment.drums, rolls);
        }
        self.least = self.least.max(proof.bound);
    }

    /// Counts stock tubes and drums, and fills those that could cost least.
    fn by_counts(&mut self, job: &Job, market: &Market<'_>, rolls: &[Roll<'_>]) {
        let counted = counted::count(market, self.cost);
        self.least = self.least.max(counted.bound);
        if counted.lying.is_empty() {
            return;
        }
        if rolls.len() <= FILLED
            && let Some((_, mut drums)) = brim::fill(market, &counted.stocks, counted.bound + HALF)
        {
            assign::in_order(&mut drums, rolls);
            self.offer(market, drums);
        }
        if !self.is_proved() {
            self.offer(market, assign::laid(job, rolls, market, counted.lying));
        }
    }
}

/// Whether the paintings are small beside the longest drum, by the mean of their least widths.
fn is_small(market: &Market<'_>) -> bool {
    let longest = market.stocks.iter().map(|stock| stock.length).max();
    let widths = market.classes.iter().flat_map(|class| {
        let width = class.ways.iter().flatten().map(|lying| lying.width).min();
        std::iter::repeat_n(width.unwrap_or(0), class.rolls.len())
    });
    let (sum, count) = widths.fold((0, 0), |(sum, count), width| (sum + width, count + 1));
    longest.is_some_and(|longest| sum * SMALL <= longest * count)
}

/// Whether a cost is its bound, both in cents: to half a cent and the noise of the arithmetic.
fn is_proved(cost: f64, least: f64) -> bool {
    cost - least < HALF + cost * 1e-9
}

/// What drums cost together, in cents.
pub(super) fn cost(market: &Market<'_>, drums: &[Loaded]) -> f64 {
    let mut faces: BTreeMap<usize, BTreeMap<Length, u64>> = BTreeMap::new();
    let mut sum = 0.0;
    for drum in drums {
        *faces
            .entry(drum.tube)
            .or_default()
            .entry(drum.face)
            .or_default() += 1;
        let extra = drum
            .rolls
            .iter()
            .map(|(roll, winding)| market.extra(*roll, winding.along_width));
        let made = market.drums.get(drum.tube);
        sum += made.map_or(f64::INFINITY, |made| made.of(drum.face)) + extra.sum::<f64>();
    }
    let tubes = faces.iter().filter_map(|(tube, faces)| {
        let kerf = Length::whole_mm(market.kerf);
        Some(cut_tubes::cost(market.tubes.get(*tube)?, faces, kerf))
    });
    sum + tubes.sum::<f64>()
}

/// The drums of chosen stock tubes; a class that is covered more often than it has paintings leaves room.
fn loaded(market: &Market<'_>, bars: &[Bar]) -> Vec<Loaded> {
    let mut taken = vec![0_usize; market.classes.len()];
    let mut drums = Vec::new();
    for bar in bars {
        let Some(stock) = market.stocks.get(bar.stock) else {
            continue;
        };
        for drum in &bar.drums {
            let mut made = Loaded::empty(stock.tube, Length::whole_mm(market.margin));
            for (class, way) in drum {
                let next = taken.get_mut(*class).and_then(|taken| {
                    *taken += 1;
                    let class = market.classes.get(*class)?;
                    let way = class.ways.get(stock.tube)?.get(*way)?;
                    Some((*class.rolls.get(*taken - 1)?, way))
                });
                if let Some((roll, lying)) = next {
                    made.put(roll, lying.winding, Length::whole_mm(lying.width));
                }
            }
            if !made.rolls.is_empty() {
                drums.push(made);
            }
        }
    }
    drums
}

/// What the stands cost; none where the kit names none.
fn stands(job: &Job) -> Option<Stands> {
    let kit = &job.catalog.drum_kit;
    let price = |id: &Option<String>| id.as_deref().and_then(|id| tube::cents(job, id));
    let each = |cents: u64| Money::new(Decimal::new(i64::try_from(cents).unwrap_or(i64::MAX), 2));
    let (bought, a_day) = (price(&kit.stand), price(&kit.stand_hire));
    (bought.is_some() || a_day.is_some()).then(|| Stands {
        bought: bought.map(each),
        a_day: a_day.map(each),
    })
}

/// Cents as money, up to a whole cent less the noise of the arithmetic.
fn money(cents: f64) -> Money {
    let whole = Decimal::from_f64(cents)
        .unwrap_or_default()
        .round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero);
    Money::new(whole / Decimal::ONE_HUNDRED)
}

impl Loaded {
    /// A drum with nothing on it: one margin of face.
    pub(super) const fn empty(tube: usize, margin: Length) -> Self {
        Self {
            tube,
            face: margin,
            rolls: Vec::new(),
            heaviest: 0.0,
        }
    }

    /// Puts one more painting on it, which takes so much of the face with its margin.
    pub(super) fn put(&mut self, roll: usize, winding: serve::Winding, width: Length) {
        self.face += width;
        self.heaviest = self.heaviest.max(serve::line_load(&winding));
        self.rolls.push((roll, winding));
    }
}
