//! Which painting goes on which drum: axis, tube, and paintings end to end on one drum.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use crate::job::Job;
use crate::units::Length;

use super::choose;
use super::fill;
use super::market::Market;
use super::parcel::Parcel;
use super::serve;
use super::serve::Dressing;
use super::serve::Roll;
use super::serve::Winding;
use super::tube::Tube;

/// Up to so many paintings the tubes of every plan are cut, so that plans are compared by what they really cost.
const CUT_FOR_EACH_PLAN: usize = 200;

/// Up to so many paintings stock tubes are filled whole, as one plan among others.
const MOST_FILLED: usize = 1_000;

/// How many drums with room are tried for a painting before it gets a drum of its own.
const TRIES: usize = 8;

/// A drum with what lies on it, before it has a number.
#[derive(Clone, Debug)]
pub(super) struct Loaded {
    /// The tube, an index of the tubes.
    pub(super) tube: usize,
    /// Length of the face, a whole millimetre.
    pub(super) face: Length,
    /// Indexes of the rolls with how each lies, from one end of the face to the other.
    pub(super) rolls: Vec<(usize, Winding)>,
    /// The heaviest painting in grams a millimetre.
    pub(super) heaviest: f64,
}

impl Loaded {
    /// Diameter over the thickest roll on it.
    pub(super) fn outside(&self) -> Length {
        self.rolls
            .iter()
            .map(|(_, winding)| winding.outside)
            .max()
            .unwrap_or_default()
    }

    /// The heaviest painting in grams a millimetre of face.
    pub(super) const fn heaviest(&self) -> f64 {
        self.heaviest
    }
}

/// Drums, and the rolls that no tube serves.
#[derive(Clone, Debug, Default)]
pub(super) struct Assignment {
    /// The drums, by the first panel on each.
    pub(super) drums: Vec<Loaded>,
    /// Indexes of the rolls left over.
    pub(super) left: Vec<usize>,
}

/// Which way a painting that may be wound either way is wound.
#[derive(Clone, Copy, Debug)]
enum Leaning {
    /// Fewest turns, then the shortest face.
    Turns,
    /// The shortest face, then fewest turns.
    Face,
}

/// Every tube and axis that serves each roll.
pub(super) fn options(
    rolls: &[Roll<'_>],
    tubes: &[Tube<'_>],
    dressing: &Dressing,
) -> Vec<Vec<(usize, Winding)>> {
    let options = rolls.iter().map(|roll| serving(roll, tubes, dressing));
    options.collect()
}

/// Puts every roll on a drum where a tube serves it, by a rule of thumb.
///
/// Whole plans are compared: each leaning of the axis, each with the thinner tubes left out one after another, so that paintings that could
/// have gone on several diameters meet on one. The plan that costs least wins, then the one with fewest drums. Within a plan
/// a painting takes the cheapest tube that serves it; longest first, each goes beside others on the fullest drum that has room
/// for it. Paintings share a drum only with their kin, and only while the sag holds and the crate of the shared drum passes every way out.
pub(super) fn assign(
    job: &Job,
    rolls: &[Roll<'_>],
    options: &[Vec<(usize, Winding)>],
    market: &Market<'_>,
) -> Assignment {
    let (tubes, dressing) = (market.tubes, market.dressing);
    let left = options
        .iter()
        .enumerate()
        .filter(|(_, served)| served.is_empty())
        .map(|(index, _)| index)
        .collect();
    let diameters: BTreeSet<Length> = options
        .iter()
        .flatten()
        .filter_map(|(index, _)| Some(tubes.get(*index)?.diameter))
        .collect();
    let plans = diameters
        .iter()
        .flat_map(|least| [(Leaning::Turns, *least), (Leaning::Face, *least)]);
    let shop = Shop {
        job,
        rolls,
        tubes,
        dressing,
    };
    let few = rolls.len() <= CUT_FOR_EACH_PLAN;
    let priced = plans.map(|(leaning, least)| {
        let drums = shop.load(shop.choose(options, leaning, least));
        let cost = if few {
            choose::cost(market, &drums)
        } else {
            about(market, &drums)
        };
        (cost, drums)
    });
    let best = priced.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.len().cmp(&b.1.len())));
    let mut drums = best.map_or_else(Vec::new, |(_, drums)| drums);
    in_order(&mut drums, rolls);
    Assignment { drums, left }
}

/// Puts rolls on drums whose tubes and windings are known: roll, tube, winding. Of two ways the cheaper: best fit, and stock tubes filled
/// whole, a drum each.
pub(super) fn laid(
    job: &Job,
    rolls: &[Roll<'_>],
    market: &Market<'_>,
    lying: Vec<(usize, usize, Winding)>,
) -> Vec<Loaded> {
    let shop = Shop {
        job,
        rolls,
        tubes: market.tubes,
        dressing: market.dressing,
    };
    let filled = (rolls.len() <= MOST_FILLED).then(|| fill::fill(&shop, market, lying.clone()));
    let fitted = shop.load(lying);
    let cost = |drums: &[Loaded]| choose::cost(market, drums);
    let mut drums = match filled {
        Some(filled) if cost(&filled) < cost(&fitted) => filled,
        _ => fitted,
    };
    in_order(&mut drums, rolls);
    drums
}

/// What drums cost where each tube is priced by its share of a stock length, in cents: quick, for many.
fn about(market: &Market<'_>, drums: &[Loaded]) -> f64 {
    let costs = drums.iter().map(|drum| {
        let made = market.drums.get(drum.tube);
        let tube = market.tubes.get(drum.tube);
        made.zip(tube).map_or(f64::INFINITY, |(made, tube)| {
            made.of(drum.face) + tube.share(drum.face)
        })
    });
    costs.sum()
}

/// Sorts drums by the first panel on each.
pub(super) fn in_order(drums: &mut [Loaded], rolls: &[Roll<'_>]) {
    drums.sort_by_key(|drum| {
        let panels = drum.rolls.iter();
        panels
            .filter_map(|(index, _)| Some(rolls.get(*index)?.panel))
            .min()
    });
}

/// Every tube and axis that serves a roll.
fn serving(roll: &Roll<'_>, tubes: &[Tube<'_>], dressing: &Dressing) -> Vec<(usize, Winding)> {
    let pairs = tubes
        .iter()
        .enumerate()
        .flat_map(|(index, tube)| roll.axes.iter().map(move |axis| (index, tube, *axis)));
    pairs
        .filter_map(|(index, tube, axis)| {
            Some((index, serve::serve(roll, tube, axis, dressing).ok()?))
        })
        .collect()
}

/// What every plan is made from.
#[derive(Clone, Copy)]
pub(super) struct Shop<'a> {
    pub(super) job: &'a Job,
    pub(super) rolls: &'a [Roll<'a>],
    pub(super) tubes: &'a [Tube<'a>],
    pub(super) dressing: &'a Dressing,
}

impl Shop<'_> {
    /// Chooses a tube and axis for every roll: roll, tube, winding.
    fn choose(
        &self,
        options: &[Vec<(usize, Winding)>],
        leaning: Leaning,
        least: Length,
    ) -> Vec<(usize, usize, Winding)> {
        let mut shelf: Vec<Shelf> = self.tubes.iter().map(shelf_of).collect();
        let mut chosen = Vec::new();
        for (roll, served) in options.iter().enumerate() {
            let wide = |(tube, _): &&(usize, Winding)| {
                self.tubes
                    .get(*tube)
                    .is_some_and(|tube| tube.diameter >= least)
            };
            let pick = |among: &mut dyn Iterator<Item = &(usize, Winding)>| {
                self.pick(among, leaning, &shelf)
            };
            let found = pick(&mut served.iter().filter(wide)).or_else(|| pick(&mut served.iter()));
            let Some((tube, winding)) = found else {
                continue;
            };
            let face = self.dressing.face(winding.across);
            if let Some(lying) = shelf.get_mut(tube).and_then(|shelf| lying(shelf, face)) {
                *lying -= face;
            }
            chosen.push((roll, tube, winding));
        }
        chosen
    }

    /// Of all tubes the cheapest for each axis, of the axes the one that the plan leans to.
    fn pick(
        &self,
        among: &mut dyn Iterator<Item = &(usize, Winding)>,
        leaning: Leaning,
        shelf: &[Shelf],
    ) -> Option<(usize, Winding)> {
        let mut best: [Option<(f64, usize, Winding)>; 2] = [None, None];
        for (index, winding) in among {
            let cost = self.face_cost(*index, winding.across, shelf);
            let slot = &mut best[usize::from(winding.along_width)];
            if slot.is_none_or(|(cheapest, ..)| cost < cheapest) {
                *slot = Some((cost, *index, *winding));
            }
        }
        let key = |winding: &Winding| match leaning {
            Leaning::Turns => (winding.turns.ceil(), winding.across.to_mm()),
            Leaning::Face => (winding.across.to_mm(), winding.turns),
        };
        let order = |a: &Winding, b: &Winding| {
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        };
        let axes = best
            .into_iter()
            .flatten()
            .map(|(_, tube, winding)| (tube, winding));
        axes.min_by(|a, b| order(&a.1, &b.1))
    }

    /// What a face of its own costs, in cents: its share of a stock length, nothing while tubes on the shelf last.
    fn face_cost(&self, tube: usize, across: Length, shelf: &[Shelf]) -> f64 {
        let face = self.dressing.face(across);
        match (self.tubes.get(tube), shelf.get(tube)) {
            (Some(_), Some(shelf))
                if shelf
                    .iter()
                    .any(|(length, left)| face <= *length && face <= *left) =>
            {
                0.0
            }
            (Some(tube), _) => tube.share(face),
            (None, _) => f64::INFINITY,
        }
    }

    /// Puts the chosen rolls on drums.
    fn load(&self, chosen: Vec<(usize, usize, Winding)>) -> Vec<Loaded> {
        let mut drums = Vec::new();
        self.each_group(chosen, |group| self.load_group(group, &mut drums));
        drums
    }

    /// Does something with those rolls that may share a drum, the widest first.
    pub(super) fn each_group(
        &self,
        mut chosen: Vec<(usize, usize, Winding)>,
        mut act: impl FnMut(&[(usize, usize, Winding)]),
    ) {
        let kin = |roll: usize| self.rolls.get(roll).map(|roll| roll.kin);
        chosen.sort_by_key(|(roll, tube, winding)| {
            (kin(*roll), *tube, Reverse(winding.across), *roll)
        });
        chosen
            .chunk_by(|a, b| (kin(a.0), a.1) == (kin(b.0), b.1))
            .for_each(&mut act);
    }

    /// Best fit, longest first; drums with room are kept by how much of the face is left.
    pub(super) fn load_group(&self, group: &[(usize, usize, Winding)], drums: &mut Vec<Loaded>) {
        let Some((tube, longest)) = group
            .first()
            .and_then(|(_, tube, _)| Some((*tube, self.longest_shared(*tube, group)?)))
        else {
            return;
        };
        let mut room: BTreeSet<(Length, usize)> = BTreeSet::new();
        for (roll, _, winding) in group {
            let more = Length::whole_mm(self.dressing.width(winding.across));
            let place = room
                .range((more, 0)..)
                .take(TRIES)
                .copied()
                .find(|(_, drum)| {
                    drums
                        .get(*drum)
                        .is_some_and(|drum| self.bears(drum, more, winding))
                });
            let drum = if let Some((left, drum)) = place {
                room.remove(&(left, drum));
                drum
            } else {
                let margin = Length::whole_mm(self.dressing.margin.to_mm_up());
                drums.push(Loaded::empty(tube, margin));
                drums.len() - 1
            };
            let Some(loaded) = drums.get_mut(drum) else {
                continue;
            };
            loaded.put(*roll, *winding, more);
            room.insert((longest - loaded.face, drum));
        }
    }

    /// Says whether a drum still holds with another painting on a longer face.
    fn bears(&self, drum: &Loaded, more: Length, winding: &Winding) -> bool {
        let heaviest = drum.heaviest.max(serve::line_load(winding));
        let tube = self.tubes.get(drum.tube);
        tube.is_some_and(|tube| {
            serve::bear(tube, drum.face + more, heaviest, self.dressing).is_ok()
        })
    }

    /// The longest face that paintings of a group may share: within the tube, and in a crate that passes every way out;
    /// or else as long as one of them needs alone.
    pub(super) fn longest_shared(
        &self,
        tube: usize,
        group: &[(usize, usize, Winding)],
    ) -> Option<Length> {
        let tube = self.tubes.get(tube)?;
        let roll = group.iter().map(|(_, _, winding)| winding.outside).max()?;
        let passes = |face: i64| {
            Parcel::of_drum(self.job, Length::whole_mm(face), roll).passes_all(self.job)
        };
        let mut least = 0;
        let mut most = tube.length().to_steps() / Length::whole_mm(1).to_steps();
        if passes(most) {
            return Some(Length::whole_mm(most));
        }
        while most - least > 1 {
            let middle = i64::midpoint(least, most);
            if passes(middle) {
                least = middle;
            } else {
                most = middle;
            }
        }
        let alone = group
            .iter()
            .map(|(_, _, winding)| self.dressing.face(winding.across))
            .max()?;
        Some(alone.max(Length::whole_mm(least)))
    }
}

/// What is left on the shelf of each stock length: the length itself, and how much of it all together.
type Shelf = Vec<(Length, Length)>;

fn shelf_of(tube: &Tube<'_>) -> Shelf {
    let count = |shelf: u64| i64::try_from(shelf.min(1_000_000)).unwrap_or(0);
    let stocks = tube.stocks.iter();
    stocks
        .map(|stock| (stock.usable(), stock.usable() * count(stock.shelf)))
        .collect()
}

/// The shortest stock length on the shelf from which a face can still be had.
fn lying(shelf: &mut Shelf, face: Length) -> Option<&mut Length> {
    shelf
        .iter_mut()
        .find(|(length, left)| face <= *length && face <= *left)
        .map(|(_, left)| left)
}
