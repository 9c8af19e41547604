//! What drums can be chosen from: stock tubes with their prices, and how each painting would lie on each.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::job::Job;
use crate::units::Length;

use super::parcel::Parcel;
use super::price::DrumCost;
use super::price::Prices;
use super::serve;
use super::serve::Dressing;
use super::serve::Kin;
use super::serve::Roll;
use super::serve::Winding;
use super::tube::Tube;
use super::tube::from_i64;
use super::tube::from_u64;

/// The tubes and ways that serve one roll.
type Served = Vec<(usize, Winding)>;

/// A stock length that can be had.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stock {
    /// The tube, an index of the tubes.
    pub(super) tube: usize,
    /// Its length in whole mm.
    pub(super) length: i64,
    /// Its price in cents; nothing for what is on the shelf.
    pub(super) cents: f64,
    /// How many there are, on the shelf; none for what can be bought.
    pub(super) supply: Option<u64>,
}

/// One way in which a painting lies on a tube.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lying {
    /// How it lies.
    pub(super) winding: Winding,
    /// What it takes of the face with one margin, in whole mm.
    pub(super) width: i64,
    /// What its interleaf costs, in cents.
    pub(super) extra: f64,
    /// Grams a millimetre of face.
    pub(super) load: f64,
}

/// Paintings that are alike in everything that matters to a drum.
#[derive(Clone, Debug)]
pub(super) struct Class<'a> {
    /// Whom they may share a drum with.
    pub(super) kin: Kin<'a>,
    /// The rolls, indexes.
    pub(super) rolls: Vec<usize>,
    /// By tube, the ways in which one of them lies; none where the tube does not serve.
    pub(super) ways: Vec<Vec<Lying>>,
}

/// Everything that a choice is made from.
#[derive(Debug)]
pub(super) struct Market<'a> {
    job: &'a Job,
    /// The tubes.
    pub(super) tubes: &'a [Tube<'a>],
    /// What the drum kit adds.
    pub(super) dressing: &'a Dressing,
    /// What a drum on each tube costs besides the tube.
    pub(super) drums: Vec<DrumCost>,
    /// The stock lengths of tubes that serve anything.
    pub(super) stocks: Vec<Stock>,
    /// The paintings that some tube serves.
    pub(super) classes: Vec<Class<'a>>,
    /// One margin, up to a whole mm.
    pub(super) margin: i64,
    /// The saw cut between two faces, up to a whole mm.
    pub(super) kerf: i64,
    /// By tube, whether the crate of its longest face passes every way out, whichever roll is on it.
    always_passes: Vec<bool>,
    /// By roll, what its interleaf costs in cents with its height and with its width wound up.
    extras: Vec<[f64; 2]>,
}

impl<'a> Market<'a> {
    /// Gathers what can be chosen from for rolls with their options.
    pub(super) fn new(
        job: &'a Job,
        (rolls, options): (&[Roll<'a>], &[Served]),
        tubes: &'a [Tube<'a>],
        dressing: &'a Dressing,
    ) -> Self {
        let prices = Prices::of(job);
        let drums = tubes.iter().map(|tube| prices.drum(tube, dressing));
        let mut market = Self {
            job,
            tubes,
            dressing,
            drums: drums.collect(),
            stocks: Vec::new(),
            classes: Vec::new(),
            margin: dressing.margin.to_mm_up(),
            kerf: job.catalog.drum_kit.kerf.to_mm_up(),
            always_passes: Vec::new(),
            extras: rolls
                .iter()
                .map(|roll| [false, true].map(|axis| prices.interleaf(roll, axis, dressing)))
                .collect(),
        };
        market.classes = classes(&market, (rolls, options), &prices);
        market.stocks = stocks(&market);
        market.always_passes = (0..tubes.len())
            .map(|tube| market.passes_with_thickest(tube))
            .collect();
        market
    }

    /// The kins that there are.
    pub(super) fn kins(&self) -> BTreeSet<Kin<'a>> {
        self.classes.iter().map(|class| class.kin).collect()
    }

    /// What a drum on a tube costs before anything lies on it, in cents: a margin of face.
    pub(super) fn opened(&self, tube: usize) -> f64 {
        let drum = self.drums.get(tube);
        drum.map_or(0.0, |drum| drum.of(Length::whole_mm(self.margin)))
    }

    /// What a painting adds to the cost of a drum on a tube, in cents.
    pub(super) fn laid(&self, tube: usize, lying: &Lying) -> f64 {
        let per_mm = self.drums.get(tube).map_or(0.0, |drum| drum.per_mm);
        lying.extra + per_mm * from_i64(lying.width)
    }

    /// The way in which a painting of a class takes least of a tube: its index among the class's ways, and itself.
    pub(super) fn narrowest(&self, class: usize, tube: usize) -> Option<(usize, Lying)> {
        let ways = self.classes.get(class)?.ways.get(tube)?.iter().copied();
        ways.enumerate().min_by_key(|(_, lying)| lying.width)
    }

    /// Says whether a drum holds: sag, stress and pressure, and, with several paintings, a crate that passes every way out.
    pub(super) fn holds(
        &self,
        tube: usize,
        face: i64,
        (heaviest, outside, paintings): (f64, Length, usize),
    ) -> bool {
        let Some(made) = self.tubes.get(tube) else {
            return false;
        };
        let face = Length::whole_mm(face);
        face <= made.length()
            && serve::bear(made, face, heaviest, self.dressing).is_ok()
            && (paintings < 2
                || self.always_passes.get(tube) == Some(&true)
                || Parcel::of_drum(self.job, face, outside).passes_all(self.job))
    }

    /// The longest face of a tube, in whole mm, on which several paintings of such a load and thickness can lie.
    pub(super) fn longest(&self, tube: usize, (load, outside): (f64, Length)) -> i64 {
        let whole = self
            .tubes
            .get(tube)
            .map_or(0, |tube| tube.length().to_mm_up());
        let (mut holds, mut fails) = (0, whole + 1);
        while fails - holds > 1 {
            let middle = i64::midpoint(holds, fails);
            if self.holds(tube, middle, (load, outside, 2)) {
                holds = middle;
            } else {
                fails = middle;
            }
        }
        holds
    }

    /// What the interleaf of a roll costs, in cents.
    pub(super) fn extra(&self, roll: usize, along_width: bool) -> f64 {
        self.extras.get(roll).map_or(
            0.0,
            |[height, width]| if along_width { *width } else { *height },
        )
    }

    fn passes_with_thickest(&self, tube: usize) -> bool {
        let ways = self
            .classes
            .iter()
            .filter_map(|class| class.ways.get(tube))
            .flatten();
        let thickest = ways.map(|lying| lying.winding.outside).max();
        let longest = self.tubes.get(tube).map(Tube::length);
        longest.zip(thickest).is_some_and(|(longest, thickest)| {
            Parcel::of_drum(self.job, longest, thickest).passes_all(self.job)
        })
    }
}

/// Rolls that are alike, in the order of their first.
fn classes<'a>(
    market: &Market<'a>,
    (rolls, options): (&[Roll<'a>], &[Served]),
    prices: &Prices<'_>,
) -> Vec<Class<'a>> {
    let mut known: BTreeMap<(Kin<'a>, Vec<Print>), usize> = BTreeMap::new();
    let mut classes: Vec<Class<'a>> = Vec::new();
    for (index, (roll, served)) in rolls.iter().zip(options).enumerate() {
        if served.is_empty() {
            continue;
        }
        let print = served.iter().map(print).collect();
        let class = *known.entry((roll.kin, print)).or_insert_with(|| {
            classes.push(Class {
                kin: roll.kin,
                rolls: Vec::new(),
                ways: ways(market, (roll, served), prices),
            });
            classes.len() - 1
        });
        if let Some(class) = classes.get_mut(class) {
            class.rolls.push(index);
        }
    }
    classes
}

/// What tells two ways of lying apart.
type Print = (usize, bool, Length, Length, u64);

fn print((tube, winding): &(usize, Winding)) -> Print {
    (
        *tube,
        winding.along_width,
        winding.across,
        winding.outside,
        winding.grams.to_bits(),
    )
}

fn ways(
    market: &Market<'_>,
    (roll, served): (&Roll<'_>, &[(usize, Winding)]),
    prices: &Prices<'_>,
) -> Vec<Vec<Lying>> {
    let mut ways = vec![Vec::new(); market.tubes.len()];
    for (tube, winding) in served {
        let Some(list) = ways.get_mut(*tube) else {
            continue;
        };
        list.push(Lying {
            winding: *winding,
            width: market.dressing.width(winding.across),
            extra: prices.interleaf(roll, winding.along_width, market.dressing),
            load: serve::line_load(winding),
        });
    }
    for list in &mut ways {
        drop_worse(list);
    }
    ways
}

/// Of two ways the one that is no better in anything is not worth a thought.
fn drop_worse(list: &mut Vec<Lying>) {
    let [a, b] = list.as_slice() else { return };
    let no_worse = |a: &Lying, b: &Lying| {
        a.width <= b.width
            && a.extra <= b.extra
            && a.load <= b.load
            && a.winding.outside <= b.winding.outside
    };
    if no_worse(a, b) {
        list.truncate(1);
    } else if no_worse(b, a) {
        list.remove(0);
    }
}

/// Every stock length of the tubes that serve a painting, from the shelf and to buy.
fn stocks(market: &Market<'_>) -> Vec<Stock> {
    let mut stocks = Vec::new();
    for (tube, made) in market.tubes.iter().enumerate() {
        let serves = |class: &Class<'_>| class.ways.get(tube).is_some_and(|list| !list.is_empty());
        if !market.classes.iter().any(serves) {
            continue;
        }
        for stock in &made.stocks {
            let length = stock.usable().to_mm_up();
            let to_buy = Stock {
                tube,
                length,
                cents: from_u64(stock.cents.max(1)),
                supply: None,
            };
            stocks.push(to_buy);
            if stock.shelf > 0 {
                stocks.push(Stock {
                    cents: 0.0,
                    supply: Some(stock.shelf),
                    ..to_buy
                });
            }
        }
    }
    stocks
}
